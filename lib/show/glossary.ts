import { deepFrozen } from "./record.js";

/** A word of the trade and what it means, in words that need no other course. */
export interface Term {
  /** The term as the glossary lists it. */
  readonly term: string;
  /** Other ways the same is written, plurals among them. */
  readonly forms: readonly string[];
  /** What it means, in a sentence or two. */
  readonly says: string;
}

function entry(term: string, says: string, ...forms: string[]): Term {
  return { term, forms, says };
}

/** The glossary: the one source of every definition in notebooks and pages, in order of the alphabet. */
export const glossary: readonly Term[] = deepFrozen([
  entry(
    "address",
    "The stance before a swing, club behind the ball. Grip is tested in this posture because it is the one the hands know.",
  ),
  entry(
    "analysis of covariance",
    "A comparison of groups after training that takes into account where each person started.",
    "adjusted for baseline",
    "baseline adjustment",
    "ANCOVA",
  ),
  entry("baseline", "The value before anything was done: the first test of a study."),
  entry(
    "BCa",
    "Bias-corrected and accelerated: a bootstrap interval that allows for a lopsided heap of resampled values. It needs more than a handful of people.",
  ),
  entry(
    "best of three",
    "The highest of three squeezes as a person's value. It is higher than their mean by chance alone, so it may not be compared with a mean.",
  ),
  entry(
    "between-person SD",
    "How much people differ from one another, as a standard deviation.",
    "between-golfer SD",
    "between golfers",
  ),
  entry(
    "bootstrap",
    "A way to see how much a result would vary: the same people are drawn again and again with replacement, and the result is computed each time.",
    "bootstrapped",
    "resampling",
  ),
  entry(
    "club-head speed",
    "Speed of the club head just before it meets the ball, in mph or m/s. Not the speed of the ball, which is higher.",
    "club speed",
    "driver speed",
  ),
  entry(
    "coefficient of friction",
    "How well two surfaces hold one another: sideways force that just slips, divided by the force that presses them together.",
    "friction",
  ),
  entry(
    "confidence interval",
    "A range that would hold the true value in 95 of 100 studies made like this one. It tells how surely something is known, not where people lie.",
    "95 % interval",
    "95 % CI",
    "CI",
    "interval",
    "intervals",
  ),
  entry(
    "control group",
    "People tested like the others but without the training. What they gain, training did not do.",
    "control",
  ),
  entry(
    "correlation",
    "How closely two quantities go together, from −1 to 1. It has no unit and does not say how steep the line is.",
    "correlations",
  ),
  entry(
    "degrees of freedom",
    "Independent pieces of information that are left to judge the error: rows less numbers taken from them.",
    "df",
  ),
  entry(
    "dynamometer",
    "The instrument that is squeezed. It shows a force between two bars, in kgf, lbf or N.",
    "dynamometers",
  ),
  entry("effect", "What a treatment truly does. Studies estimate it, with error.", "true effect"),
  entry(
    "extrapolation",
    "Reading a line beyond the people it was fitted to. The data say nothing there.",
    "extrapolate",
  ),
  entry(
    "HC3",
    "Standard errors of a line that stay honest where the scatter about it is not even.",
  ),
  entry(
    "intraclass correlation",
    "The share of the variance of readings that is between people, not error. High when people differ much, however large the error is.",
    "ICC",
  ),
  entry(
    "kgf",
    "Kilogram-force: the weight of one kilogram, 9.80665 N. What a dynamometer's “kg” means.",
    "kilogram-force",
  ),
  entry(
    "lead hand",
    "The hand nearer the target, the upper one on the grip: the left one of a right-handed player. It need not be the stronger hand.",
    "lead-hand",
  ),
  entry("learning effect", "A gain from knowing the test, not from being stronger.", "learning"),
  entry(
    "least squares",
    "The line for which the squared distances of all points from it add up to as little as possible.",
  ),
  entry(
    "leverage",
    "How far a point's x lies from the others', and so how much it can turn the line.",
  ),
  entry(
    "limits of agreement",
    "The range in which 95 % of the differences of two instruments, or two tests, lie (Bland and Altman).",
  ),
  entry("mean of three", "The average of three squeezes as a person's value."),
  entry("median", "The middle value: half of the values are lower."),
  entry(
    "minimal detectable change",
    "The smallest change of one person that their two tests can tell from error: 1.96 × √2 × the error of one test, at 95 %.",
    "detectable change",
    "MDC95",
    "MDC",
  ),
  entry(
    "mixed model",
    "A model with a line for the crowd and a line for each person, in which people with few or scattered readings lean on the crowd.",
    "mixed models",
  ),
  entry(
    "outlier",
    "A value far from the others. That alone is no reason to leave it out.",
    "outliers",
  ),
  entry(
    "p value",
    "How often chance alone would give a result at least as far from “nothing” as this one. Not the chance that there is nothing.",
    "p values",
  ),
  entry(
    "paired t",
    "An interval and test for the mean change of people who were measured twice.",
    "paired t test",
  ),
  entry(
    "percentile interval",
    "A bootstrap interval read straight off the resampled results: their middle 95 %.",
    "percentile bootstrap",
    "percentile",
  ),
  entry("power", "How often a study of this size would find an effect of a given size."),
  entry(
    "prediction interval",
    "A range for one more person, or one more study. Much wider than the interval of a mean.",
    "single band",
  ),
  entry(
    "pull",
    "Force along the shaft that keeps the club on its path. It grows with the square of speed.",
  ),
  entry(
    "random slope",
    "A slope that may differ from person to person in a mixed model.",
    "random slopes",
  ),
  entry(
    "regression to the mean",
    "Who was chosen for a low reading reads higher the next time, because part of the low reading was bad luck.",
  ),
  entry("reliability", "How alike repeated readings of the same people are."),
  entry(
    "REML",
    "The usual way to fit a mixed model: it allows for the numbers that were taken from the data first.",
  ),
  entry(
    "resample",
    "A draw of as many people as there are, with replacement: some come twice, some not at all.",
    "resamples",
    "resampled",
  ),
  entry(
    "residual",
    "How far a point lies above or below the fitted line: measured less fitted.",
    "residuals",
  ),
  entry(
    "shrinkage",
    "What a mixed model does with a person's own line: it is moved towards the crowd's, the more so the less is known of the person.",
    "shrunken",
    "shrinks",
    "shrink",
  ),
  entry("slope", "How much y changes when x is greater by one: mph per kgf, say.", "slopes"),
  entry(
    "smallest worthwhile change",
    "The change that matters for play, decided beforehand. It may be smaller than what one test can detect.",
    "worthwhile",
  ),
  entry(
    "standard deviation",
    "The usual distance of values from their mean, in their own unit. For a sample it divides by n − 1.",
    "SD",
  ),
  entry(
    "standard error",
    "The standard deviation that a result, such as a mean, would have from study to study.",
    "standard errors",
    "SE",
  ),
  entry(
    "trail hand",
    "The hand further from the target, the lower one on the grip: the right one of a right-handed player.",
    "trail-hand",
  ),
  entry("trial", "One squeeze or one swing that is recorded.", "trials"),
  entry(
    "typical error",
    "The standard deviation of one person's readings about their own true value: the error of a single test.",
    "standard error of measurement",
    "SEM",
  ),
  entry(
    "Welch's t",
    "A comparison of two group means that lets each group have a spread of its own.",
  ),
  entry(
    "with replacement",
    "Each card goes back before the next is drawn, so that a card may be drawn more than once.",
  ),
  entry(
    "within-person SD",
    "How much one person's readings differ from one another, as a standard deviation.",
    "within golfers",
  ),
]);

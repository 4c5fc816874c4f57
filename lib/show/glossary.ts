import { deepFrozen } from "./record.js";

/** A term of the field with its definition in plain words. */
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
    "The stance before a swing, club behind the ball. Grip is tested in this posture because golfers grip the club in it.",
  ),
  entry(
    "analysis of covariance",
    "A comparison of groups after training that adjusts for each person's value before it.",
    "adjusted for baseline",
    "baseline adjustment",
    "ANCOVA",
  ),
  entry("baseline", "The value before the training: the first visit of a study."),
  entry(
    "BCa",
    "Bias-corrected and accelerated: a bootstrap interval that allows for a skewed distribution of resampled values. It needs about 20 people or more.",
  ),
  entry(
    "best of three",
    "The highest of three squeezes as a person's value. It is higher than their mean by chance alone, so do not compare it with a mean.",
  ),
  entry(
    "between-person SD",
    "How much people differ from one another, as a standard deviation.",
    "between-golfer SD",
    "between golfers",
  ),
  entry(
    "bootstrap",
    "A way to estimate how much a result would vary: people are drawn repeatedly with replacement, and the result is computed each time.",
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
    "The sideways force at which two surfaces just slip, divided by the force that presses them together.",
    "friction",
  ),
  entry(
    "confidence interval",
    "A range computed so that it includes the true value in 95 of 100 studies like this one. It shows the precision of an estimate, not the range of people.",
    "95 % interval",
    "95 % CI",
    "CI",
    "interval",
    "intervals",
  ),
  entry(
    "control group",
    "People tested like the others but without the training. Their change shows what happens without it.",
    "control",
  ),
  entry(
    "correlation",
    "How closely two quantities are related, from −1 to 1. It has no unit and does not show how steep the line is.",
    "correlations",
  ),
  entry(
    "degrees of freedom",
    "Independent pieces of information left to estimate the error: number of rows − number of coefficients.",
    "df",
  ),
  entry(
    "dynamometer",
    "The instrument that measures grip strength: the force between two bars, in kgf, lbf or N.",
    "dynamometers",
  ),
  entry(
    "effect",
    "The change that a treatment causes. A study estimates it, with error.",
    "true effect",
  ),
  entry(
    "extrapolation",
    "Use of a fitted line outside the range of its data. The data give no information there.",
    "extrapolate",
  ),
  entry("HC3", "Standard errors that remain valid when the scatter around a line is uneven."),
  entry(
    "intraclass correlation",
    "The share of the variance of readings that is between people and not error. It is high when people differ much, even if the error is large.",
    "ICC",
  ),
  entry(
    "kgf",
    "Kilogram-force: the weight of one kilogram, 9.80665 N. Dynamometers often show it as “kg”.",
    "kilogram-force",
  ),
  entry(
    "lead hand",
    "The hand nearer the target, the upper one on the grip: the left one of a right-handed player. It need not be the stronger hand.",
    "lead-hand",
  ),
  entry(
    "learning effect",
    "A gain from practice with the test, not from more strength.",
    "learning",
  ),
  entry(
    "least squares",
    "A method that chooses the line with the smallest sum of squared vertical distances to the points.",
  ),
  entry(
    "leverage",
    "How far a point's x lies from the others, and so how much it can change the slope.",
  ),
  entry(
    "limits of agreement",
    "The range in which 95 % of the differences of two instruments, or two tests, lie (Bland and Altman).",
  ),
  entry("mean of three", "The average of three squeezes as a person's value."),
  entry("median", "The value with half of the values below it."),
  entry(
    "minimal detectable change",
    "The smallest change of one person that exceeds measurement error: 1.96 × √2 × the typical error, at 95 %.",
    "detectable change",
    "MDC95",
    "MDC",
  ),
  entry(
    "mixed model",
    "A model with a line for the group and a line for each person. Lines of people with few or scattered readings are drawn towards the group's line.",
    "mixed models",
  ),
  entry(
    "outlier",
    "A value far from the others. That alone is no reason to leave it out.",
    "outliers",
  ),
  entry(
    "p value",
    "The probability of a result at least as far from zero as this one if the true value were zero. It is not the probability that the true value is zero.",
    "p values",
  ),
  entry(
    "paired t",
    "An interval and test for the mean change of people who were measured twice.",
    "paired t test",
  ),
  entry(
    "percentile interval",
    "A bootstrap interval: the central 95 % of the resampled results.",
    "percentile bootstrap",
    "percentile",
  ),
  entry("power", "The probability that a study of this size detects an effect of a given size."),
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
    "People chosen for a low reading tend to read higher the next time, because part of the low reading was error.",
  ),
  entry("reliability", "How alike repeated readings of the same people are."),
  entry(
    "REML",
    "Restricted maximum likelihood, the usual way to fit a mixed model. It allows for the coefficients estimated from the same data.",
  ),
  entry(
    "resample",
    "A sample of the same size drawn with replacement: some people appear twice, some not at all.",
    "resamples",
    "resampled",
  ),
  entry(
    "residual",
    "The vertical distance of a point from the fitted line: measured − fitted.",
    "residuals",
  ),
  entry(
    "shrinkage",
    "In a mixed model, a person's line is drawn towards the group's line. The fewer the person's data, the stronger the shrinkage.",
    "shrunken",
    "shrinks",
    "shrink",
  ),
  entry("slope", "The change of y per unit of x, for example mph per kgf.", "slopes"),
  entry(
    "smallest worthwhile change",
    "The smallest change that matters for play, decided before the study. It may be smaller than the minimal detectable change.",
    "worthwhile",
  ),
  entry(
    "standard deviation",
    "The typical distance of values from their mean, in the unit of the values. For a sample the divisor is n − 1.",
    "SD",
  ),
  entry(
    "standard error",
    "The standard deviation that an estimate, such as a mean, would have over repeated studies.",
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
    "A comparison of two group means that allows a different standard deviation in each group.",
  ),
  entry(
    "with replacement",
    "Each person is returned before the next is drawn, so that a person may be drawn more than once.",
  ),
  entry(
    "within-person SD",
    "How much one person's readings differ from one another, as a standard deviation.",
    "within golfers",
  ),
]);

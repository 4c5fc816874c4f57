import { fixedText } from "../../show/wording.js";
import type { WorkedStep } from "../../show/worked-steps.js";
import {
  fiveGolfers,
  golferToPredict,
  nineChanges,
  nineGolfers,
  pullAtSpeeds,
  sharedShift,
  twoRadii,
  twoSqueezes,
} from "../opening-pictures.js";
import type { LessonWords } from "../tasks.js";
import { type LessonTexts, option } from "./lesson-text.js";
import type { ModelWords } from "./model-words.js";
import type { ReplyWords } from "./reply-words.js";

const one = (value: number) => fixedText(value, 1);
const two = (value: number) => fixedText(value, 2);
const three = (value: number) => fixedText(value, 3);
const list = (
  says: string,
  values: readonly number[],
  text: (value: number) => string,
): WorkedStep => ({
  says,
  golfers: values.map((_, i) => String.fromCharCode(65 + i)),
  values: values.map(text),
});
/** "rises by 0.69" or "falls by 0.69". */
const goes = (value: number) => `${value < 0 ? "falls" : "rises"} by ${two(Math.abs(value))}`;

/** The words of the lessons' exercises. Another language is a file with the same names. */
export const english: LessonWords = {
  "squeeze-typical-error": {
    asks: "typical error from first and second squeeze",
    prompt:
      "Take the first and the second squeeze of your golfers. What is the typical error of one squeeze?",
    hints: {
      question: "What differs between two squeezes of one golfer, a minute apart: grip, or error?",
      idea: "The differences second − first contain error only, once from each squeeze. A shift that all golfers share is not error, so it is removed with the mean.",
      recipe:
        "Take second − first for each golfer, then the SD of these differences with n − 1, then divide by √2.",
    },
    slips: {
      notDivided: [
        "square root of 2",
        "That is the SD of the differences. A difference contains the error of two squeezes.",
      ],
      divisorN: [
        "n − 1",
        "You divided by n. The mean was estimated from the same golfers, so divide by n − 1.",
      ],
      halved: [
        "square root of 2",
        "You halved the SD of the differences. Two errors add as squares, so divide by √2.",
      ],
      squared: ["square", "That is a variance, in kgf². The error is its square root."],
      people: [
        "golfers, not error",
        "That is the SD between golfers, not the error of one golfer's squeezes.",
      ],
      shift: [
        "mean, not spread",
        "That is the mean difference: a shift that all golfers share. The error is the spread about it.",
      ],
      shiftKept: [
        "shared shift",
        "You took √(Σd² / 2n). It counts the shift that all golfers share as error: subtract the mean difference first, and divide by n − 1.",
      ],
    },
    steps: ({ value, facts: { differences, shift, sd, n } }) => [
      list("Second − first for each golfer (kgf):", differences, one),
      `Their mean is ${two(shift)} kgf: all golfers share this shift, and it is no error.`,
      `Their SD about this mean, with n − 1 = ${n - 1}, is ${three(sd)} kgf.`,
      `Two squeezes carry two errors: ${three(sd)} / √2 = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `In 95 of 100 cases one squeeze of these golfers lies within ${two(1.96 * value)} kgf of the golfer's own level.`,
  },
  "squeeze-detectable-change": {
    asks: "minimal detectable change (95 %) of the mean of three squeezes",
    prompt:
      "Now take all three squeezes. Their typical error is the root of the error mean square of a two-way table, golfers by squeezes. What is the minimal detectable change (95 %) of a golfer who is tested by the mean of three squeezes, before and after?",
    hints: {
      question:
        "How many readings are in the value of one test, and how many tests are in a change?",
      idea: "The mean of three has 1/√3 of the error of one squeeze. A change is a difference of two tests, so its error is √2 times that of one.",
      recipe: "1.96 × √2 × (typical error of one squeeze) / √3.",
    },
    slips: {
      oneSqueeze: [
        "one squeeze",
        "That is for one squeeze at each test. The mean of three has a smaller error.",
      ],
      dividedBy3: [
        "square root of 3",
        "Three squeezes make the error √3 times smaller, not 3 times.",
      ],
      level90: ["level", "That is the 90 % detectable change: its factor is 1.645."],
      oneTest: [
        "square root of 2",
        "Both tests have an error: the error of a change is √2 times that of one test.",
      ],
      errorOnly: ["error, not change", "That is the typical error of one squeeze."],
      noFactor: ["level", "The error of the change is right. The factor 1.96 for 95 % is missing."],
      shiftKept: [
        "shared shift",
        "Your error is the pooled SD of each golfer's squeezes. It counts the shift that all golfers share from squeeze to squeeze as error: remove the means of the three columns as well.",
      ],
    },
    steps: ({ value, facts: { error, ofMean, ofChange } }) => [
      `The typical error of one squeeze, from all three, is ${three(error)} kgf.`,
      `The mean of three squeezes has the error ${three(error)} / √3 = ${three(ofMean)} kgf.`,
      `A change is a difference of two such means: √2 × ${three(ofMean)} = ${three(ofChange)} kgf.`,
      `95 % of the changes of golfers who did not change lie within 1.96 × ${three(ofChange)} = ${two(value)} kgf of zero.`,
    ],
    meaning: ({ value }) =>
      `A golfer of this group whose mean of three rises by more than ${two(value)} kgf has probably changed. A smaller rise may be measurement error.`,
  },
  "squeeze-best-or-mean": {
    asks: "gain made up by a switch from mean to best",
    prompt:
      "A coach takes the mean of the three squeezes in spring and the best of three in autumn. Your golfers squeeze exactly as in the table both times. What mean gain does the switch make up?",
    hints: {
      question: "Can the best of three squeezes be lower than their mean?",
      idea: "The best is the mean plus a lucky error. The switch adds this error to every golfer, although nobody changed.",
      recipe:
        "For each golfer take the highest of the three − their mean, then the mean over the golfers.",
    },
    slips: {
      sign: ["sign", "The best is never below the mean: the gain has the other sign."],
      oneGolfer: ["one golfer", "That is golfer A alone. Take the mean over all golfers."],
      percent: ["percent, not kgf", "That is a percentage of the mean."],
      range: ["best and worst", "That is best − worst. The first test was the mean."],
    },
    steps: ({ value, facts: { gains, n } }) => [
      list("Best − mean for each golfer (kgf):", gains, two),
      `The mean of these ${n} gains is ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `The report would show a gain of ${two(value)} kgf although no golfer changed: use one rule for all visits.`,
  },
  "line-slope": {
    asks: "slope of speed on grip",
    prompt: "What is the least-squares slope of speed on grip?",
    hints: {
      question: "By how much does speed differ between two golfers whose grip differs by 1 kgf?",
      idea: "The slope compares how grip and speed vary together with how grip varies alone, both about their means.",
      recipe:
        "Sum of (grip − mean grip) × (speed − mean speed), divided by the sum of (grip − mean grip)².",
    },
    slips: {
      sign: ["sign", "The size is right, the sign is not: does speed rise or fall with grip here?"],
      turned: ["x and y", "That is kgf per mph: grip on speed. The question is speed on grip."],
      turnedOver: [
        "x and y",
        "That is 1 divided by the slope of grip on speed. Least squares is not symmetrical.",
      ],
      correlation: ["correlation, not slope", "That is r, which has no unit. A slope has one."],
      throughZero: [
        "through zero",
        "That line was forced through 0 kgf and 0 mph, where there is no golfer.",
      ],
      metric: ["unit", "That is m/s per kgf: the speeds are in mph."],
    },
    steps: ({ value, facts: { meanGrip, meanSpeed, products, squares } }) => [
      `The means are ${two(meanGrip)} kgf and ${two(meanSpeed)} mph.`,
      `The sum of (grip − ${two(meanGrip)}) × (speed − ${two(meanSpeed)}) is ${one(products)}.`,
      `The sum of (grip − ${two(meanGrip)})² is ${one(squares)}.`,
      `The slope is ${one(products)} / ${one(squares)} = ${two(value)} mph per kgf.`,
    ],
    meaning: ({ value }) =>
      `Between golfers of this group whose grip differs by 1 kgf, speed ${goes(value)} mph on average. This says nothing about a golfer who trains.`,
  },
  "line-residual": {
    asks: "residual of golfer C",
    prompt: "How far is golfer C above (+) or below (−) the line?",
    hints: {
      question: "What speed does the line give at golfer C's grip?",
      idea: "A residual is the measured value − the value on the line at the same grip.",
      recipe: "Line at C's grip = intercept + slope × grip. Residual = measured speed − line.",
    },
    slips: {
      sign: ["sign", "The sign: above the line is plus, measured − fitted."],
      fromMean: [
        "mean, not line",
        "That is the distance from the mean of all golfers, not from the line.",
      ],
      fitted: [
        "fitted, not residual",
        "That is the speed on the line at this golfer's grip. How far is the golfer from it?",
      ],
      metric: ["unit", "That is in m/s."],
    },
    steps: ({ value, facts: { grip, measured, fitted, intercept, slope } }) => [
      `At C's grip of ${one(grip)} kgf the line is at ${two(intercept)} + ${three(slope)} × ${one(grip)} = ${two(fitted)} mph.`,
      `C was measured at ${one(measured)} mph.`,
      `The residual is ${one(measured)} − ${two(fitted)} = ${one(value)} mph.`,
    ],
    meaning: ({ value }) =>
      `Golfer C swings ${one(Math.abs(value))} mph ${value < 0 ? "slower" : "faster"} than the line gives for this grip. Grip is not the only thing that matters.`,
  },
  "line-one-golfer": {
    asks: "half-width for one golfer at the mean grip",
    prompt:
      "One more golfer comes, whose grip is exactly the mean of these ten. Within how much of the line, to either side, would that golfer's speed lie with 95 % probability?",
    hints: {
      question: "If the line were known exactly, would the next golfer lie on it?",
      idea: "Two things add: golfers scatter about the line, and the line itself is estimated. At the mean grip the second part is smallest.",
      recipe: "t(n − 2) × residual SD × √(1 + 1/n), with a residual SD that divides by n − 2.",
    },
    slips: {
      ofMean: [
        "mean, not one golfer",
        "That is the band for the mean of such golfers. One golfer varies about it as well.",
      ],
      whole: [
        "whole, not half",
        "That is the whole width. The question is how far to either side.",
      ],
      dfOneMore: ["n − 1", "The line takes two numbers from the data: n − 2 degrees of freedom."],
      normal: [
        "normal, not t",
        "With so few golfers take Student's t with n − 2 degrees of freedom, not 1.96.",
      ],
      lineKnown: ["line known", "The height of the line is estimated too: use √(1 + 1/n)."],
    },
    steps: ({ value, facts: { t, residualSd, n } }) => [
      `The residual SD, with n − 2 = ${n - 2}, is ${three(residualSd)} mph.`,
      `Student's t for 95 % with ${n - 2} degrees of freedom is ${three(t)}.`,
      `${three(t)} × ${three(residualSd)} × √(1 + 1/${n}) = ${one(value)} mph.`,
    ],
    meaning: ({ value, facts: { atMean } }) =>
      `The mean speed at this grip is known to ${one(atMean)} mph, one golfer only to ${one(value)} mph. Grip hardly predicts the speed of one golfer.`,
  },
  "change-percent": {
    asks: "mean change as percent of the mean before",
    prompt:
      "By how much did the nine golfers with the grip block change, as percent of their mean before?",
    hints: {
      question: "Percent of what?",
      idea: "The change of the mean is compared with the mean before the block.",
      recipe:
        "100 × (mean after − mean before) / mean before, for the nine golfers with trained 1.",
    },
    slips: {
      ofAfter: [
        "percent of what",
        "That is percent of the mean after. The question asks for percent of the mean before.",
      ],
      ofBoth: ["percent of what", "That is percent of the average of before and after."],
      ofEach: [
        "percent of what",
        "That is the mean of the golfers' own percentages, each with its own base.",
      ],
      wholeAfter: [
        "percent of what",
        "That is the mean after as percent of the mean before. The change is what exceeds 100.",
      ],
      fraction: ["fraction", "That is a fraction: multiply it by 100."],
      inKgf: ["unit", "That is the change in kgf, not in percent."],
      sign: ["sign", "The sign: a change is after − before."],
    },
    steps: ({ value, facts: { before, after, gain } }) => [
      `Mean before: ${two(before)} kgf. Mean after: ${two(after)} kgf.`,
      `The change is ${two(after)} − ${two(before)} = ${two(gain)} kgf.`,
      `100 × ${two(gain)} / ${two(before)} = ${one(value)} %.`,
    ],
    meaning: ({ value }) =>
      `The group's mean grip ${value < 0 ? "fell" : "rose"} by ${one(Math.abs(value))} %. This includes any change that would have happened without training.`,
  },
  "change-error": {
    asks: "standard error of the mean change",
    prompt: "What is the standard error of the mean change of the nine trained golfers?",
    hints: {
      question: "Are before and after two groups of different golfers?",
      idea: "Each golfer gives one change. The mean of n changes is more precise than one change by √n.",
      recipe: "One change for each golfer, their SD with n − 1, divided by √n.",
    },
    slips: {
      divisorN: [
        "n − 1",
        "You divided by n. The mean was estimated from the same golfers, so divide by n − 1.",
      ],
      sd: [
        "SD, not standard error",
        "That is the SD of the changes: how golfers differ. Divide it by √n.",
      ],
      dividedByN: ["square root of n", "You divided by n. The error of a mean falls with √n."],
      unpaired: [
        "pairs",
        "That treats before and after as two groups of different golfers. They are the same golfers: use the changes.",
      ],
      squared: ["square", "That is the variance of the mean, in kgf²."],
    },
    steps: ({ value, facts: { changes, sd, n } }) => [
      list("Change of each golfer (kgf):", changes, one),
      `Their SD, with n − 1 = ${n - 1}, is ${three(sd)} kgf.`,
      `${three(sd)} / √${n} = ${two(value)} kgf.`,
    ],
    meaning: ({ value, facts: { mean } }) =>
      `The mean change of ${two(mean)} kgf is known to about ${two(2.306 * value)} kgf to either side (t with 8 degrees of freedom × standard error).`,
  },
  "change-beyond-control": {
    asks: "change of the trained beyond the control group",
    prompt: "How much more did the trained golfers change than the control group?",
    hints: {
      question: "What happened to those who did not train?",
      idea: "Learning, season and regression to the mean happen to both groups. The difference of the changes removes them.",
      recipe: "Mean change with trained 1 − mean change with trained 0.",
    },
    slips: {
      sign: ["sign", "The sign: trained − control."],
      noControl: [
        "control not subtracted",
        "That is what the trained golfers gained. The others gained something as well, without the block.",
      ],
      afterOnly: [
        "start not subtracted",
        "That compares the groups after the block only. They did not start alike.",
      ],
      added: ["added", "You added the two changes. Subtract what the control group gained."],
      controlOnly: ["control only", "That is the control group's own change."],
    },
    steps: ({ value, facts: { gain, others } }) => [
      `The trained golfers changed by ${two(gain)} kgf on average.`,
      `The control group changed by ${two(others)} kgf on average.`,
      `${two(gain)} − ${two(others)} = ${two(value)} kgf.`,
    ],
    meaning: ({ value, facts: { gain } }) =>
      `Of the ${two(gain)} kgf that the trained golfers gained, ${two(value)} kgf exceed the change of the control group. Only this part can be due to the block.`,
  },
  "cards-left-out": {
    asks: "chance that a golfer is left out of a resample",
    prompt:
      "One resample draws as many cards as there are golfers, each time from all of them. What is the chance, in percent, that one certain golfer is not drawn at all?",
    hints: {
      question: "What is the chance that one draw is another golfer?",
      idea: "The draws are independent: all n of them must miss this golfer.",
      recipe: "(1 − 1/n) to the power n, times 100.",
    },
    slips: {
      fraction: ["fraction", "That is a fraction: multiply it by 100."],
      drawn: ["drawn, not left out", "That is the chance to be drawn at least once."],
      oneDraw: ["one draw", "That is the chance to be drawn by one draw."],
      passedOnce: ["one draw", "That is the chance to be missed by one draw. There are n draws."],
      manyGolfers: [
        "many golfers",
        "That is the value for very many golfers. Yours are few: count them.",
      ],
    },
    steps: ({ value, facts: { n } }) => [
      `There are ${n} golfers. One draw misses this golfer with chance 1 − 1/${n} = ${three(1 - 1 / n)}.`,
      `All ${n} draws miss with chance ${three(1 - 1 / n)} to the power ${n} = ${three(value / 100)}.`,
      `That is ${one(value)} %.`,
    ],
    meaning: ({ value }) =>
      `About ${one(value)} % of the resamples do not contain this golfer; the others contain the golfer once, twice or more often. This is why the resampled means differ.`,
  },
  "cards-error": {
    asks: "bootstrap standard error of the mean, drawn for ever",
    prompt:
      "If you drew resamples for ever, what would be the SD of their means, the bootstrap standard error of the mean change?",
    hints: {
      question:
        "Whose mean do the resamples vary about: that of all golfers in the world, or that of these cards?",
      idea: "The cards are the whole population that is drawn from, so their variance has n in the denominator.",
      recipe: "√(sum of (change − mean)² / n), then divided by √n.",
    },
    slips: {
      divisorLess: [
        "n − 1",
        "That is the usual standard error, with n − 1. Draws from the cards vary about the cards' own mean: divide by n.",
      ],
      sd: ["SD, not standard error", "That is the SD of the changes, not of means of n cards."],
      single: [
        "square root of n",
        "That is the spread of single cards. Means of n cards vary √n times less.",
      ],
      squared: ["square", "That is a variance, in kgf². Take its root."],
    },
    steps: ({ value, facts: { n, spread } }) => [
      `The root of the mean squared deviation of the ${n} changes, with n, is ${three(spread)} kgf.`,
      `Means of ${n} cards: ${three(spread)} / √${n} = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `The mean of a resample usually lies within ${two(2 * value)} kgf of your golfers' mean. With few golfers this is a little too small: n in place of n − 1.`,
  },
  "cards-limit": {
    asks: "lower limit of the 90 % percentile interval",
    prompt:
      "The grid below the table lists 39 resampled means in order. What is the lower limit of the 90 % percentile interval?",
    hints: {
      question: "Which share of the means lies below the lower limit of a 90 % interval?",
      idea: "5 % lie below the lower limit and 5 % above the upper one.",
      recipe: "With 39 means in order each place is a step of 1/40. 5 % of 40 is place 2.",
    },
    slips: {
      lowest: ["level", "The lowest of 39 is the limit of a 95 % interval: 1/40 lies below it."],
      oneTail: [
        "one tail",
        "The fourth leaves 10 % below it. A 90 % interval leaves 5 % on each side.",
      ],
      upper: ["upper limit", "That is the upper limit."],
      third: ["counting", "One place too far: 5 % of (39 + 1) is place 2."],
      formula: [
        "formula, not cards",
        "That comes from a formula with the normal distribution. The percentile interval reads the cards.",
      ],
    },
    steps: ({ value, facts: { upper } }) => [
      "39 means in order divide the range into 40 steps. 5 % of 40 is 2.",
      `The second mean from below is ${two(value)} kgf. The second from above, ${two(upper)} kgf, is the upper limit.`,
    ],
    meaning: ({ value, facts: { upper } }) =>
      `The 90 % percentile interval is ${two(value)} to ${two(upper)} kgf; zero is ${value > 0 || upper < 0 ? "excluded" : "included"}. With so few golfers it is usually too narrow.`,
  },
  "within-own-slope": {
    asks: "own slope of the student's golfer",
    prompt: "What is the slope of speed on grip of your own golfer, named in the caption?",
    hints: {
      question: "Which of the twenty rows belong to your golfer?",
      idea: "A golfer's own slope uses the golfer's own visits and the golfer's own means.",
      recipe:
        "Only the four rows of your golfer: sum of (grip − own mean) × (speed − own mean), divided by the sum of (grip − own mean)².",
    },
    slips: {
      sign: ["sign", "The size is right, the sign is not: use this golfer's four visits only."],
      allRows: ["all golfers, not one", "That is the slope through the rows of all golfers."],
      turned: ["x and y", "That is kgf per mph: grip on speed."],
    },
    steps: ({ value, facts: { golfer, meanGrip, meanSpeed, products, squares } }) => [
      `Golfer ${golfer}'s four visits have the means ${two(meanGrip)} kgf and ${two(meanSpeed)} mph.`,
      `The sum of the products of the deviations is ${two(products)}; the sum of the squared grip deviations is ${two(squares)}.`,
      `${two(products)} / ${two(squares)} = ${two(value)} mph per kgf.`,
    ],
    meaning: ({ value, facts: { golfer } }) =>
      `When golfer ${golfer}'s grip is 1 kgf higher at a visit, the golfer's speed ${goes(value)} mph. Four visits tell this only roughly.`,
  },
  "within-mean-slope": {
    asks: "mean of the golfers' own slopes",
    prompt: "What is the mean of the five golfers' own slopes?",
    hints: {
      question: "How many lines do you need before you take a mean?",
      idea: "Each golfer has an own line. Their mean slope is the change within golfers; a line through the golfers' means is the difference between golfers.",
      recipe: "A slope for each golfer from four rows, then the mean of the five slopes.",
    },
    slips: {
      allRows: [
        "one line for all",
        "That is one line through all twenty rows: it mixes differences between golfers with changes within them.",
      ],
      between: [
        "between, not within",
        "That is the line through the five golfers' means: the slope between golfers.",
      ],
      sign: ["sign", "The size is right, the sign is not."],
      added: ["added", "That is the sum of the slopes. Divide by the number of golfers."],
    },
    steps: ({ value, facts: { slopes } }) => [
      list("Slope of each golfer (mph per kgf):", slopes, two),
      `Their mean is ${two(value)} mph per kgf.`,
    ],
    meaning: ({ value, facts: { between } }) =>
      `Within these golfers speed ${goes(value)} mph per kgf; between golfers it ${goes(between)}. Only the first tells what may happen when a golfer gains grip.`,
  },
  "within-shrunken": {
    asks: "shrunken mean speed of the student's golfer",
    prompt:
      "Take speed alone, without grip. With the two standard deviations of the caption, which mean speed does a mixed model give for your golfer?",
    hints: {
      question:
        "How much do you trust the mean of four visits, compared with the mean of all golfers?",
      idea: "The model is a compromise: the more golfers differ and the more visits there are, the more the golfer's own mean counts.",
      recipe:
        "Mean of all + B × (own mean − mean of all), with B = between² / (between² + within² / 4).",
    },
    slips: {
      oneVisit: [
        "four visits",
        "You shrank as if there were one visit. The mean of four has a quarter of the variance.",
      ],
      turned: [
        "wrong way round",
        "The weight is the wrong way round: the more precise the golfer's own mean, the more it counts.",
      ],
      notShrunken: ["not shrunken", "That is the golfer's own mean, unchanged."],
      shrunkenAway: [
        "shrunken away",
        "That is the mean of all golfers: nothing of the golfer is left.",
      ],
      notSquared: ["squares", "The weights are variances: square the SDs."],
    },
    steps: ({ value, facts: { golfer, own, all, between, within, visits, weight } }) => [
      `Golfer ${golfer}'s own mean is ${two(own)} mph, the mean of all golfers ${two(all)} mph.`,
      `B = ${one(between)}² / (${one(between)}² + ${one(within)}² / ${visits}) = ${three(weight)}.`,
      `${two(all)} + ${three(weight)} × (${two(own)} − ${two(all)}) = ${one(value)} mph.`,
    ],
    meaning: ({ value, facts: { golfer, own } }) =>
      `The best guess for golfer ${golfer} is ${one(value)} mph in place of ${one(own)}: four visits contain chance, and the others tell where golfers usually are.`,
  },
};

/** What every exercise says, whatever it asks. */
export const englishReplies: ReplyWords = {
  exercise: "Exercise.",
  wanted: (unit, digits) => {
    const places = `${digits} decimal${digits === 1 ? "" : "s"}`;
    return unit ? `Answer in ${unit}, to ${places}.` : `Answer to ${places}.`;
  },
  right: "Right.",
  notYet: (kind) => `Not yet: ${kind}.`,
  hint: "Hint:",
  solution: "The solution, step by step:",
  noAnswer: "No answer yet.",
  notNumber: (unit) =>
    `The answer is not a number: write 1.4${unit === "" ? "" : ` or "1.4 ${unit}"`}.`,
  gap: (typed) => `There is a space inside the number "${typed}". Type it as one number.`,
  twoPoints: (typed) => `There are two decimal signs in "${typed}". Type the number again.`,
  twoValues: (first, second) =>
    `Two values were given, ${first} and ${second}: a comma separates values in a cell. Write ${first}.${second}, or "${first},${second}" in quotes.`,
  unit: (asked, given) =>
    `The answer is asked ${asked === "" ? "as a number without a unit" : `in ${asked}`}, not in ${given}.`,
  otherUnit: (symbol, asked) =>
    `That looks like the right amount in ${symbol}: the answer is asked in ${asked}.`,
  wrongUnit: (asked, given) => `The number is right in ${asked}; you wrote ${given}.`,
  sign: "The size is right, the sign is not.",
  fraction: "That is a fraction: multiply it by 100.",
  coarse: (digits) => `Right so far; give ${digits} decimal${digits === 1 ? "" : "s"}.`,
  close: "Close: keep all digits on the way and round at the end.",
  unknown:
    "Not yet, and no common mistake leads to this number. Check that you used the right rows and columns, the sign, and all digits on the way.",
  kinds: { unit: "unit", sign: "sign", fraction: "fraction", rounding: "rounding" },
};

/** The text of the lessons: questions, captions and text cells. Made on demand: a program without lessons leaves it out. */
export const englishLessons = (): LessonTexts => ({
  questions: {
    "squeeze-open": {
      asks: "A golfer squeezed 42 kgf last month and 44 kgf today. Is the golfer stronger?",
      options: [
        option(
          "Yes: 44 is more than 42.",
          "The next squeeze, a minute later, may show 41 kgf. This lesson shows by how much squeezes vary.",
        ),
        option(
          "No: 2 kgf is nothing.",
          "It may be something. Whether 2 kgf can be detected depends on the error of one squeeze.",
        ),
        option(
          "Two squeezes cannot show it.",
          "Right, in most cases. This lesson shows how large a change must be before two tests can show it.",
        ),
      ],
      picture: {
        drawn: twoSqueezes({
          title: "One golfer, one squeeze at each test",
          tests: "Last month, and today",
          grip: "Lead-hand grip (kgf)",
        }),
        alt: "Two dots joined by a dashed line: 42 kgf last month and 44 kgf today.",
      },
    },
    "squeeze-shift": {
      asks: "Eight golfers squeeze twice, and the second squeeze is 1.1 kgf lower on average. Is this drop part of the error of one squeeze?",
      options: [
        option(
          "Yes: the readings differ.",
          "They do, but all golfers share the drop, for example because they are tired. Error is what remains when it is subtracted: the right panel.",
        ),
        option(
          "No: subtract it first.",
          "Right. Subtract the mean difference: the dots move to zero, and their spread, which stays the same, is the error.",
        ),
      ],
      picture: {
        drawn: sharedShift({
          before: "Second − first squeeze: shift and error",
          after: "The mean difference subtracted: error only",
          difference: "Difference (kgf)",
          none: "no difference",
          mean: "mean",
        }),
        alt: "Eight dots on a scale of second − first squeeze about their mean of −1.1 kgf; beside it the same dots about zero.",
      },
    },
    "squeeze-predict": {
      asks: "No golfer of a squad of 12 changed. How many exceed the 95 % minimal detectable change?",
      options: [
        option(
          "None: nobody changed.",
          "One squad may show none. Show one golfer from each of 200 squads: chance takes about 5 % beyond the limit, that is 0.6 of 12.",
        ),
        option(
          "Between none and two.",
          "Right. The expected number is 5 % of 12 = 0.6, so most squads have none or one, some have two.",
        ),
        option(
          "About half.",
          "That would be a limit at the typical size of a change. The 95 % limit is exceeded by about 5 % of golfers.",
        ),
      ],
    },
    "squeeze-play-1": {
      asks: "Leave the true change at zero and draw several times. What do the filled dots show?",
      options: [
        option(
          "Golfers who improved or became weaker.",
          "The true change is zero for every golfer: these changes are error only.",
        ),
        option(
          "Golfers whose error was large by chance.",
          "Right. The limit is made so that about 5 of 100 unchanged golfers exceed it.",
        ),
      ],
    },
    "squeeze-play-2": {
      asks: "Raise the squeezes from 1 to 3, then from 3 to 10. Which step makes the detectable change smaller by more kgf?",
      options: [
        option(
          "From 1 to 3.",
          "Right: from 4.2 to 2.4 kgf with an error of 1.5 kgf. The error falls with the square root of the number of squeezes.",
        ),
        option(
          "From 3 to 10.",
          "That step gains 1.1 kgf for seven more squeezes; the first gains 1.8 kgf for two more.",
        ),
        option(
          "Both by the same amount.",
          "Read the result: 4.2, 2.4 and 1.3 kgf. The square root makes the first squeezes worth most.",
        ),
      ],
    },
    "squeeze-play-3": {
      asks: "Set three squeezes and a true change of 2 kgf. How many of 12 golfers would be told that they did not change?",
      options: [
        option(
          "None: every golfer truly gained.",
          "Only 4 or 5 of 12 exceed the limit of 2.4 kgf. The others truly gained, but the test cannot show it.",
        ),
        option(
          "About 4.",
          "That is about how many exceed the limit. The other 7 or 8 truly gained, but the test cannot show it.",
        ),
        option(
          "7 or 8.",
          "Right. A true change below the detectable change is missed in most golfers.",
        ),
      ],
    },
    "squeeze-play-4": {
      asks: "Set the true change to zero and choose “mean before, best after”. Where does the gain come from?",
      options: [
        option(
          "From training.",
          "The true change is zero. The switch of the rule alone adds about 1.3 kgf.",
        ),
        option(
          "From the switch of the rule.",
          "Right. The best of three contains a lucky error, and the mean of three does not.",
        ),
      ],
    },
    "squeeze-judge": {
      asks: "A coach says: “Your grip rose by 2 kgf, so the training works.” The minimal detectable change is 3.2 kgf. Is that justified?",
      options: [
        option(
          "Yes: 2 kgf is more than nothing.",
          "A change of 2 kgf is often measured in golfers who did not change at all.",
        ),
        option(
          "No: the change is within measurement error, so the golfer did not improve.",
          "Half right. The change is within measurement error, but a change too small to detect may still be there.",
        ),
        option(
          "No: two tests cannot show whether this golfer changed.",
          "Right. Test again, or use the mean of more squeezes to make the limit smaller.",
        ),
      ],
    },
    "line-open": {
      asks: "A golfer squeezes 50 kgf. How fast will the golfer swing?",
      options: [
        option(
          "95 mph: the line says so.",
          "The line gives the mean of golfers with 50 kgf. One golfer may be far from the mean.",
        ),
        option(
          "Somewhere between 80 and 110 mph.",
          "Right. The golfers lie far from the line, and so may the next one.",
        ),
        option(
          "Faster than every weaker golfer.",
          "Look at the dots: some golfers of 43 or 47 kgf swing faster than one of 54 kgf.",
        ),
      ],
      picture: {
        drawn: golferToPredict({
          title: "Twelve golfers, their line, and a new golfer of 50 kgf",
          grip: "Lead-hand grip (kgf)",
          speed: "Driver speed (mph)",
          newcomer: "the new golfer",
        }),
        alt: "Twelve golfers by grip and speed, widely scattered about a rising line. A dashed line marks a new golfer of 50 kgf.",
      },
    },
    "line-predict": {
      asks: "Grip is measured with a large error. What happens to the slope of speed on grip?",
      options: [
        option(
          "It varies more, but stays right on average.",
          "That is true for errors in speed. Errors in grip spread the golfers sideways: show all 200 studies, and the slopes are about 0.2 in place of 0.4.",
        ),
        option(
          "It becomes flatter, study after study.",
          "Right: show all 200 studies. The error spreads the golfers along the grip axis without spreading their speed, and the mean slope is about 0.2 in place of 0.4.",
        ),
        option(
          "It becomes steeper.",
          "The opposite: the error spreads the golfers sideways. Show all 200 studies: the mean slope is about 0.2 in place of 0.4.",
        ),
      ],
    },
    "line-play-1": {
      asks: "Draw several times with 5 golfers, then with 40. Which band does not become narrow?",
      options: [
        option(
          "The narrow one, for the mean.",
          "It does: at the mean grip from about ± 9 to ± 2 mph, because the mean of more golfers is known better.",
        ),
        option(
          "The wide one, for one golfer.",
          "Right. More golfers show the line better, but they do not make golfers alike: about ± 14 mph remain.",
        ),
      ],
    },
    "line-play-2": {
      asks: "Give one golfer a slow swing in spite of a strong grip (−30 mph). In which study does this golfer turn the line more?",
      options: [
        option(
          "In the study of 5 golfers.",
          "Right: there the mean slope falls from 0.4 to about −0.6. One golfer of five, far out on the grip axis, has great leverage.",
        ),
        option(
          "In the study of 40 golfers.",
          "There the mean slope falls from 0.4 to about 0.2 only: 39 other golfers hold the line.",
        ),
        option(
          "In both alike.",
          "Compare the mean slopes: about −0.6 with 5 golfers, about 0.2 with 40.",
        ),
      ],
    },
    "line-play-3": {
      asks: "Put the golfer back on the line. Set an error of 8 kgf, with one squeeze, then with ten. What do ten squeezes repair?",
      options: [
        option(
          "The slope: from about 0.2 back to nearly 0.4.",
          "Right. The mean of ten squeezes has less error, so the golfers are spread sideways much less.",
        ),
        option(
          "The wide band for one golfer.",
          "It hardly changes: golfers differ in speed for many reasons beside grip.",
        ),
        option(
          "Nothing.",
          "Look at the mean of the slopes: about 0.2 with one squeeze, nearly 0.4 with ten.",
        ),
      ],
    },
    "line-play-4": {
      asks: "The lines end where the golfers end. What would you say of a golfer of 80 kgf?",
      options: [
        option(
          "Continue the line to 80 kgf.",
          "No golfer shows whether the line goes on like this. That would be extrapolation.",
        ),
        option(
          "Nothing: no golfer near 80 kgf was measured.",
          "Right. A line holds for grips that the study measured.",
        ),
      ],
    },
    "line-drag": {
      asks: "Drag golfers up and down, or choose one and press the arrow keys. Which golfers turn the line most?",
      options: [
        option(
          "Those at the ends of the grip axis.",
          "Right. They have the greatest leverage: read its value below the figure.",
        ),
        option(
          "Those near the mean grip.",
          "They shift the whole line up or down a little, but they hardly turn it.",
        ),
        option(
          "All alike.",
          "Move golfer H by 10 mph, reset, then move golfer D by 10 mph, and compare the slopes.",
        ),
      ],
    },
    "line-judge": {
      asks: "A coach says: “The slope is 0.4 mph per kgf, so 5 kgf more grip give you 2 mph.” Is that justified?",
      options: [
        option(
          "Yes: 5 × 0.4 = 2.",
          "The arithmetic is right, the conclusion is not: the slope compares different golfers, who also differ in age, height and training.",
        ),
        option(
          "No: the line compares golfers, not one golfer before and after.",
          "Right. Only repeated measurements of the same golfers can show what happens when a golfer gains grip.",
        ),
        option(
          "No: 0.4 is too small to matter.",
          "The size is not the problem. A slope between golfers does not show what happens to one golfer.",
        ),
      ],
    },
    "before-after-open": {
      asks: "Nine golfers did the block, and eight of them squeezed more afterwards. Did the block do that?",
      options: [
        option(
          "Yes: eight of nine improved.",
          "They improved, but perhaps not because of the block: they also knew the test by then.",
        ),
        option(
          "No.",
          "It may have. This picture alone cannot show what they would have done without the block.",
        ),
        option(
          "The picture cannot show it.",
          "Right. What is missing is a group that was tested twice without the block.",
        ),
      ],
      picture: {
        drawn: nineGolfers({
          title: "Nine golfers before and after six weeks of the block",
          tests: "Before, and after",
          grip: "Lead-hand grip (kgf)",
        }),
        alt: "Nine golfers, each a line from before to after. Eight lines rise, one falls.",
      },
    },
    "before-after-predict": {
      asks: "The block adds 2 kgf, knowing the test adds 1 kgf. What does a study without a control group find on average?",
      options: [
        option(
          "2 kgf.",
          "Show all 200 studies: the left panel is about 3 kgf. The gain from knowing the test is counted as an effect of training.",
        ),
        option(
          "3 kgf.",
          "Right: show all 200 studies. Without a control group the change includes everything that happened, here 2 + 1 kgf.",
        ),
        option("1 kgf.", "Nothing subtracts the effect of training. The two gains add: 3 kgf."),
      ],
    },
    "before-after-play-1": {
      asks: "Leave nine golfers and a gain of 1 kgf from knowing the test. How many of the 200 intervals on the left include the true effect?",
      options: [
        option(
          "About 190.",
          "That is so when the gain from knowing the test is zero: try it. With 1 kgf it is about 125.",
        ),
        option(
          "About 125.",
          "Right. The intervals lie about the wrong value, 3 kgf; with more golfers even fewer include 2 kgf.",
        ),
        option(
          "None.",
          "With nine golfers the intervals are wide, so many still reach down to 2 kgf.",
        ),
      ],
    },
    "before-after-play-2": {
      asks: "Set the true effect and the gain from knowing the test to zero, one squeeze, an error of 4 kgf, and let the weakest third take part. What does the block seem to do on the left?",
      options: [
        option(
          "Nothing.",
          "Read the result: it seems to add more than 2 kgf, although nothing happened.",
        ),
        option(
          "It seems to add more than 2 kgf.",
          "Right. The weakest third had bad luck at the first test, and bad luck does not repeat: regression to the mean.",
        ),
        option(
          "It seems to make golfers weaker.",
          "The opposite: golfers who were chosen for low values read higher at the next test.",
        ),
      ],
    },
    "before-after-play-3": {
      asks: "Press Reset. From how many golfers in a group does a study with a control group exclude zero in at least 9 of 10 studies?",
      options: [
        option(
          "From about 9.",
          "With nine golfers about 135 of 200 studies do so, that is 7 of 10.",
        ),
        option(
          "From about 16.",
          "Right: about 183 of 200. With nine golfers it is about 135 of 200.",
        ),
        option("From about 40.", "With 40 nearly every study does so; 16 are enough for 9 of 10."),
      ],
    },
    "before-after-play-4": {
      asks: "Press Reset and draw several times. How much do single studies of nine golfers differ?",
      options: [
        option(
          "Hardly: they all show about 2 kgf.",
          "Look at the 40 intervals on the right: their estimates range over about 3 to 4 kgf.",
        ),
        option(
          "By several kgf.",
          "Right. One study of nine golfers may show almost nothing or twice the true effect.",
        ),
      ],
    },
    "before-after-drag": {
      asks: "Move the dots until all lines are parallel, every golfer 2 kgf higher after the block. What becomes of the interval?",
      options: [
        option(
          "It becomes very narrow, although the golfers still differ.",
          "Right. The interval depends on how the changes differ, not on how the golfers differ.",
        ),
        option(
          "It stays as wide as the golfers differ.",
          "Differences between golfers are in both values and fall out of each golfer's change.",
        ),
      ],
    },
    "before-after-judge": {
      asks: "A coach says: “I took the weakest third, and after six weeks their mean had risen by 3 kgf. The block works.” There was no control group. Is that justified?",
      options: [
        option(
          "Yes: everybody could see the rise.",
          "The weakest third of a test would read higher at the next test without any training, because part of a low value is chance.",
        ),
        option(
          "No: it includes knowing the test, and regression to the mean.",
          "Right. Only the difference from a control group chosen in the same way can be due to the block.",
        ),
        option(
          "No: 3 kgf is less than the minimal detectable change.",
          "That limit is for one golfer. A mean of several golfers is more precise; the problem is the missing control group.",
        ),
      ],
    },
    "resampling-open": {
      asks: "Nine golfers gained 1.9 kgf on average. If nine others like them had come, how different might the mean be?",
      options: [
        option(
          "Not at all.",
          "The golfers differ from one another, so nine others have another mean.",
        ),
        option(
          "By about 1 kgf either way.",
          "Right. This lesson shows how the nine golfers themselves reveal it.",
        ),
        option(
          "By about 5 kgf either way.",
          "Single golfers differ so much. A mean of nine differs by a third of that.",
        ),
      ],
      picture: {
        drawn: nineChanges({
          title: "Change of each of nine golfers, and their mean",
          change: "Change of grip (kgf)",
          none: "no change",
          mean: "mean 1.9 kgf",
        }),
        alt: "Nine dots between −0.6 and 4.8 kgf on a scale of change, with a line at their mean, 1.9 kgf.",
      },
    },
    "resampling-predict": {
      asks: "With 5 golfers, in how many of 100 studies does a 95 % percentile interval include the true change?",
      options: [
        option(
          "95.",
          "Show all 200 studies: it is about 82 to 86. The resamples vary too little, because their variance has n and not n − 1, and normal limits replace t.",
        ),
        option(
          "About 84.",
          "Right: show all 200 studies. With very few golfers percentile intervals are too narrow.",
        ),
        option("About 50.", "It is not that bad: show all 200 studies, and it is about 82 to 86."),
      ],
    },
    "resampling-play-1": {
      asks: "Set 5 golfers and draw several times. Which intervals include the truth in about 95 of 100 studies?",
      options: [
        option("Percentile intervals.", "About 84 of 100: they are too narrow for so few golfers."),
        option(
          "BCa intervals.",
          "Also about 84 of 100: BCa corrects for a skewed distribution, not for few golfers.",
        ),
        option(
          "Student's t intervals.",
          "Right. The formula allows for the few golfers, and here the changes are normal, as it assumes.",
        ),
      ],
    },
    "resampling-play-2": {
      asks: "Raise the golfers to 30. How many of 100 percentile intervals include the truth now?",
      options: [
        option("About 84.", "That is so with 5 golfers. With 30 it is about 94."),
        option("About 94.", "Right: close to 95, and still a little below."),
        option(
          "All.",
          "An interval of 95 % should miss in 5 of 100 studies; here it misses in about 6.",
        ),
      ],
    },
    "resampling-play-3": {
      asks: "Set 9 golfers and let a few golfers gain very much. How many of 100 percentile intervals include the truth, and does BCa help?",
      options: [
        option(
          "About 85; BCa gains one or two.",
          "Right. Nine golfers often lack the one who gains very much, and no method can add that golfer.",
        ),
        option(
          "About 85; BCa repairs it to 95.",
          "BCa comes to about 86 only: it knows the same nine golfers.",
        ),
        option("About 95; BCa is not needed.", "Read the result: about 85 of 100."),
      ],
    },
    "resampling-play-4": {
      asks: "Set 5 golfers and change the resamples from 99 to 299. What improves?",
      options: [
        option(
          "More intervals include the truth.",
          "It stays at about 84 of 100: more resamples add no data.",
        ),
        option(
          "Only the distribution becomes smoother.",
          "Right. Resamples reduce the random error of the limits, but they add no golfers.",
        ),
      ],
    },
    "resampling-judge": {
      asks: "A report says: “The sample is small (n = 5), so we used the bootstrap with 10 000 resamples.” Is that justified?",
      options: [
        option(
          "Yes: 10 000 resamples make up for the few golfers.",
          "Resamples add no data. They only reduce the random error of the limits themselves.",
        ),
        option(
          "Yes: the bootstrap makes no assumptions.",
          "It assumes that the sample represents the population. Five golfers do so poorly, and the interval is too narrow.",
        ),
        option(
          "No: with 5 golfers bootstrap intervals are too narrow.",
          "Right. Use Student's t or a studentized bootstrap, and show the five values.",
        ),
      ],
    },
    "within-open": {
      asks: "Do golfers swing faster on days on which they squeeze more?",
      options: [
        option(
          "No: the dots fall from left to right.",
          "Look at one line of four dots: each golfer's own visits rise. The fall is from golfer to golfer.",
        ),
        option(
          "Yes: each golfer's own visits rise.",
          "Right. Between golfers the dots fall, within each golfer they rise: two questions, two answers.",
        ),
      ],
      picture: {
        drawn: fiveGolfers({
          title: "Five golfers: a dot is a visit, a line joins the four visits of a golfer",
          grip: "Lead-hand grip (kgf)",
          speed: "Driver speed (mph)",
        }),
        alt: "Five groups of four joined dots. From group to group the dots fall, within each group they rise.",
      },
    },
    "within-predict": {
      asks: "Between golfers the slope is −0.6. Can the slope within every golfer be positive?",
      options: [
        option(
          "No: the golfers make up the line.",
          "Look at the short lines. The line between golfers depends on their means only; how a golfer varies about the own mean is another matter.",
        ),
        option(
          "Yes.",
          "Right. The two slopes answer different questions and can have opposite signs.",
        ),
        option("Only with few golfers.", "Also with many: raise the number of golfers and look."),
      ],
    },
    "within-play-1": {
      asks: "Leave the slopes as they are. Seeing the dashed line only, what would a coach conclude about one golfer?",
      options: [
        option(
          "More grip makes this golfer slower.",
          "Right, and the conclusion is wrong: each golfer's own line rises.",
        ),
        option(
          "More grip makes this golfer faster.",
          "The dashed line falls. Only the short lines show that each golfer swings faster with more grip.",
        ),
      ],
    },
    "within-play-2": {
      asks: "Set an error of 5 mph and three visits: the golfers' own lines point everywhere. Now choose the mixed model's lines. What happens?",
      options: [
        option(
          "The lines become nearly parallel.",
          "Right. Three visits show little of one golfer, so the model moves each line towards the common one: shrinkage.",
        ),
        option(
          "The lines stay as they are.",
          "Compare the two spans of slopes in the result: the shrunken lines span much less.",
        ),
        option(
          "The lines become steeper.",
          "They become more alike, because each is moved towards the common line.",
        ),
      ],
    },
    "within-play-3": {
      asks: "Press Reset and set the slope between golfers to +0.5. Could the dashed line alone have shown the slope within golfers?",
      options: [
        option(
          "Yes: both are 0.5 now.",
          "They agree by chance of this setting. The dashed line looks the same whatever the slope within golfers is.",
        ),
        option(
          "No: it only happens to agree.",
          "Right. The dashed line depends on the golfers' means alone.",
        ),
      ],
    },
    "within-play-4": {
      asks: "Press Reset and take three golfers. Draw several times. Which of the two slopes varies more?",
      options: [
        option(
          "The slope between golfers.",
          "Right: three means make a poor line, while each golfer still adds five visits to the slope within.",
        ),
        option(
          "The slope within golfers.",
          "Look at the dots on the right: they spread much more upwards, along the slope between golfers.",
        ),
      ],
    },
    "within-judge": {
      asks: "A coach measures 20 golfers once and finds that strong golfers swing faster. “So on your strong days you swing faster.” Is that justified?",
      options: [
        option(
          "Yes: grip goes with speed.",
          "It does between golfers. One measurement per golfer contains no information about days of one golfer.",
        ),
        option(
          "No: that needs several visits of the same golfers.",
          "Right. The slope within golfers needs repeated visits.",
        ),
        option(
          "No: 20 golfers are too few.",
          "More golfers would not help: each was measured once.",
        ),
      ],
    },
    "physics-open": {
      asks: "A golfer swings at 110 instead of 100 mph. How much harder does the club pull?",
      options: [
        option("10 % harder.", "The pull grows faster than the speed: look at the three dots."),
        option("21 % harder.", "Right: 1.1 × 1.1 = 1.21. The pull grows with the square of speed."),
        option("Twice as hard.", "That would need a speed √2 times as high, about 141 mph."),
      ],
      picture: {
        drawn: pullAtSpeeds({
          title: "Pull of the club on both hands at three speeds",
          speed: "Club-head speed (mph)",
          pull: "Pull (N)",
          asked: "and at 110 mph?",
        }),
        alt: "The pull is 220 N at 80 mph, 278 N at 90 mph and 343 N at 100 mph. A dashed line at 110 mph asks for the next.",
      },
    },
    "physics-predict": {
      asks: "Two golfers swing at 100 mph. The hands of one move on a circle of 0.65 m, those of the other on a wider one of 0.80 m. Whose club pulls harder?",
      options: [
        option(
          "That of the wider circle.",
          "The opposite: with a wider circle the hands' path bends less, so the pull falls from 343 to 338 N. Read the working.",
        ),
        option(
          "That of the narrower circle, a little.",
          "Right: 343 against 338 N. The hands' path adds only hand speed² / radius; the turning of the club about the hands does most of it.",
        ),
        option(
          "Both alike: the speed is the same.",
          "Nearly: 338 against 343 N. The radius of the hands' path has a small part in it, as the working shows.",
        ),
      ],
      picture: {
        drawn: twoRadii({
          title: "Arms and club at impact, seen from the front",
          centre: "centre",
          handsPath: "hands' path",
          hands: "hands",
          head: "head",
          headPath: "head about hands",
        }),
        alt: "Arms and club in one line downwards: from the centre of the arm swing 0.65 m to the hands, which move on a circle, and from there 1.05 m to the head, which turns about the hands.",
      },
    },
    "physics-play-1": {
      asks: "Set 60 mph, then 120 mph. How many times as large is the pull?",
      options: [
        option("Twice as large.", "The speed is twice as high; the pull grows with its square."),
        option("Four times as large.", "Right: 2 × 2 = 4, whatever the masses and the radii are."),
      ],
    },
    "physics-play-2": {
      asks: "Move the least friction from 0.5 to 1.0. Which limit of the squeeze changes?",
      options: [
        option(
          "The upper limit: it is halved.",
          "Right. Where friction is least, the hands must press most; twice the friction needs half the squeeze.",
        ),
        option(
          "The lower limit.",
          "The lower limit belongs to the most friction, which did not change.",
        ),
        option(
          "None: the pull decides.",
          "The pull stays the same, but the squeeze that holds it is the pull divided by the friction.",
        ),
      ],
    },
    "physics-judge": {
      asks: "An article says: “You need 50 kgf of grip to swing 110 mph.” Is that justified?",
      options: [
        option(
          "Yes: the pull at 110 mph is known.",
          "The pull is known fairly well. The grip that holds it depends on friction, which ranges over a factor of three or more, and on how a dynamometer reading relates to the hold.",
        ),
        option(
          "No: the range of plausible grips is too wide for one number.",
          "Right. Also, how much of their grip golfers use in a swing has not been published in a form that can be checked.",
        ),
      ],
    },
  },
  captions: {
    "one-squeeze":
      "Squads tested twice: what golfers measure when you know what truly happened to them.",
    "a-line": "A line through invented golfers, around the true one (dashed).",
    "before-and-after": "Studies with and without a control group, drawn again and again.",
    "own-line":
      "Eight golfers that you can move, with their line and the distance of each from it.",
    "own-changes": "Six golfers that you can move, before and after, with their mean change.",
    resampling: "A study resampled, and what the intervals of such studies include.",
    "within-and-between": "Lines within golfers and the line between golfers in invented studies.",
    pull: "The pull of the club, and the squeeze of both hands that friction alone would need.",
  },
  cells: {
    "1-one-squeeze": {
      question: `# 1 What one squeeze tells

I squeezed more than last month. Am I stronger, or was it a good day? You need one course of statistics and no programming.

> **Caution.** A maximal squeeze raises blood pressure for a moment. Do not test a hand or wrist that hurts or was operated on recently. Breathe out while you squeeze, rest at least a minute between squeezes of a hand, and stop at anything unusual. Local rules and licensed practice come first.`,
      idea: `## The idea

A dynamometer shows the golfer's grip **plus an error**. Nobody sees the two separately. But when a golfer squeezes several times within minutes, grip hardly changes, so the differences between squeezes are error. The usual size of this error is the typical error.

If all golfers squeeze a little less the second time, that is a shift they share. It is not error, and it is removed: subtract the mean difference first, then measure how the differences vary about it.

A change is the difference of two readings, and both have an error. Independent errors add as squares, so a change has √2 times the error of one reading. The mean of k squeezes has an error √k times smaller.`,
      real: `## How large is it in a study?

Here are three squeezes of every golfer at the first visit of the demonstration study, lead hand, at address. The study is invented, and so are its golfers.`,
      play: `## Predict, then look

A squad is tested twice. You decide what truly happened to it, and see what the dynamometer shows. Each dot is one golfer; filled dots exceed the minimal detectable change. Choose an answer first: one squad appears. Draw a few more, then show one golfer from each of 200 squads. Four tasks follow below the figure.`,
      exercises: `## Three exercises

These golfers are yours. Use a pocket calculator or a spreadsheet. A wrong answer gets a hint; after two tries you see the solution with your own numbers. In a notebook, write your answer after the comma, \`answer("squeeze-typical-error", 1.23)\`, and run the cell.`,
      coach: `## What a coach may say

"Your grip rose by more than measurement error." Say so if the change exceeds the minimal detectable change, and both tests used the same dynamometer, position, hand and rule. If it does not: "Two tests cannot show it; let us test again." Not: "You did not improve", because a change too small to detect may still be there. And not: "You improved", because the best of three today exceeds the mean of three last month.`,
    },
    "2-a-line": {
      question: `# 2 A line through golfers

If I squeeze 5 kgf more, how much faster will I swing? And what does the slope of speed on grip mean?

> **Caution.** Fast swings load the back, the wrists and the hands. Warm up, keep everybody out of reach of club and ball, and stop at pain. Local rules and licensed practice come first.`,
      idea: `## The idea

Least squares finds the line for which the sum of the squared distances of the golfers from it is smallest. The slope compares **golfers with one another**: those who squeeze 1 kgf more swing so much faster, on average. It does not say what happens to one golfer who trains. That is another question with another answer (lesson 5).

A line has two bands. The narrow one shows how precisely the mean of golfers with a given grip is known; more golfers make it narrower. The wide one shows where one more golfer may lie. More golfers do not make it narrow, because people differ.`,
      real: `## A line in a study

Grip at address and driver speed at the first visit of the demonstration study, before anyone trained. The golfers are invented.`,
      play: `## Predict, then look

Dots are the golfers of one study, the thick line is theirs, and the dashed line is the true one. Choose an answer first: one study appears. Draw a few more, then show all 200: the thin lines are those of the other 199. Press Reset before the four tasks below the figure.`,
      hand: `## Your own eight golfers

Drag a golfer, or choose one and use the arrow keys. The line and its interval follow at once.`,
      exercises: `## Three exercises`,
      coach: `## What a coach may say

"Among golfers like these, stronger hands go with faster clubs: on average so many mph per kgf", with the interval, and for grips that the study measured. To one golfer: "Golfers with your grip swing anywhere in this wide band, so your grip hardly predicts your speed." Not: "Squeeze 5 kgf more and you gain 2 mph": the line compares people, and taller, younger, better-trained people may both squeeze harder and swing faster. Nothing about grips that no golfer in the study had.`,
    },
    "3-before-and-after": {
      question: `# 3 Before and after

Nine of us did the grip block, and most squeezed more afterwards. Did the block do that?

> **Caution.** Strength work and maximal tests can hurt. Screen for pain, recent operations of hand or wrist, and untreated high blood pressure. Local rules and licensed practice come first.`,
      idea: `## The idea

Three things raise a group's mean at the second test without any training. The golfers **know the test** by then. They were **selected when their values were low**: part of a low value is chance, and chance does not repeat (regression to the mean). And the **season**, the dynamometer or the tester may have changed. All three affect a control group as well. The difference between the change of the trained golfers and the change of the others removes them. The price is a wider interval.`,
      real: `## Two groups in a study

Change of lead-hand grip at address over the six weeks of the demonstration study, golfer by golfer. The golfers are invented.`,
      play: `## Predict, then look

Choose an answer first: one study appears, each golfer a line from before to after. Draw a few more, then show all 200. Each line is then the 95 % CI of one study, sorted by the estimate, which is marked where the interval misses the true effect. Four tasks follow below the figure.`,
      hand: `## Your own six golfers

Drag a dot, or choose one and use the arrow keys. The mean change and its interval follow at once.`,
      exercises: `## Three exercises`,
      coach: `## What a coach may say

With a control group: "Golfers who did the block gained so much more than golfers who did not, with this interval." Without one: "My nine read higher than before", and then what else could explain it: they knew the test, I selected the weakest, the season changed. Not: "The block added 3 kgf", with nine golfers and no control. A list of who gained most in such a group is mostly a list of who had bad luck before and good luck after.`,
    },
    "4-resampling": {
      question: `# 4 Resampling

There were nine of us. If nine others had come, how different would the answer be? Blank cards on the table help.

> **Caution.** This lesson tests nobody. If you collect squeezes of your own for it: no hand or wrist that hurts or was operated on recently, breathe out while squeezing, stop at anything unusual. Local rules and licensed practice come first.`,
      idea: `## The idea

Write each golfer's change on a card. Shuffle, draw one, write it down, **put it back**; do so as often as there are cards. That is a resample: some golfers occur twice, some not at all. Take its mean. Do it a thousand times: the distribution of the means shows how much the mean would vary if nine others like these had come. With few golfers it has bumps: one golfer with a large change is drawn once, twice or not at all, and each count has its own bump.

The limits of the central 95 % of this distribution are the percentile interval. If the distribution is skewed, so is the interval; BCa takes its limits at places that correct for this. Neither can know what the cards do not contain. Five golfers rarely include the one who gains very much, and no resampling adds that golfer.`,
      real: `## A coach's nine

The changes of nine invented golfers of a coach, without a control group, and the distribution of their resampled means.`,
      play: `## Predict, then look

Choose an answer first: one study appears. Large dots are its golfers, small squares the means of its resamples. Draw a few more, then show all 200: on the right are 40 of them, sorted, and whether their intervals include the true change. Student's t is there for comparison: it is a formula and uses no resamples. Four tasks follow below the figure.`,
      exercises: `## Three exercises`,
      coach: `## What a coach may say

"With nine others like these, the mean gain might have been anywhere in this range", and "like these" is the limit: they are the golfers who came to me. With five golfers: "I cannot give a reliable range; here are the five." Not: "The bootstrap works for small groups": it makes fewer assumptions about the distribution, but it knows only the golfers it was given.`,
    },
    "5-within-and-between": {
      question: `# 5 Within and between golfers

Strong golfers swing fast. Does that mean that I swing faster on the days when I am strong?

> **Caution.** Repeated maximal squeezes and fast swings load hands, wrists and back. Space the visits, warm up, keep the swing area clear, stop at pain. Local rules and licensed practice come first.`,
      idea: `## The idea

Typists who type fast make fewer mistakes: that is a comparison between typists. The same typist makes more mistakes when hurrying: that is a comparison within a typist. Both are true. In golf: strong golfers may swing faster because they are young and trained, while a golfer may swing slower on the day after heavy squeezing.

So ask first **which comparison** a sentence is about. Between golfers: a line through the golfers' means. Within golfers: a line for each golfer, then the mean of the slopes. One line through all rows mixes the two and answers neither.

A mixed model estimates both. It has a common line and lets each golfer have an own line near it. The line of a golfer with few or scattered visits is moved towards the common line: shrinkage. It uses what the other golfers show about a line that was hardly observed.`,
      real: `## Both slopes in a study

The visits of the golfers of the demonstration study (invented), three of nearly every golfer: lead-hand grip at address and driver speed.`,
      play: `## Predict, then look

Choose an answer first: one study appears. Dots are visits, joined to the line of their golfer; diamonds are golfer 1. The long dashed line runs through the golfers' means. Draw a few more, then show all 200: on the right every dot is a whole study. Four tasks follow below the figure.`,
      exercises: `## Three exercises`,
      coach: `## What a coach may say

Between golfers: "Stronger golfers swing faster here." Of training: "When these golfers gained grip, their speed changed by so much, with this interval": only from repeated visits of the same people. The first sentence does not replace the second. Of one golfer: "Your few visits show little by themselves; together with the others, your line is most likely this one."`,
    },
    "6-physics": {
      question: `# 6 The physics in one page

Why does a faster club pull harder, what can two hands hold, and why should nobody print one required grip?

> **Caution.** Nothing here is a target. Do not squeeze or swing harder in order to reach a number on this page. A maximal squeeze raises blood pressure for a moment; a fast swing loads back, wrists and hands, and endangers people nearby. Local rules and licensed practice come first.`,
      why: `## Why the square?

Without a force the head would fly straight on. Hands and shaft bend its path, and the force for that is mass × (turning rate)² × radius. Twice the speed means four times the pull. A speed 10 % higher means 1.1 × 1.1, that is 21 % more, whatever the club and the golfer.

Two radii are needed. The hands move on a circle around the centre of the arm swing (about 0.65 m). The club turns about the hands, with the head about 1.05 m away and the midpoint of the shaft about 0.40 m. The head therefore turns at (head speed − hand speed) / 1.05 m, and its acceleration is turning rate² × 1.05 m + hand speed² / 0.65 m. The simulation below shows each step with its numbers.`,
      play: `## Play with the pull

Choose an answer first; then move the sliders and read the working under the figure. Two tasks follow below it.`,
      hands: `## What can two hands hold?

A grip is held by friction: the hand presses, and skin does not slip. How hard the hand must press is the pull divided by the coefficient of friction, and this coefficient is uncertain. Published values for dry skin range from about 0.5 (a pinch on vinyl) to about 1.7 (a whole hand on a rail). None was found for a golf grip. A glove, rain, the taper of the grip and the hook of the fingers move it further.

Then a dynamometer does not show what presses the grip. It shows the force between two bars; a hand round a handle presses from all sides, two to three times that in sum.`,
      "one-number": `## Why nobody should print one required grip

The range above spans a factor of more than six, because the friction of a hand on a golf grip has not been published. A single required grip would choose one point of it without a reason.`,
      coach: `## What a coach may say

"Faster clubs pull harder, with the square of speed; hold the club so that it does not slip, and no tighter than feels safe to you." Not: "You need 50 kgf for 110 mph." The plausible range is so wide that it neither warns a weak hand nor reassures a strong one.`,
    },
  },
});

const shownChoice = { one: "one study", all: "all 200 studies" };
const gripForce = "Lead-hand grip force (kgf)";
const driverSpeed = "Driver speed (mph)";
const whole = (value: number) => fixedText(value, 0);
const interval = ({ low, high }: { low: number; high: number }, text: (value: number) => string) =>
  `${text(low)} to ${text(high)}`;

/** The words of the figures to play with. */
export const englishModels: ModelWords = {
  intervals: {
    none: "no change",
    truth: "true effect",
    sorted: (shown, studies) => `${shown} of ${studies} studies, sorted`,
  },
  squeeze: {
    labels: {
      shown: "Squads shown",
      people: "Golfers in a squad",
      trials: "Squeezes each time",
      error: "Error of one squeeze",
      change: "True change",
      rule: "One value from the squeezes",
    },
    shown: { one: "one squad", all: "one golfer from each of 200" },
    rule: { mean: "mean, both times", switched: "mean before, best after" },
    title: (golfers, one) =>
      one
        ? `One squad of ${golfers} golfers: a dot is one golfer's measured change`
        : `${golfers} golfers, one from each squad: a dot is one golfer's measured change`,
    axes: { change: "Measured change of grip force (kgf)", golfers: "Golfers" },
    rules: {
      below: "−detectable",
      above: "detectable change",
      none: "no change",
      truth: "true change",
    },
    sentence: (facts) => {
      const { people, trials, switched, detectable, beyond, range } = facts;
      const truth =
        facts.change === 0
          ? "No golfer truly changed"
          : `Every golfer truly gained ${one(facts.change)} kgf`;
      const how = switched
        ? `the mean of ${trials} before but the best of ${trials} after`
        : trials === 1
          ? "one squeeze each time"
          : `the mean of ${trials} squeezes each time`;
      const tested = `${truth}. Tested by ${how}, with an error of ${one(facts.error)} kgf per squeeze,`;
      if (facts.one)
        return `${tested} a change of ${one(detectable)} kgf is detectable (95 %). In this squad ${beyond} of ${people} golfers ${beyond === 1 ? "exceeds" : "exceed"} it.`;
      const gain = switched ? ` The switch from mean to best adds ${one(facts.gain)} kgf.` : "";
      return `${tested} 95 % of the measured changes lie between ${one(facts.changes.low)} and ${one(facts.changes.high)} kgf.${gain} The minimal detectable change is ${one(detectable)} kgf: of a squad of ${people}, ${one(facts.passing)} golfers exceed it on average, and ${whole(range.low)} to ${whole(range.high)} in 95 of 100 squads.`;
    },
    alt: "Columns of dots along a scale of change, with lines at no change and at the minimal detectable change on both sides; filled dots lie beyond it.",
  },
  line: {
    labels: {
      shown: "Studies shown",
      people: "Golfers",
      trials: "Squeezes per golfer",
      error: "Error of one squeeze",
      slope: "True slope",
      stranger: "One strange golfer, off by",
    },
    shown: shownChoice,
    title: (people, others) =>
      others === 0
        ? `${people} golfers, their line, and the true line (dashed)`
        : `${people} golfers, their line, and the lines of ${others} other such studies`,
    axes: { grip: gripForce, speed: driverSpeed },
    sentence: (facts) => {
      const { people, first, stranger, studies } = facts;
      const strange =
        stranger === 0
          ? ""
          : ` One golfer stands ${one(Math.abs(stranger))} mph ${stranger > 0 ? "above" : "below"} the line of the others.`;
      const all = facts.one
        ? ""
        : ` Over ${studies} such studies 95 % of the slopes lie between ${two(facts.slopes.low)} and ${two(facts.slopes.high)}, with a mean of ${two(facts.average)}, and ${facts.holding} of the ${studies} intervals include the true slope.`;
      return `The line through these ${people} golfers ${goes(first.value)} mph per kgf (95 % CI ${interval(first, two)}); the true line ${goes(facts.truth)}.${strange}${all} At the mean grip the line is known to ± ${one(facts.meanHalf)} mph; one more golfer would lie within ± ${one(facts.singleHalf)} mph of it.`;
    },
    alt: (one) =>
      `Dots of golfers with their line, a narrow band for the mean, a wide band for one golfer, ${one ? "and a dashed true line" : "and a fan of thin lines from other studies around a dashed true line"}.`,
  },
  ownLine: {
    golfer: (name) => `Golfer ${name}`,
    grip: (name) => `Grip of golfer ${name}`,
    speed: (name) => `Speed of golfer ${name}`,
    title: (people) => `${people} golfers and their line`,
    axes: { grip: gripForce, speed: driverSpeed },
    noLine: "All golfers have the same grip, so there is no line.",
    sentence: ({ slope, residualSd, farthest, leverage }) =>
      `The line ${goes(slope.value)} mph per kgf (95 % CI ${interval(slope, two)}). Golfers lie about it with a standard deviation of ${one(residualSd)} mph. Golfer ${farthest} has the greatest leverage, ${two(leverage)}.`,
    alt: "Eight golfers by grip and speed, their line, and a stroke from each to the line.",
  },
  beforeAfter: {
    labels: {
      shown: "Studies shown",
      people: "Golfers in a group",
      trials: "Squeezes each time",
      error: "Error of one squeeze",
      effect: "True effect of training",
      learning: "Gain from knowing the test",
      chosen: "Who takes part",
    },
    shown: shownChoice,
    chosen: { all: "everybody tested", weakest: "the weakest third of those tested" },
    titles: {
      alone: "The block alone: after − before",
      against: "Trained − control group",
      trained: "The block: each golfer before and after",
      control: "Control group: each golfer before and after",
    },
    axes: {
      alone: "Mean change (kgf)",
      against: "Difference of mean changes (kgf)",
      times: "Before, and after",
      grip: gripForce,
    },
    sentence: (facts) => {
      const { people, effect, alone, against, studies } = facts;
      const who = facts.weakest ? ", the weakest third of those tested" : "";
      if (facts.one)
        return `One study with ${people} golfers in a group${who}. The block alone shows ${one(alone.first.value)} kgf (95 % CI ${interval(alone.first, one)}) where training truly did ${one(effect)}. The control group changed by ${one(facts.control)} kgf; trained − control is ${one(against.first.value)} kgf (95 % CI ${interval(against.first, one)}).`;
      return `${studies} studies with ${people} golfers in a group${who}. The block alone shows ${one(alone.mean)} kgf on average where training truly did ${one(effect)}: ${alone.holding} of ${studies} intervals include the truth and ${alone.above} lie above zero. Compared with a control group it shows ${one(against.mean)} kgf on average: ${against.holding} of ${studies} include the truth and ${against.above} lie above zero. These intervals are ${one(against.half / alone.half)} times as wide.`;
    },
    alt: (one) =>
      one
        ? "Two panels of golfers, each a line from before to after: those who did the block, and the control group."
        : "Two panels of 40 intervals each, one per study, with lines at no change and at the true effect; intervals that miss the true effect are marked.",
  },
  ownChanges: {
    before: (name) => `Golfer ${name} before`,
    after: (name) => `Golfer ${name} after`,
    title: (people) => `${people} golfers before and after`,
    axes: { times: "Before, and after", grip: gripForce },
    sentence: ({ change, sd, changes }) => {
      const includes = change.low <= 0 && change.high >= 0;
      const listed = changes.map(({ name, change: by }) => `${name} ${one(by)}`);
      return `The mean change is ${one(change.value)} kgf (95 % CI ${interval(change, one)}), so the interval ${includes ? "includes" : "excludes"} zero. The changes have a standard deviation of ${one(sd)} kgf: ${listed.join(", ")}.`;
    },
    alt: "Six golfers, each a line from the value before to the value after.",
  },
  resampling: {
    labels: {
      shown: "Studies shown",
      people: "Golfers in a study",
      resamples: "Resamples",
      spread: "Spread of changes (SD)",
      effect: "True mean change",
      shape: "Changes of golfers",
      method: "Interval that is drawn",
    },
    shown: shownChoice,
    shape: { even: "even on both sides", long: "a few gain very much" },
    method: { percentile: "percentile bootstrap", bca: "BCa bootstrap", t: "Student's t" },
    titles: {
      first: "First study: golfers below, resampled means above",
      percentile: "Percentile intervals, 95 %",
      bca: "BCa intervals, 95 %",
      t: "Student's t intervals, 95 %",
    },
    axes: {
      change: "Change of grip force (kgf)",
      resamples: "Resamples",
      mean: "Mean change (kgf)",
    },
    limits: { low: "low limit", high: "high limit" },
    sentence: (facts) => {
      const { people, studies, first, counts } = facts;
      const share = (count: number) => `${whole((100 * count) / studies)} %`;
      const from = {
        percentile: `percentile (from ${facts.resamples} resamples)`,
        bca: `BCa (from ${facts.resamples} resamples)`,
        t: "Student's t (a formula, without resamples)",
      }[facts.method];
      const few =
        people < 5
          ? " With fewer than five golfers BCa cannot be calculated; percentile limits are shown."
          : "";
      const study = `The first study's ${people} golfers changed by ${one(first.value)} kgf on average; the ${from} 95 % CI is ${interval(first, one)}.`;
      if (facts.one) return `${study}${few}`;
      return `${study} Of ${studies} such studies, ${counts.percentile} percentile intervals include the true change (${share(counts.percentile)}), ${counts.bca} BCa intervals (${share(counts.bca)}) and ${counts.t} Student's t intervals (${share(counts.t)}); each should include it in 95 %.${few}`;
    },
    alt: (one) =>
      `Dots of one study's golfers with the distribution of resampled means above them and the limits of the interval.${one ? "" : " Beside it, forty intervals around the true effect; those that miss it are marked."}`,
  },
  within: {
    labels: {
      shown: "Studies shown",
      people: "Golfers",
      visits: "Visits per golfer",
      error: "Error of a visit's speed",
      within: "True slope within golfers",
      between: "True slope between golfers",
      lines: "Lines of golfers",
    },
    shown: shownChoice,
    lines: { own: "each golfer's own", shrunken: "shrunken, by a mixed model" },
    titles: {
      golfers: "First study: visits joined to the line of their golfer; diamonds are golfer 1",
      slopes: (studies) => `${studies} studies: filled where the two slopes have opposite signs`,
    },
    axes: {
      grip: gripForce,
      speed: driverSpeed,
      within: "Mean of golfers' own slopes (mph per kgf)",
      between: "Slope between (mph per kgf)",
    },
    sentence: (facts) => {
      const pace = (slope: number) =>
        `${two(Math.abs(slope))} mph ${slope < 0 ? "slower" : "faster"}`;
      const all = facts.one
        ? ""
        : ` In ${facts.odd} of ${facts.studies} such studies the two slopes have opposite signs.`;
      const how = facts.spans
        ? ` The mixed model shrinks the lines towards their mean: their slopes span ${two(facts.spans.shrunken)}, the unshrunken ones ${two(facts.spans.own)} mph per kgf.`
        : "";
      return `${facts.people} golfers with ${facts.visits} visits each. Between golfers, one whose grip is 1 kgf higher swings ${pace(facts.between)}. Within a golfer, a grip 1 kgf above the golfer's own mean goes with a swing ${pace(facts.within)}, on average.${all}${how}`;
    },
    alt: (one) =>
      `Short lines of golfers among their visits, and a long dashed line between golfers.${one ? "" : " Beside it, studies by the two slopes, with lines at zero."}`,
  },
  pull: {
    labels: {
      speed: "Club-head speed",
      head: "Mass of the head",
      hand: "Radius of the hands' path",
      poor: "Least friction of hand on grip",
      good: "Most friction of hand on grip",
    },
    titles: {
      pull: "Pull of the club on both hands together",
      squeeze: "Squeeze of both hands that friction alone asks for",
    },
    axes: {
      speed: "Club-head speed (mph)",
      pull: "Pull (kgf)",
      squeeze: "Dynamometer readings added (kgf)",
    },
    sentence: ({ speed, newtons, kgf, band, working, more, need }) =>
      `At ${whole(speed)} mph the club pulls along its shaft with ${whole(newtons)} N (${whole(kgf)} kgf), plausible range ${interval(band, whole)} N. Working: ${working.join("; ")}. At 10 % more speed the pull is ${whole(more)} % larger. For friction alone to hold it, the readings of both hands would have to add up to ${interval(need, whole)} kgf: the two limits differ by a factor of ${one(need.high / need.low)}, because friction on a golf grip has not been published.`,
    alt: "On the left a curve of pull that rises with the square of speed, with a narrow band. On the right a very wide band of squeezes that would hold it.",
  },
};

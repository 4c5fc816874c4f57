import { fixedText } from "../../show/wording.js";
import type { LessonWords } from "../tasks.js";
import type { ReplyWords } from "./reply-words.js";

const one = (value: number) => fixedText(value, 1);
const two = (value: number) => fixedText(value, 2);
const three = (value: number) => fixedText(value, 3);
const list = (values: readonly number[], text: (value: number) => string) =>
  values.map(text).join(", ");
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
      `Second − first for each golfer: ${list(differences, one)} kgf.`,
      `Their mean is ${two(shift)} kgf: all golfers share this shift, and it is no error.`,
      `Their SD about this mean, with n − 1 = ${n - 1}, is ${three(sd)} kgf.`,
      `Two squeezes carry two errors: ${three(sd)} / √2 = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `In 95 of 100 cases one squeeze of these golfers lies within ${two(1.96 * value)} kgf of the golfer's own level.`,
  },
  "squeeze-detectable-change": {
    asks: "MDC95 of the mean of three squeezes",
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
      `Best − mean for each golfer: ${list(gains, two)} kgf.`,
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
      `The changes are ${list(changes, one)} kgf.`,
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
      "The caption lists 39 resampled means in order. What is the lower limit of the 90 % percentile interval?",
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
      third: ["counting", "One place too far: 5 % of 39 + 1 cards is place 2."],
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
      `The five own slopes are ${list(slopes, two)} mph per kgf.`,
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
  sign: "The size is right, the sign is not.",
  fraction: "That is a fraction: multiply it by 100.",
  coarse: (digits) => `Right so far; give ${digits} decimals.`,
  close: "Close: keep all digits on the way and round at the end.",
  unknown:
    "Not yet, and no common mistake leads to this number. Check that you used the right rows and columns, the sign, and all digits on the way.",
  kinds: { unit: "unit", sign: "sign", fraction: "fraction", rounding: "rounding" },
};

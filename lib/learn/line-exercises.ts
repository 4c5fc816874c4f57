import { itemAt, present } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { mean } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { correlation } from "../stats/correlation.js";
import { fitLinear } from "../stats/linear-model.js";
import { predictLine } from "../stats/prediction.js";
import { fitLine } from "../stats/regression.js";
import { type ExerciseKey, type Solution, slip } from "./solution.js";

const lesson = "2 A line through golfers";

function columns({ columns: { grip, speed } }: Practice) {
  return { grip: present(grip), speed: present(speed) };
}

function slope(golfers: Practice): Solution {
  const { grip, speed } = columns(golfers);
  const { value } = fitLine({ x: grip, y: speed }).slope;
  const turned = fitLine({ x: speed, y: grip }).slope.value;
  const origin = present(
    fitLinear({ y: speed, terms: { grip } }, { intercept: false }).coefficients.grip,
  ).value;
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: [
      slip(
        "sign",
        -value,
        "The size is right, the sign is not: does speed rise or fall with grip here?",
      ),
      slip("x and y", turned, "That is kgf per mph: grip on speed. The question is speed on grip."),
      slip(
        "x and y",
        1 / turned,
        "That is the line of grip on speed, turned over. Least squares is not symmetrical.",
      ),
      slip(
        "correlation, not slope",
        correlation(grip, speed).value,
        "That is r, which has no unit. A slope has one.",
      ),
      slip(
        "through zero",
        origin,
        "That line was forced through 0 kgf and 0 mph, where no golfer is.",
      ),
      slip("unit", value * 0.44704, "That is m/s per kgf: the speeds are in mph."),
    ],
    hint: "Sum of (grip − mean grip) × (speed − mean speed), over the sum of (grip − mean grip)².",
  };
}

function residual(golfers: Practice): Solution {
  const { grip, speed } = columns(golfers);
  const fit = fitLine({ x: grip, y: speed });
  const value = itemAt(fit.residuals, 2);
  return {
    value,
    unit: "mph",
    digits: 1,
    slips: [
      slip("sign", -value, "The sign: above the line is plus, measured less fitted."),
      slip(
        "mean, not line",
        itemAt(speed, 2) - mean(speed),
        "That is the distance from the mean of all golfers, not from the line.",
      ),
      slip(
        "fitted, not residual",
        itemAt(speed, 2) - value,
        "That is where the line is at this golfer's grip. How far off is the golfer?",
      ),
      slip("unit", value * 0.44704, "That is in m/s."),
    ],
    hint: "The line's speed at golfer C's grip is intercept + slope × grip. Take it away from the measured speed.",
  };
}

function single(golfers: Practice): Solution {
  const { grip, speed } = columns(golfers);
  const fit = fitLine({ x: grip, y: speed });
  const [at] = predictLine(fit, [mean(grip)]);
  const half = ({ low, high }: { low: number; high: number }) => (high - low) / 2;
  const value = half(present(at).single);
  const { n } = fit;
  const t = (df: number) => studentT(df).quantile(0.975);
  return {
    value,
    unit: "mph",
    digits: 1,
    slips: [
      slip(
        "mean, not one golfer",
        half(present(at).mean),
        "That is the band for the mean of such golfers. One golfer scatters about it as well.",
      ),
      slip(
        "whole, not half",
        2 * value,
        "That is the whole width; the question is how far to either side.",
      ),
      slip(
        "n − 1",
        (value * t(n - 1)) / t(n - 2),
        "The line took two numbers from the data: n − 2 degrees of freedom.",
      ),
      slip(
        "z, not t",
        (value * 1.959964) / t(n - 2),
        "With so few golfers take Student's t with n − 2 degrees of freedom, not 1.96.",
      ),
      slip(
        "line known",
        value / Math.sqrt(1 + 1 / n),
        "The line's own height is not known exactly: 1 + 1/n under the root.",
      ),
    ],
    hint: "t(n − 2) × residual SD × √(1 + 1/n) at the mean of grip; the residual SD divides by n − 2.",
  };
}

export const lineExercises: readonly ExerciseKey[] = [
  { id: "line-slope", lesson, set: "golfers", asks: "slope of speed on grip", solve: slope },
  { id: "line-residual", lesson, set: "golfers", asks: "residual of golfer C", solve: residual },
  {
    id: "line-one-golfer",
    lesson,
    set: "golfers",
    asks: "half-width for one golfer at the mean grip",
    solve: single,
  },
];

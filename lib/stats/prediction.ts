import { present } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, numbers } from "./input.js";
import type { LineFit } from "./regression.js";

/** What a line says at one x. */
export interface Prediction {
  /** Where the line is read, in the unit of x. */
  readonly x: number;
  /** Height of the line. */
  readonly y: number;
  /** Where the mean of y at this x lies: the confidence band. */
  readonly mean: Interval;
  /** Where one more single y at this x will fall: the prediction band. */
  readonly single: Interval;
  /** True outside the x values of the data, where nothing supports the line. */
  readonly extrapolated: boolean;
}

/**
 * Confidence and prediction bands of a straight line, pointwise.
 *
 * Mean: ŷ ± t √v, v = s²(1/n + (x − x̄)²/Sxx), or its HC form if the line was fitted so.
 * Single: ŷ ± t √(v + s²), which takes the scatter about the line to be the same everywhere.
 * t on n − 2 degrees of freedom.
 *
 * @param fit a line from fitLine
 * @param xs where to read it, in the unit of the line's x
 * @returns one record for each of `xs`, in the unit of the line's y
 * @throws InputError when an x is not finite or the level is not between 0 and 1
 * @see Draper & Smith (1998) Applied Regression Analysis, section 3.1
 * @example predictLine(fitLine({ x: [1, 2, 3, 4], y: [2, 4, 5, 9] }), [5])[0].y // 10.5
 */
export function predictLine(
  fit: LineFit,
  xs: Numbers,
  options: { level?: number } = {},
): readonly Prediction[] {
  knownOptions(options, ["level"], "predictLine");
  const { level = 0.95 } = options;
  confidenceLevel(level, "predictLine");
  const { slope, centre, residualSd, df } = fit;
  const spread = { residualSd, t: studentT(df).quantile((1 + level) / 2), level };
  const slopeVariance = present(slope.se) ** 2;
  const predictions = Array.from(numbers(xs, "predictLine, xs"), (x) => {
    const d = x - centre.x;
    const y = centre.y + slope.value * d;
    const variance = centre.variance + 2 * d * centre.covariance + d * d * slopeVariance;
    return {
      x,
      y,
      ...bandsAt(y, variance, spread),
      extrapolated: x < centre.from || x > centre.to,
    };
  });
  return frozen(predictions);
}

/**
 * The two bands at one place of a fitted curve, by Student's t.
 * @param variance of the mean of y at this place
 * @param spread t: quantile of the two-sided level
 */
export function bandsAt(
  y: number,
  variance: number,
  { residualSd, t, level }: { residualSd: number; t: number; level: number },
): Pick<Prediction, "mean" | "single"> {
  const band = (sd: number, method: string) => ({
    low: y - t * sd,
    high: y + t * sd,
    level,
    method,
  });
  return {
    mean: band(Math.sqrt(variance), "Student t, mean of y"),
    single: band(Math.sqrt(variance + residualSd ** 2), "Student t, a single y"),
  };
}

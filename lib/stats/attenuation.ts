import { realAt } from "../entry.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, nonNegative, numbers, sameLength } from "./input.js";
import { fitLine } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** How far error in x flattens a line, and the slope with that undone. */
export interface Attenuation {
  /** Name of the function that made this record. */
  readonly kind: "attenuation";
  /** Number of rows. */
  readonly n: number;
  /** Degrees of freedom of the ordinary slope, n − 2. */
  readonly df: number;
  /** SD of the error of one x, as given. */
  readonly errorSd: number;
  /** Variance of the true x over variance of the measured x; at or below 0 when the error is as large as the spread. */
  readonly reliability: number;
  /** The ordinary slope, flattened to reliability × the true one. */
  readonly slope: Estimate;
  /** Slope on the true x; left out when the reliability is not above 0. */
  readonly corrected?: Estimate;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Attenuation (regression dilution): error in x pulls the ordinary slope towards 0 by the
 * reliability ratio λ = (s²x − σ²u) / s²x, and a correlation by √λ.
 *
 * Corrected slope b = sxy / (s²x − σ²u) for a known error SD σu, with
 * var b = (s²x s²v + b² σ⁴u) / ((n − 1)(s²x − σ²u)²), s²v = Σ(y − ȳ − b(x − x̄))² / (n − 2), and
 * Student's t on n − 2. The scatter of y may have any cause; only the error of x is undone, and it
 * is taken as known, independent of the true x and of the error of y.
 *
 * @param x n measured numbers, n ≥ 3
 * @param y n numbers, row by row with x
 * @param options `errorSd`: SD of the error of one x as used here, in units of x (for a mean of
 *   trials, that of the mean)
 * @returns slopes in units of y per unit of x; a reliability without unit
 * @throws InputError when lengths differ, a value is not finite, n < 3, x is constant, or errorSd is
 *   negative
 * @see Fuller (1987) Measurement Error Models, section 1.2 (equations 1.2.3 and 1.2.8, example 1.2.1)
 * @example attenuation([1, 2, 3, 4, 5], [2, 3, 5, 7, 8], { errorSd: 0.5 }).reliability // 0.9
 */
export function attenuation(
  x: Numbers,
  y: Numbers,
  options: { errorSd: number; level?: number },
): Attenuation {
  knownOptions(options, ["errorSd", "level"], "attenuation");
  const { errorSd, level = 0.95 } = options;
  const xs = numbers(x, "attenuation, x", 3);
  const ys = numbers(y, "attenuation, y", 3);
  sameLength(ys.length, xs.length, "attenuation, y");
  confidenceLevel(level, "attenuation");
  const error = nonNegative(errorSd, "attenuation, errorSd") ** 2;
  const { slope, df } = fitLine({ x: xs, y: ys }, { level });
  const spread = sumOfSquaredDeviations(xs) / (xs.length - 1);
  const reliability = (spread - error) / spread;
  const possible = reliability > 0;
  return frozen({
    kind: "attenuation" as const,
    n: xs.length,
    df,
    errorSd,
    reliability,
    slope,
    ...(possible && { corrected: correctedSlope(xs, ys, { spread, error, df, level }) }),
    method: "reliability ratio with a known error variance (Fuller 1987)",
    warnings: possible
      ? []
      : ["the error is as large as the spread of x: no slope can be restored"],
  });
}

function correctedSlope(
  x: Float64Array,
  y: Float64Array,
  known: { spread: number; error: number; df: number; level: number },
): Estimate {
  const { spread, error, df, level } = known;
  const centre = { x: mean(x), y: mean(y) };
  const rows = x.length - 1;
  const truth = spread - error;
  const slope = sumOfProductDeviations(x, y, centre.x, centre.y) / rows / truth;
  const misses = x.map((value, i) => realAt(y, i) - centre.y - slope * (value - centre.x));
  const scatter = sumOfSquaredDeviations(misses, 0) / df;
  const variance = (spread * scatter + (slope * error) ** 2) / rows / truth ** 2;
  return tEstimate(slope, Math.sqrt(variance), df, level, "known error variance, Student t");
}

import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen } from "./estimate.js";
import { confidenceLevel, namedColumns, numbers, sameLength, shown } from "./input.js";
import type { NamedMatrix } from "./mixed/inference.js";
import type { LineColumns } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** A line through points that are measured with error on both axes. */
export interface DemingLine {
  /** Name of the function that made this record. */
  readonly kind: "fitDeming";
  /** Number of rows. */
  readonly n: number;
  /** Degrees of freedom, n − 2. */
  readonly df: number;
  /** Height of the line at x = 0, in units of y. */
  readonly intercept: Estimate;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
  /** Error variance of y over that of x, as given. */
  readonly varianceRatio: number;
  /** Of intercept and slope, by the jackknife. */
  readonly covariance: NamedMatrix;
  /** Height of the line at each x as measured, in units of y. */
  readonly fitted: readonly number[];
  /** y − fitted: the vertical distance, which holds the errors of both columns. */
  readonly residuals: readonly number[];
  /** Confidence level of the intervals. */
  readonly level: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `fitDeming`. */
export interface DemingOptions {
  /** Error variance of y over error variance of x, 1 unless given. */
  readonly varianceRatio?: number;
  /** Confidence level of the intervals, 0.95 unless given. */
  readonly level?: number;
}

/** Means and sums of squares and products of n points. */
interface Moments {
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
}

/**
 * Slope of the line with the least weighted distance to the points:
 * (Syy − λSxx + √((Syy − λSxx)² + 4λSxy²)) / 2Sxy, in whichever of its two forms does not cancel.
 */
function demingSlope({ xx, yy, xy }: Moments, ratio: number): number {
  const difference = yy - ratio * xx;
  const root = Math.hypot(difference, 2 * Math.sqrt(ratio) * xy);
  return difference >= 0 ? (difference + root) / (2 * xy) : (2 * ratio * xy) / (root - difference);
}

function demingLine(moments: Moments, ratio: number): { slope: number; intercept: number } {
  const slope = demingSlope(moments, ratio);
  return { slope, intercept: moments.y - slope * moments.x };
}

/** The moments without one point, from the deviations of that point: no second pass over the data. */
function withoutPoint(all: Moments, dx: number, dy: number, n: number): Moments {
  const share = n / (n - 1);
  return {
    x: all.x - dx / (n - 1),
    y: all.y - dy / (n - 1),
    xx: all.xx - share * dx * dx,
    yy: all.yy - share * dy * dy,
    xy: all.xy - share * dx * dy,
  };
}

/**
 * Straight line when both columns carry measurement error (two devices on the same squeezes).
 *
 * With λ = `varianceRatio` the slope is (Syy − λSxx + √((Syy − λSxx)² + 4λSxy²)) / 2Sxy and the
 * line goes through the means; λ = 1 is the orthogonal line. Standard errors by the jackknife,
 * √((n − 1)/n Σ(b₍ᵢ₎ − b̄)²); intervals by Student's t on n − 2 degrees of freedom.
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, n ≥ 3
 * @param options `varianceRatio`: error variance of y over error variance of x, 1 unless known
 * @returns slope in units of y per unit of x, intercept in units of y
 * @throws InputError when lengths differ, a value is not finite, n < 3, the ratio is not positive,
 *   a column is constant, the sum of products Sxy is 0 with or without one point, or an option is
 *   unknown
 * @see Deming (1943) Statistical Adjustment of Data; Linnet (1993) Clin Chem 39:424–432 for the
 *   jackknife
 * @example fitDeming({ x: [0, 1, 2, 3], y: [1, 3, 5, 7] }).slope.value // 2
 */
export function fitDeming(columns: LineColumns, options: DemingOptions = {}): DemingLine {
  const { x, y } = namedColumns(columns, ["x", "y"], "fitDeming");
  knownOptions(options, ["varianceRatio", "level"], "fitDeming");
  const { varianceRatio = 1, level = 0.95 } = options;
  const xs = numbers(x, "fitDeming, x", 3);
  const ys = numbers(y, "fitDeming, y", 3);
  sameLength(ys.length, xs.length, "fitDeming, y");
  confidenceLevel(level, "fitDeming");
  if (!(varianceRatio > 0 && varianceRatio < Infinity)) {
    const expected = "a positive ratio of error variances, y over x";
    throw new InputError({
      expected,
      got: shown(varianceRatio),
      where: "fitDeming, varianceRatio",
    });
  }
  const n = xs.length;
  const all = momentsOf(xs, ys);
  const line = demingLine(all, varianceRatio);
  const left = Array.from(xs, (value, i) =>
    demingLine(withoutPoint(all, value - all.x, realAt(ys, i) - all.y, n), varianceRatio),
  );
  const slopes = Float64Array.from(left, (each) => each.slope);
  const intercepts = Float64Array.from(left, (each) => each.intercept);
  const slopeSe = Math.sqrt(jackknifeCovariance(slopes, slopes));
  const interceptSe = Math.sqrt(jackknifeCovariance(intercepts, intercepts));
  const together = jackknifeCovariance(intercepts, slopes);
  if (!Number.isFinite(line.slope) || !Number.isFinite(slopeSe)) {
    throw new InputError({
      expected: "columns that rise or fall together, with and without each point",
      got: "a sum of products of 0",
      where: "fitDeming",
    });
  }
  const method = "jackknife, Student t";
  return frozen({
    kind: "fitDeming" as const,
    n,
    df: n - 2,
    intercept: tEstimate(line.intercept, interceptSe, n - 2, level, method),
    slope: tEstimate(line.slope, slopeSe, n - 2, level, method),
    varianceRatio,
    covariance: {
      names: ["intercept", "slope"],
      matrix: [
        [interceptSe ** 2, together],
        [together, slopeSe ** 2],
      ],
    },
    fitted: Array.from(xs, (value) => line.intercept + line.slope * value),
    residuals: Array.from(xs, (value, i) => realAt(ys, i) - line.intercept - line.slope * value),
    level,
    method: `Deming regression, variance ratio ${varianceRatio}`,
    warnings: slopeSe === 0 ? ["the points lie exactly on a line"] : [],
  });
}

function momentsOf(x: Float64Array, y: Float64Array): Moments {
  const centre = { x: mean(x), y: mean(y) };
  const moments = {
    ...centre,
    xx: sumOfSquaredDeviations(x, centre.x),
    yy: sumOfSquaredDeviations(y, centre.y),
    xy: sumOfProductDeviations(x, y, centre.x, centre.y),
  };
  for (const [column, square] of [
    ["x", moments.xx],
    ["y", moments.yy],
  ] as const) {
    if (square === 0) {
      const expected = "values that differ";
      throw new InputError({
        expected,
        got: "one value throughout",
        where: `fitDeming, ${column}`,
      });
    }
  }
  return moments;
}

function jackknifeCovariance(a: Float64Array, b: Float64Array): number {
  const n = a.length;
  return ((n - 1) / n) * sumOfProductDeviations(a, b);
}

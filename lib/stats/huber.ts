import { itemAt, present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { leastSquares } from "../num/linear.js";
import { mean, sum } from "../num/sums.js";
import { listOf } from "../num/vector.js";
import { knownOptions } from "../options.js";
import { medianOf } from "./describe.js";
import { designWithIntercept } from "./design-columns.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, namedColumns, numbers } from "./input.js";
import type { NamedMatrix } from "./mixed/inference.js";
import { lineColumns } from "./pair-slopes.js";
import type { LineColumns } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** What a robust fit reports, whatever its columns. */
export interface RobustReport {
  /** Number of rows. */
  readonly n: number;
  /** Rows minus coefficients. */
  readonly df: number;
  /** Robust SD of the residuals, median |residual| / 0.6745, in units of y. */
  readonly scale: number;
  /** Weight of each row: 1 where its residual is within 1.345 scales, less beyond. */
  readonly weights: readonly number[];
  /** Covariance of the coefficients, in the order of `names`. */
  readonly covariance: NamedMatrix;
  /** What the fit gives for each row, in units of y. */
  readonly fitted: readonly number[];
  /** y minus the fitted value, row by row. */
  readonly residuals: readonly number[];
  /** Rounds of reweighting until the fit settled. */
  readonly iterations: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** A straight line that single outlying rows move little. */
export interface RobustLine extends RobustReport {
  /** Name of the function that made this record. */
  readonly kind: "fitRobust";
  /** Height of the line at x = 0, in units of y. */
  readonly intercept: Estimate;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
}

/** A fit on several columns that single outlying rows move little. */
export interface RobustLinear extends RobustReport {
  /** Name of the function that made this record. */
  readonly kind: "fitRobustLinear";
  /** By column name, and "intercept". */
  readonly coefficients: Readonly<Record<string, Estimate>>;
}

/** Options of the robust fits. */
export interface RobustOptions {
  /** Confidence level, default 0.95. */
  readonly level?: number;
}

/** Residuals beyond this many scales lose weight: 95 % efficiency for normal errors. */
const bend = 1.345;
/** Median of the size of a standard normal deviate, as rounded in the literature. */
const normalMedianSize = 0.6745;
const mostSteps = 2000;
const method = "Huber M-estimate, k = 1.345, median absolute residual as scale; t";

/**
 * Straight line by Huber's M-estimate: rows far from the line lose weight instead of drawing it.
 *
 * Iterated weighted least squares from the ordinary line: scale s = median |e| / 0.6745 anew in
 * each step, weight min(1, 1.345 s/|e|). Standard errors: s²ψ κ² (XᵀX)⁻¹ with
 * s²ψ = Σ(w e)²/(n − p) / (share of rows within 1.345 s)² and Huber's correction
 * κ = 1 + p(1 − share)/((n − 1) · share); t on n − 2 degrees of freedom, which is an approximation.
 *
 * It protects against outlying y, not against outlying x: a row far out in x can still draw the
 * line. Where more than half the rows lie exactly on a line the scale is 0 and the fit is refused.
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, n ≥ 3
 * @returns slope in units of y per unit of x; intercept and scale in units of y
 * @throws InputError when lengths differ, a value is not finite, n < 3, x is constant, the scale
 *   becomes 0, or an option is unknown
 * @see Huber (1981) Robust Statistics, sect. 7.6 and 7.8; Holland & Welsch (1977) Commun Stat
 *   A6:813–827
 * @example fitRobust({ x: [1, 2, 3, 4, 5, 6, 7], y: [1.1, 1.9, 3.2, 3.9, 5.1, 5.8, 17] }).slope.value // 1.031905115
 */
export function fitRobust(columns: LineColumns, options: RobustOptions = {}): RobustLine {
  const where = "fitRobust";
  const [xs, ys] = lineColumns(columns, where);
  knownOptions(options, ["level"], where);
  const ones = new Float64Array(xs.length).fill(1);
  const names = ["intercept", "slope"];
  const { coefficients, ...report } = huberFit([ones, xs], names, ys, options, where);
  return frozen({
    kind: "fitRobust" as const,
    intercept: present(coefficients.intercept),
    slope: present(coefficients.slope),
    ...report,
  });
}

/**
 * Huber's M-estimate on several columns; what `fitRobust` says holds here too, p being the number
 * of coefficients.
 *
 * @param columns `y`: n numbers in any unit; `terms`: columns of n numbers by name
 * @returns coefficients by name, the intercept's is "intercept", each in units of y per unit of
 *   its column
 * @throws InputError as `fitLinear` does, and when the scale becomes 0
 * @see Huber (1981) Robust Statistics, sect. 7.6 and 7.8
 * @example fitRobustLinear({ y: [1.1, 1.9, 3.2, 3.9, 5.1, 5.8, 17], terms: { week: [1, 2, 3, 4, 5, 6, 7] } }).coefficients.week.value // 1.031905115
 */
export function fitRobustLinear(
  columns: { readonly y: Numbers; readonly terms: Readonly<Record<string, Numbers>> },
  options: RobustOptions = {},
): RobustLinear {
  const where = "fitRobustLinear";
  const { y, terms } = namedColumns(columns, ["y", "terms"], where);
  knownOptions(options, ["level"], where);
  const ys = numbers(y, `${where}, y`, 3);
  const { names, design } = designWithIntercept(terms, ys.length, `${where}, terms`);
  const fit = huberFit(design, names, ys, options, where);
  return frozen({ kind: "fitRobustLinear" as const, ...fit });
}

function huberFit(
  design: readonly Float64Array[],
  names: readonly string[],
  y: Float64Array,
  { level = 0.95 }: RobustOptions,
  where: string,
): RobustReport & { coefficients: Record<string, Estimate> } {
  confidenceLevel(level, where);
  const [n, p] = [y.length, names.length];
  const df = n - p;
  if (df < 1) {
    const expected = `more than ${p} rows for ${p} coefficients`;
    throw new InputError({ expected, got: `${n}`, where });
  }
  const plain = leastSquares(design, y, names, where);
  const { fit, steps, converged } = reweighted(design, names, y, plain.residuals, where);
  const { residuals } = fit;
  const scale = scaleOf(residuals, y, where);
  const weights = huberWeights(residuals, scale);
  const share = residuals.filter((e) => Math.abs(e) <= bend * scale).length / n;
  const kappa = 1 + (p * (1 - share)) / ((n - 1) * share);
  const spread = Math.sqrt(sum(residuals.map((e, i) => (e * realAt(weights, i)) ** 2)) / df);
  const sd = (spread * kappa) / share;
  const matrix = plain.covariance.map((row) => listOf(row.map((value) => value * sd * sd)));
  const estimates = names.map((name, j) => {
    const se = sd * Math.sqrt(realAt(itemAt(plain.covariance, j), j));
    return [name, tEstimate(realAt(fit.coefficients, j), se, df, level, method)];
  });
  return {
    coefficients: Object.fromEntries(estimates),
    n,
    df,
    scale,
    weights: listOf(weights),
    covariance: { names, matrix },
    fitted: listOf(y.map((value, i) => value - realAt(residuals, i))),
    residuals: listOf(residuals),
    iterations: steps,
    method,
    warnings: converged ? [] : [`The weights had not settled after ${steps} steps.`],
  };
}

/** Steps of weighted least squares until no fitted value moves by 1e-12 of the scale. */
function reweighted(
  design: readonly Float64Array[],
  names: readonly string[],
  y: Float64Array,
  first: Float64Array,
  where: string,
) {
  let residuals = first;
  for (let steps = 1; ; steps++) {
    const scale = scaleOf(residuals, y, where);
    const roots = huberWeights(residuals, scale).map(Math.sqrt);
    const weighted = (column: Float64Array) => column.map((v, i) => v * realAt(roots, i));
    const { coefficients } = leastSquares(design.map(weighted), weighted(y), names, where);
    const next = y.map(
      (value, i) =>
        value - sum(design.map((column, j) => realAt(column, i) * realAt(coefficients, j))),
    );
    const moved = next.reduce(
      (most, e, i) => Math.max(most, Math.abs(e - realAt(residuals, i))),
      0,
    );
    residuals = next;
    const converged = moved <= 1e-12 * scale;
    if (converged || steps === mostSteps)
      return { fit: { coefficients, residuals }, steps, converged };
  }
}

function scaleOf(residuals: Float64Array, y: Float64Array, where: string): number {
  const scale = medianOf(residuals.map(Math.abs)) / normalMedianSize;
  const centre = mean(y);
  const size = y.reduce((most, value) => Math.max(most, Math.abs(value - centre)), 0);
  if (scale > 1e-13 * size) return scale;
  throw new InputError({
    expected: "more than half of the rows off the fitted line",
    got: "a median residual of 0",
    where,
  });
}

function huberWeights(residuals: Float64Array, scale: number): Float64Array {
  return residuals.map((e) => Math.min(1, (bend * scale) / Math.abs(e)));
}

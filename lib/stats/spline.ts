import { itemAt, present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF, studentT } from "../num/distributions.js";
import { leastSquares } from "../num/linear.js";
import { sum, sumOfSquares } from "../num/sums.js";
import { listOf } from "../num/vector.js";
import { knownOptions } from "../options.js";
import { orderedQuantile } from "./describe.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { squareSums } from "./fit.js";
import { confidenceLevel, numbers, shown } from "./input.js";
import type { FTest } from "./linear-model.js";
import type { NamedMatrix } from "./mixed/inference.js";
import { lineColumns } from "./pair-slopes.js";
import { bandsAt, type Prediction } from "./prediction.js";
import { type LineColumns, lineParts } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** A smooth curve: cubic between the knots, straight beyond the outer ones. */
export interface SplineFit {
  /** Name of the function that made this record. */
  readonly kind: "fitSpline";
  /** Number of rows. */
  readonly n: number;
  /** Degrees of freedom: rows − coefficients. */
  readonly df: number;
  /** Where the pieces meet, in the unit of x, in rising order. */
  readonly knots: readonly number[];
  /** "intercept", "x", and "curve 1" … for the curved columns, each in units of y per its unit. */
  readonly coefficients: Readonly<Record<string, Estimate>>;
  /** Standard deviation of the residuals, in the unit of y. */
  readonly residualSd: number;
  /** Share of the sum of squares of y that the curve explains; left out when y is constant. */
  readonly rSquared?: number;
  /** F test that the relation is a straight line. */
  readonly nonlinear: FTest;
  /** Covariance of the coefficients, in the order of `names`. */
  readonly covariance: NamedMatrix;
  /** Height of the curve at each x given, in units of y. */
  readonly fitted: readonly number[];
  /** y − fitted, in the order of the rows given; unit of y. */
  readonly residuals: readonly number[];
  /** Range of x in the data. */
  readonly range: { readonly from: number; readonly to: number };
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `fitSpline`. */
export interface SplineOptions {
  /** Number of knots, 3 to 7, put at quantiles of x (default 4), or the knots themselves. */
  readonly knots?: number | Numbers;
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/** Shares of the rows below each knot, by number of knots (Harrell 2015, table 2.3). */
const shares: Readonly<Record<number, readonly number[]>> = {
  3: [0.1, 0.5, 0.9],
  4: [0.05, 0.35, 0.65, 0.95],
  5: [0.05, 0.275, 0.5, 0.725, 0.95],
  6: [0.05, 0.23, 0.41, 0.59, 0.77, 0.95],
  7: [0.025, 0.1833, 0.3417, 0.5, 0.6583, 0.8167, 0.975],
};

/**
 * Restricted cubic spline of y on x by least squares: a smooth curve where a line is too stiff.
 *
 * Columns: 1, x, and for the knots t₁ < … < t_k the k − 2 curves
 * [(x − tⱼ)₊³ − (x − t_{k−1})₊³ (t_k − tⱼ)/(t_k − t_{k−1}) + (x − t_k)₊³ (t_{k−1} − tⱼ)/(t_k − t_{k−1})]/(t_k − t₁)²,
 * so the curve is straight beyond the outer knots. A number of knots puts them at quantiles
 * (definition 7) of x. Choose the number before seeing y; with fewer than about 30 rows, 3.
 * A single coefficient has no meaning of its own: read the curve with `predictSpline`.
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, more rows than coefficients
 * @returns the curve as coefficients with their covariance; residualSd in units of y
 * @throws InputError when lengths differ, a value is not finite, the knots are not 3 or more rising
 *   numbers, quantiles of x coincide, or there are too few rows
 * @see Harrell (2015) Regression Modeling Strategies, 2nd ed., sect. 2.4; Stone & Koo (1985) Proc
 *   Stat Comput Sect ASA 45–48
 * @example fitSpline({ x: [1, 2, 3, 4, 5, 6], y: [1, 4, 9, 16, 25, 36] }, { knots: [1, 3, 6] }).df // 3
 */
export function fitSpline(columns: LineColumns, options: SplineOptions = {}): SplineFit {
  const where = "fitSpline";
  const [x, y] = lineColumns(columns, where);
  knownOptions(options, ["knots", "level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const knots = knotsOf(options.knots ?? 4, x, where);
  const names = ["intercept", "x", ...knots.slice(2).map((_, j) => `curve ${j + 1}`)];
  if (x.length <= names.length) {
    const expected = `more than ${names.length} rows for ${names.length} coefficients`;
    throw new InputError({ expected, got: `${x.length}`, where });
  }
  const basis = splineBasis(knots, x);
  const fit = leastSquares(basis, y, names, where);
  const straight = sumOfSquares(lineParts(x, y, where).residuals);
  const variance = fit.residualSum / fit.df;
  const matrix = fit.covariance.map((row) => Array.from(row, (value) => value * variance));
  const estimates = names.map((name, j) => {
    const se = Math.sqrt(itemAt(itemAt(matrix, j), j));
    return [name, tEstimate(realAt(fit.coefficients, j), se, fit.df, level, "Student t")];
  });
  const sums = squareSums(fit, y, sum(y) / y.length);
  return frozen({
    kind: "fitSpline" as const,
    n: x.length,
    df: fit.df,
    knots,
    coefficients: Object.fromEntries(estimates) as Record<string, Estimate>,
    residualSd: Math.sqrt(variance),
    ...(sums.total > 0 && { rSquared: sums.explained / sums.total }),
    nonlinear: curvedTest(straight - fit.residualSum, variance, names.length - 2, fit.df),
    covariance: { names, matrix },
    fitted: listOf(fit.fitted),
    residuals: listOf(fit.residuals),
    range: rangeOf(x),
    method: `restricted cubic spline, ${knots.length} knots, least squares`,
    warnings: variance === 0 ? ["The fit is perfect: its standard errors are 0."] : [],
  });
}

/**
 * The curve of a spline with its bands, pointwise: mean ŷ ± t √v, single ŷ ± t √(v + s²), v from
 * the covariance of the coefficients, t on the fit's degrees of freedom.
 *
 * @param fit a curve from fitSpline
 * @param xs where to read it, in the unit of the curve's x
 * @returns one record for each of `xs`, in units of y; `extrapolated` outside the data
 * @throws InputError when an x is not finite or the level is not between 0 and 1
 * @see Harrell (2015) Regression Modeling Strategies, 2nd ed., sect. 2.4
 * @example predictSpline(fitSpline({ x: [1, 2, 3, 4, 5, 6], y: [2, 4, 6, 8, 10, 12] }, { knots: 3 }), [4])[0].y // 8
 */
export function predictSpline(
  fit: SplineFit,
  xs: Numbers,
  options: { readonly level?: number } = {},
): readonly Prediction[] {
  const where = "predictSpline";
  knownOptions(options, ["level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const points = numbers(xs, `${where}, xs`);
  const basis = splineBasis(fit.knots, points);
  const t = studentT(fit.df).quantile((1 + level) / 2);
  const spread = { residualSd: fit.residualSd, t, level };
  const { names, matrix } = fit.covariance;
  const values = names.map((name) => present(fit.coefficients[name]).value);
  const predictions = Array.from(points, (x, i) => {
    const row = basis.map((column) => realAt(column, i));
    const y = sum(row.map((b, j) => b * itemAt(values, j)));
    const variance = Math.max(
      0,
      sum(row.map((b, j) => b * sum(row.map((c, k) => c * itemAt(itemAt(matrix, j), k))))),
    );
    return {
      x,
      y,
      ...bandsAt(y, variance, spread),
      extrapolated: x < fit.range.from || x > fit.range.to,
    };
  });
  return frozen(predictions);
}

function knotsOf(knots: number | Numbers, x: Float64Array, where: string): number[] {
  if (typeof knots === "number") {
    const at = shares[knots];
    if (!at) {
      const expected = "3 to 7 knots, or a list of their places";
      throw new InputError({ expected, got: shown(knots), where: `${where}, knots` });
    }
    const ordered = x.slice().sort();
    return rising(
      at.map((share) => orderedQuantile(ordered, share, 7)),
      where,
    );
  }
  return rising(Array.from(numbers(knots, `${where}, knots`, 3)), where);
}

function rising(knots: number[], where: string): number[] {
  if (knots.every((knot, j) => j === 0 || knot > itemAt(knots, j - 1))) return knots;
  const expected = "knots in rising order, no two at one place (give their places where x repeats)";
  throw new InputError({ expected, got: knots.join(", "), where: `${where}, knots` });
}

function splineBasis(knots: readonly number[], x: Float64Array): Float64Array[] {
  const k = knots.length;
  const [last, before] = [itemAt(knots, k - 1), itemAt(knots, k - 2)];
  const width = last - itemAt(knots, 0);
  // u³/width² with the division first, because cubes soon leave the range of a double
  const cube = (d: number) => (d > 0 ? d * (d / width) ** 2 : 0);
  const curves = knots.slice(0, k - 2).map((knot) => {
    const [toLast, toBefore] = [(last - knot) / (last - before), (before - knot) / (last - before)];
    return x.map(
      (value) => cube(value - knot) - cube(value - before) * toLast + cube(value - last) * toBefore,
    );
  });
  return [new Float64Array(x.length).fill(1), x, ...curves];
}

function curvedTest(explained: number, variance: number, df1: number, df2: number): FTest {
  if (variance === 0) return { df1, df2, p: explained > 0 ? 0 : 1 };
  const statistic = Math.max(0, explained) / df1 / variance;
  return { statistic, df1, df2, p: fisherF(df1, df2).upper(statistic) };
}

function rangeOf(x: Float64Array): { from: number; to: number } {
  const range = { from: realAt(x, 0), to: realAt(x, 0) };
  for (const value of x) {
    range.from = Math.min(range.from, value);
    range.to = Math.max(range.to, value);
  }
  return range;
}

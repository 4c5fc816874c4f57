import { itemAt, present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { type LeastSquares, leastSquares } from "../num/linear.js";
import { mean, sum, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { type Fit, type FitParts, fitReport, squareSums } from "./fit.js";
import { confidenceLevel, namedColumns, numbers, sameLength, shown } from "./input.js";
import { rowVariances, type StandardErrors, standardErrorKind } from "./robust.js";
import { studentEstimate } from "./student.js";

/** The test that no column matters, by the ordinary residual variance. */
export interface FTest {
  /** Left out for a perfect fit. */
  readonly statistic?: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
}

/** A straight line. */
export interface LineFit extends Fit {
  readonly kind: "fitLine";
  readonly intercept: Estimate;
  readonly slope: Estimate;
  /** The middle of the data and how surely the line's height is known there; for predictLine. */
  readonly centre: {
    readonly x: number;
    readonly y: number;
    /** Variance of the line's height at the centre. */
    readonly variance: number;
    /** Covariance of that height and the slope; 0 with ordinary errors. */
    readonly covariance: number;
    /** Range of x in the data. */
    readonly from: number;
    readonly to: number;
  };
}

/** A fit on several columns. */
export interface LinearFit extends Fit {
  readonly kind: "fitLinear";
  /** By column name, and "intercept". */
  readonly coefficients: Readonly<Record<string, Estimate>>;
  readonly f: FTest;
}

/** The two columns of a straight line, row by row. */
export interface LineColumns {
  /** The predictor, in any unit. */
  readonly x: Numbers;
  /** The outcome, in any unit. */
  readonly y: Numbers;
}

/** The outcome and the columns that it is fitted on, row by row. */
export interface LinearColumns {
  /** The outcome, in any unit. */
  readonly y: Numbers;
  /** Columns by name, each in any unit; the intercept is not listed. */
  readonly terms: Readonly<Record<string, Numbers>>;
}

export interface FitOptions {
  /** Confidence level of the intervals, 0.95 unless given. */
  readonly level?: number;
  /** "ordinary" unless given; HC0 to HC3 where the spread of the residuals depends on the terms. */
  readonly standardErrors?: StandardErrors;
}

export interface LinearOptions extends FitOptions {
  /** True unless the fitted plane must go through the origin. */
  readonly intercept?: boolean;
}

function tMethod(standardErrors: StandardErrors): string {
  return standardErrors === "ordinary" ? "Student t" : `Student t, ${standardErrors} errors`;
}

/** How the line's height at the centre and its slope vary together. */
function lineVariances(
  parts: FitParts,
  dx: Float64Array,
  xx: number,
  standardErrors: StandardErrors,
) {
  const n = dx.length;
  if (standardErrors === "ordinary") {
    const s2 = sum(parts.residuals.map((e) => e * e)) / parts.df;
    return { height: s2 / n, slope: s2 / xx, both: 0 };
  }
  const omega = rowVariances(parts, standardErrors, "fitLine");
  return {
    height: sum(omega) / n ** 2,
    slope: sum(omega.map((value, i) => value * realAt(dx, i) ** 2)) / xx ** 2,
    both: sum(omega.map((value, i) => value * realAt(dx, i))) / (n * xx),
  };
}

/**
 * Straight line by least squares: slope b = Σ(x − x̄)(y − ȳ)/Σ(x − x̄)², intercept ȳ − b x̄.
 *
 * Standard errors: ordinary, or HC0–HC3 where the scatter about the line differs with x; t on
 * n − 2 degrees of freedom either way. Leverage 1/n + (x − x̄)²/Σ(x − x̄)².
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, n ≥ 3
 * @returns slope in units of y per unit of x; intercept and residualSd in units of y
 * @throws InputError when lengths differ, a value is not finite, n < 3, x is constant, a row has
 *   leverage 1 under HC2 or HC3, or an option is unknown
 * @see Draper & Smith (1998) Applied Regression Analysis, chapters 1–3; MacKinnon & White (1985)
 *   J Econometrics 29:305–325
 * @example fitLine({ x: [1, 2, 3, 4], y: [2, 4, 5, 9] }).slope.value // 2.2
 */
export function fitLine(columns: LineColumns, options: FitOptions = {}): LineFit {
  const { x, y } = namedColumns(columns, ["x", "y"], "fitLine");
  knownOptions(options, ["level", "standardErrors"], "fitLine");
  const { level = 0.95, standardErrors = "ordinary" } = options;
  const xs = numbers(x, "fitLine, x", 3);
  const ys = numbers(y, "fitLine, y", 3);
  sameLength(ys.length, xs.length, "fitLine, y");
  confidenceLevel(level, "fitLine");
  standardErrorKind(standardErrors, "fitLine");
  const n = xs.length;
  const df = n - 2;
  const centre = { x: mean(xs), y: mean(ys) };
  const dx = xs.map((value) => value - centre.x);
  const xx = sumOfSquaredDeviations(xs, centre.x);
  if (xx === 0) {
    const expected = "values that differ";
    throw new InputError({ expected, got: "one value throughout", where: "fitLine, x" });
  }
  const slope = sumOfProductDeviations(xs, ys, centre.x, centre.y) / xx;
  const residuals = dx.map((d, i) => realAt(ys, i) - centre.y - slope * d);
  const leverage = dx.map((d) => 1 / n + (d * d) / xx);
  const intercept = centre.y - slope * centre.x;
  const parts = { residuals, leverage, df };
  const spread = lineVariances(parts, dx, xx, standardErrors);
  const interceptVariance =
    spread.height - 2 * centre.x * spread.both + centre.x ** 2 * spread.slope;
  const method = tMethod(standardErrors);
  return frozen({
    kind: "fitLine" as const,
    intercept: studentEstimate(intercept, Math.sqrt(interceptVariance), df, level, method),
    slope: studentEstimate(slope, Math.sqrt(spread.slope), df, level, method),
    centre: {
      ...centre,
      variance: spread.height,
      covariance: spread.both,
      from: xs.reduce((least, value) => Math.min(least, value)),
      to: xs.reduce((most, value) => Math.max(most, value)),
    },
    ...fitReport(parts, squareSums(parts, ys, centre.y), standardErrors),
  });
}

/**
 * Least squares on several columns: y = b₀ + b₁x₁ + … , by orthogonal factorisation with column
 * scaling and iterative refinement, so that ill-conditioned columns keep their digits.
 *
 * Standard errors √(s² (XᵀX)⁻¹ⱼⱼ), or HC0–HC3; t on n − p degrees of freedom either way. The F
 * test and R² are the ordinary ones; without an intercept R² is about 0, not about the mean.
 *
 * @param columns `y`: n numbers in any unit; `terms`: columns of n numbers by name
 * @param options `intercept`: true unless the line must go through the origin
 * @returns coefficients by name, the intercept's is "intercept", each in units of y per unit of
 *   its column
 * @throws InputError when lengths differ, a value is not finite, rows do not outnumber
 *   coefficients, a column is a combination of the others (it is named), a row has leverage 1 under
 *   HC2 or HC3, or an option is unknown
 * @see Björck (1967) BIT 7:257–278; NIST Statistical Reference Datasets for what it is checked on
 * @example fitLinear({ y: [1, 3, 5, 8], terms: { week: [0, 1, 2, 3] } }).coefficients.week.value // 2.3
 */
export function fitLinear(columns: LinearColumns, options: LinearOptions = {}): LinearFit {
  const { y, terms } = namedColumns(columns, ["y", "terms"], "fitLinear");
  knownOptions(options, ["intercept", "level", "standardErrors"], "fitLinear");
  const { intercept = true, level = 0.95, standardErrors = "ordinary" } = options;
  confidenceLevel(level, "fitLinear");
  standardErrorKind(standardErrors, "fitLinear");
  const ys = numbers(y, "fitLinear, y", 2);
  const { names, design } = designColumns(terms, ys.length, intercept);
  const fit = leastSquares(design, ys, names, "fitLinear");
  const sums = squareSums(fit, ys, intercept ? mean(ys) : 0);
  const variances = coefficientVariances(fit, design, sums.residual, standardErrors);
  const method = tMethod(standardErrors);
  const estimates = names.map((name, j) => [
    name,
    studentEstimate(
      realAt(fit.coefficients, j),
      Math.sqrt(itemAt(variances, j)),
      fit.df,
      level,
      method,
    ),
  ]);
  return frozen({
    kind: "fitLinear" as const,
    coefficients: Object.fromEntries(estimates),
    f: fTest(sums.explained, sums.residual, names.length - (intercept ? 1 : 0), fit.df),
    ...fitReport(fit, sums, standardErrors),
  });
}

/** Checks the columns and puts the column of ones first. */
function designColumns(terms: Readonly<Record<string, Numbers>>, n: number, intercept: boolean) {
  if (terms === null || typeof terms !== "object" || Object.keys(terms).length === 0) {
    const expected = "a record of one or more columns by name";
    throw new InputError({ expected, got: shown(terms), where: "fitLinear, terms" });
  }
  const names = Object.keys(terms);
  const design = names.map((name) => {
    const column = numbers(present(terms[name]), `fitLinear, ${name}`);
    sameLength(column.length, n, `fitLinear, ${name}`);
    return column;
  });
  if (intercept) {
    if (names.includes("intercept")) {
      const expected = 'another name, "intercept" is the constant\'s';
      throw new InputError({ expected, got: '"intercept"', where: "fitLinear, terms" });
    }
    names.unshift("intercept");
    design.unshift(new Float64Array(n).fill(1));
  }
  if (n <= names.length) {
    const expected = `more than ${names.length} rows for ${names.length} coefficients`;
    throw new InputError({ expected, got: String(n), where: "fitLinear, y" });
  }
  return { names, design };
}

/** Variances of the coefficients: s² C, or C XᵀΩX C with each row's own variance. */
function coefficientVariances(
  fit: LeastSquares,
  design: readonly Float64Array[],
  residualSum: number,
  standardErrors: StandardErrors,
): number[] {
  const { covariance, df } = fit;
  if (standardErrors === "ordinary")
    return covariance.map((row, j) => (realAt(row, j) * residualSum) / df);
  const omega = rowVariances(fit, standardErrors, "fitLinear");
  return covariance.map((row) =>
    sum(
      omega.map(
        (value, i) => value * sum(row.map((c, k) => c * realAt(itemAt(design, k), i))) ** 2,
      ),
    ),
  );
}

function fTest(explained: number, residual: number, df1: number, df2: number): FTest {
  const statistic = explained / df1 / (residual / df2);
  if (!Number.isFinite(statistic)) return { df1, df2, p: explained > 0 ? 0 : 1 };
  return { statistic, df1, df2, p: fisherF(df1, df2).upper(statistic) };
}

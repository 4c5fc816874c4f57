import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import {
  mean,
  sum,
  sumOfProductDeviations,
  sumOfSquaredDeviations,
  sumOfSquares,
} from "../num/sums.js";
import { knownOptions } from "../options.js";
import { repeatWarnings } from "./cluster-errors.js";
import { type Estimate, frozen, type Labels, type Numbers } from "./estimate.js";
import { type Fit, type FitParts, fitReport, squareSums } from "./fit.js";
import { confidenceLevel, labels, namedColumns, numbers, sameLength } from "./input.js";
import { rowVariances, type StandardErrors, standardErrorKind } from "./robust.js";
import { tEstimate } from "./t-estimate.js";

/** A straight line. */
export interface LineFit extends Fit {
  /** Name of the function that made this record. */
  readonly kind: "fitLine";
  /** Height of the line at x = 0, in units of y. */
  readonly intercept: Estimate;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
  /** The centre of the data and the precision of the line's height there; for predictLine. */
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

/** The two columns of a straight line, row by row. */
export interface LineColumns {
  /** The predictor, in any unit. */
  readonly x: Numbers;
  /** The outcome, in any unit. */
  readonly y: Numbers;
}

/** Options of `fitLine`. */
export interface FitOptions {
  /** Confidence level of the intervals, 0.95 unless given. */
  readonly level?: number;
  /** "ordinary" unless given; HC0 to HC3 where the spread of the residuals depends on x. */
  readonly standardErrors?: StandardErrors;
  /** Whose row each is. A line takes rows as independent: it warns where a label repeats. */
  readonly clusters?: Labels | Numbers;
}

/** The method of an interval by Student's t with the given errors. */
export function tMethod(standardErrors: string): string {
  return standardErrors === "ordinary" ? "Student t" : `Student t, ${standardErrors} errors`;
}

/** A line through checked columns: its parts, and the sums that they come from. */
export interface LineParts extends FitParts {
  /** Means of both columns. */
  readonly centre: { readonly x: number; readonly y: number };
  /** x less its mean, row by row. */
  readonly dx: Float64Array;
  /** Sum of the squares of `dx`. */
  readonly xx: number;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: number;
}

/**
 * Least squares through two checked columns of one length.
 * @throws InputError when x is constant
 */
export function lineParts(xs: Float64Array, ys: Float64Array, where: string): LineParts {
  const n = xs.length;
  const centre = { x: mean(xs), y: mean(ys) };
  const dx = new Float64Array(n);
  for (let i = 0; i < n; i++) dx[i] = realAt(xs, i) - centre.x;
  const xx = sumOfSquaredDeviations(xs, centre.x);
  if (xx === 0) {
    const expected = "values that differ";
    throw new InputError({ expected, got: "one value throughout", where: `${where}, x` });
  }
  const slope = sumOfProductDeviations(xs, ys, centre.x, centre.y) / xx;
  const fitted = new Float64Array(n);
  const residuals = new Float64Array(n);
  const leverage = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const d = realAt(dx, i);
    residuals[i] = realAt(ys, i) - centre.y - slope * d;
    fitted[i] = centre.y + slope * d;
    leverage[i] = 1 / n + (d * d) / xx;
  }
  return { residuals, fitted, leverage, df: n - 2, centre, dx, xx, slope };
}

/** How the line's height at the centre and its slope vary together. */
function lineVariances(parts: LineParts, standardErrors: StandardErrors) {
  const { dx, xx } = parts;
  const n = dx.length;
  if (standardErrors === "ordinary") {
    const s2 = sumOfSquares(parts.residuals) / parts.df;
    return { height: s2 / n, slope: s2 / xx, both: 0 };
  }
  const omega = rowVariances(parts, standardErrors, "fitLine");
  const size = Math.sqrt(xx);
  return {
    height: sum(omega) / n ** 2,
    slope: sum(omega.map((value, i) => value * (realAt(dx, i) / size) ** 2)) / xx,
    both: sum(omega.map((value, i) => value * (realAt(dx, i) / size))) / (n * size),
  };
}

/**
 * Straight line by least squares: slope b = Σ(x − x̄)(y − ȳ)/Σ(x − x̄)², intercept ȳ − b x̄.
 *
 * Standard errors: ordinary, or HC0–HC3 where the scatter about the line differs with x; t on
 * n − 2 degrees of freedom either way. Leverage 1/n + (x − x̄)²/Σ(x − x̄)².
 *
 * Rows are taken as independent. They are not when people have several rows each: with 12 people
 * of 10 rows that share their own level, 41 % of true nulls are rejected at 5 % (simulated). Pass
 * `clusters` to be warned; use fitMixed, subjectSlopes, or fitLinear with CR2 instead. Ordinary
 * errors also need one spread along the line; where it differs, HC3 holds from about 12 rows.
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
  knownOptions(options, ["level", "standardErrors", "clusters"], "fitLine");
  const { level = 0.95, standardErrors = "ordinary", clusters } = options;
  const xs = numbers(x, "fitLine, x", 3);
  const ys = numbers(y, "fitLine, y", 3);
  sameLength(ys.length, xs.length, "fitLine, y");
  confidenceLevel(level, "fitLine");
  standardErrorKind(standardErrors, "fitLine");
  const n = xs.length;
  const parts = lineParts(xs, ys, "fitLine");
  const { df, centre, slope } = parts;
  const intercept = centre.y - slope * centre.x;
  const { height, slope: slopeVariance, both } = lineVariances(parts, standardErrors);
  const interceptVariance = height - 2 * centre.x * both + centre.x ** 2 * slopeVariance;
  const together = 0 + (both - centre.x * slopeVariance); // not −0
  const method = tMethod(standardErrors);
  return frozen({
    kind: "fitLine" as const,
    intercept: tEstimate(intercept, Math.sqrt(interceptVariance), df, level, method),
    slope: tEstimate(slope, Math.sqrt(slopeVariance), df, level, method),
    centre: { ...centre, variance: height, covariance: both, ...rangeOf(xs) },
    ...fitReport(parts, {
      sums: squareSums(parts, ys, centre.y),
      covariance: {
        names: ["intercept", "slope"],
        matrix: [
          [interceptVariance, together],
          [together, slopeVariance],
        ],
      },
      standardErrors,
      level,
      warnings: clusters
        ? repeatWarnings(
            labels(clusters, "fitLine, clusters", n),
            "fitMixed, or fitLinear with standardErrors CR2",
          )
        : [],
    }),
  });
}

function rangeOf(x: Float64Array): { from: number; to: number } {
  let from = realAt(x, 0);
  let to = from;
  for (const value of x) {
    if (value < from) from = value;
    if (value > to) to = value;
  }
  return { from, to };
}

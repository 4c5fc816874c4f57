import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { type LeastSquares, leastSquares } from "../num/linear.js";
import { fromRows, rowsOf } from "../num/matrix.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import {
  type ClusterShares,
  clusterCovariance,
  clusterDf,
  repeatWarnings,
} from "./cluster-errors.js";
import { type Estimate, frozen, type Labels, type Numbers } from "./estimate.js";
import { type Fit, fitReport, squareSums } from "./fit.js";
import { confidenceLevel, labels, namedColumns, numbers, shown } from "./input.js";
import { tMethod } from "./regression.js";
import {
  type ClusterErrors,
  clusterErrorKinds,
  rowVariances,
  type StandardErrors,
  standardErrorKind,
} from "./robust.js";
import { tEstimate } from "./t-estimate.js";
import { codedTerms, type ModelTerms, type TermColumn, type TermOptions } from "./terms.js";

/** The test that no column matters. */
export interface FTest {
  /** Left out for a perfect fit. */
  readonly statistic?: number;
  /** Degrees of freedom of the numerator: number of columns tested. */
  readonly df1: number;
  /** Degrees of freedom of the denominator: rows − coefficients. */
  readonly df2: number;
  /** Probability of an F as large or larger if no column matters. */
  readonly p: number;
}

/** A fit on several columns. */
export interface LinearFit extends Fit {
  /** Name of the function that made this record. */
  readonly kind: "fitLinear";
  /** By column name, and "intercept". */
  readonly coefficients: Readonly<Record<string, Estimate>>;
  /** By the ordinary residual variance; left out with CR0 to CR2, where jointTest asks instead. */
  readonly f?: FTest;
  /** How terms and labels make up the coefficients; for adjustedMeans. */
  readonly terms: ModelTerms;
  /** With cluster-robust errors: what contrasts need of the clusters. */
  readonly clusters?: ClusterShares;
}

/** The outcome and the columns that it is fitted on, row by row. */
export interface LinearColumns {
  /** The outcome, in any unit. */
  readonly y: Numbers;
  /** Columns by name, numbers in any unit or labels; the intercept is not listed. */
  readonly terms: Readonly<Record<string, TermColumn>>;
}

/** Options of `fitLinear`. */
export interface LinearOptions extends TermOptions {
  /** Confidence level of the intervals, 0.95 unless given. */
  readonly level?: number;
  /**
   * "ordinary" unless given; HC0 to HC3 where the spread of the residuals depends on the terms; CR0
   * to CR2 where rows of one cluster depend on each other.
   */
  readonly standardErrors?: StandardErrors | ClusterErrors;
  /** Whose row each is; needed for CR0 to CR2, and else read to warn where a label repeats. */
  readonly clusters?: Labels | Numbers;
  /** True unless the fitted plane must go through the origin. */
  readonly intercept?: boolean;
}

const LINEAR_OPTIONS: readonly (keyof LinearOptions)[] = [
  "intercept",
  "level",
  "standardErrors",
  "clusters",
  "reference",
  "interactions",
];

/**
 * Least squares on several columns: y = b₀ + b₁x₁ + … , by orthogonal factorisation with column
 * scaling and iterative refinement, so that ill-conditioned columns keep their digits.
 *
 * A term may be a column of labels. It is coded 0/1 against `reference` (the label that sorts first
 * unless given), one coefficient per other label, named "arm:grip"; `interactions` adds products,
 * named "arm:grip × visit:w6".
 *
 * Standard errors √(s² (XᵀX)⁻¹ⱼⱼ), or HC0–HC3, with t on n − p degrees of freedom. With people who
 * have several rows these are too small: pass `clusters` and CR2, whose t has Satterthwaite degrees
 * of freedom (CR0 and CR1: clusters − 1). With fewer than about ten clusters only CR2 holds its
 * level. The F test and R² are the ordinary ones; without an intercept R² is about 0, not about
 * the mean.
 *
 * @param columns `y`: n numbers in any unit; `terms`: columns of n numbers or labels by name
 * @param options `intercept`: true unless the line must go through the origin
 * @returns coefficients by name, the intercept's is "intercept", each in units of y per unit of
 *   its column
 * @throws InputError when lengths differ, a value is not finite, rows do not outnumber
 *   coefficients, a column is a combination of the others (it is named), an interaction has a
 *   combination of labels without rows, a row has leverage 1 under HC2 or HC3, clusters are missing
 *   or fewer than two, or an option is unknown
 * @see Björck (1967) BIT 7:257–278; NIST Statistical Reference Datasets for what it is checked on;
 *   Bell, McCaffrey (2002) Survey Methodology 28:169–181 for CR2; Pustejovsky, Tipton (2018) J Bus
 *   Econ Stat 36:672–683 for its degrees of freedom
 * @example fitLinear({ y: [1, 3, 5, 8], terms: { week: [0, 1, 2, 3] } }).coefficients.week.value // 2.3
 */
export function fitLinear(columns: LinearColumns, options: LinearOptions = {}): LinearFit {
  const { y, terms } = namedColumns(columns, ["y", "terms"], "fitLinear");
  knownOptions(options, LINEAR_OPTIONS, "fitLinear");
  const { intercept = true, level = 0.95, standardErrors = "ordinary" } = options;
  confidenceLevel(level, "fitLinear");
  const ys = numbers(y, "fitLinear, y", 2);
  const { names, design, model } = designColumns(terms, ys.length, intercept, options);
  const fit = leastSquares(design, ys, names, "fitLinear");
  const sums = squareSums(fit, ys, intercept ? mean(ys) : 0);
  const errors = errorsOf(fit, design, sums.residual, options);
  const method = tMethod(standardErrors);
  const estimates = names.map((name, j) => {
    const se = Math.sqrt(Math.max(0, realAt(errors.matrix, j * names.length + j)));
    const df = errors.dfOf(j);
    return [name, tEstimate(realAt(fit.coefficients, j), se, df, level, method)];
  });
  const matrix = rowsOf(errors.matrix, names.length);
  const tested = names.length - (intercept ? 1 : 0);
  return frozen({
    kind: "fitLinear" as const,
    coefficients: Object.fromEntries(estimates),
    ...(!errors.shares && { f: fTest(sums.explained, sums.residual, tested, fit.df) }),
    terms: model,
    ...(errors.shares && { clusters: errors.shares }),
    ...fitReport(fit, {
      sums,
      covariance: { names, matrix },
      standardErrors,
      level,
      warnings: errors.warnings,
    }),
  });
}

/** Checks the columns and puts the column of ones first. */
function designColumns(
  terms: Readonly<Record<string, TermColumn>>,
  n: number,
  intercept: boolean,
  options: TermOptions,
) {
  const coded = codedTerms(terms, n, options, intercept, "fitLinear");
  if (coded.names.length === 0) {
    const expected = "a record of one or more columns by name";
    throw new InputError({ expected, got: shown(terms), where: "fitLinear, terms" });
  }
  const ones = intercept ? [new Float64Array(n).fill(1)] : [];
  const names = intercept ? ["intercept", ...coded.names] : [...coded.names];
  if (n <= names.length) {
    const expected = `more than ${names.length} rows for ${names.length} coefficients`;
    throw new InputError({ expected, got: String(n), where: "fitLinear, y" });
  }
  return { names, design: [...ones, ...coded.columns], model: coded.model };
}

/** Covariance and degrees of freedom of the coefficients. */
interface CoefficientErrors {
  /** p × p. */
  readonly matrix: Float64Array;
  readonly dfOf: (coefficient: number) => number;
  readonly shares?: ClusterShares;
  readonly warnings: readonly string[];
}

function errorsOf(
  fit: LeastSquares,
  design: readonly Float64Array[],
  residualSum: number,
  { standardErrors = "ordinary", clusters }: LinearOptions,
): CoefficientErrors {
  const cluster = clusterErrorKinds.find((kind) => kind === standardErrors);
  const people = clusters && labels(clusters, "fitLinear, clusters", fit.residuals.length);
  if (cluster) return robustErrors(fit, design, cluster, people);
  const kind = standardErrorKind(standardErrors, "fitLinear", clusterErrorKinds);
  return {
    matrix: rowwiseCovariance(fit, design, residualSum, kind),
    dfOf: () => fit.df,
    warnings: people ? repeatWarnings(people, "standardErrors CR2, or fitMixed") : [],
  };
}

function robustErrors(
  fit: LeastSquares,
  design: readonly Float64Array[],
  kind: ClusterErrors,
  people: readonly string[] | undefined,
): CoefficientErrors {
  if (!people) {
    const expected = `labels in the option clusters for ${kind} errors`;
    throw new InputError({ expected, got: "none", where: "fitLinear, clusters" });
  }
  const { residuals, covariance } = fit;
  const found = clusterCovariance(design, residuals, covariance, people, kind, "fitLinear");
  const { shares } = found;
  const few = shares.count < FEW_CLUSTERS && kind !== "CR2";
  const fewer = shares.count <= design.length && kind !== "CR2";
  return {
    ...found,
    dfOf: (j) =>
      kind === "CR2"
        ? clusterDf(
            shares,
            Float64Array.from(design, (_, k) => (k === j ? 1 : 0)),
          )
        : shares.count - 1,
    warnings: [
      ...(few
        ? [
            `${kind} errors from ${shares.count} clusters (below ${FEW_CLUSTERS}) are too small, so ` +
              "intervals are too narrow; CR2 is safer",
          ]
        : []),
      ...(fewer
        ? [
            `${shares.count} clusters for ${design.length} coefficients: the residuals of a cluster ` +
              `can cancel, so ${kind} errors may be 0 without meaning anything`,
          ]
        : []),
    ],
  };
}

/** Below this many clusters CR0 and CR1 reject too often; a convention (Cameron & Miller 2015). */
const FEW_CLUSTERS = 40;

/** s² C, or C XᵀΩX C with each row's own variance. */
function rowwiseCovariance(
  fit: LeastSquares,
  design: readonly Float64Array[],
  residualSum: number,
  kind: StandardErrors,
): Float64Array {
  const p = design.length;
  const inverse = fromRows(fit.covariance.map((row) => Array.from(row)));
  if (kind === "ordinary") return inverse.map((c) => (c * residualSum) / fit.df);
  const omega = rowVariances(fit, kind, "fitLinear");
  const matrix = new Float64Array(p * p);
  const turned = new Float64Array(p);
  for (const [row, variance] of omega.entries()) {
    for (let j = 0; j < p; j++) {
      let sum = 0;
      for (let k = 0; k < p; k++)
        sum += realAt(inverse, j * p + k) * realAt(itemAt(design, k), row);
      turned[j] = sum;
    }
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++)
        matrix[j * p + k] =
          realAt(matrix, j * p + k) + variance * realAt(turned, j) * realAt(turned, k);
    }
  }
  return matrix;
}

function fTest(explained: number, residual: number, df1: number, df2: number): FTest {
  const statistic = explained / df1 / (residual / df2);
  if (!Number.isFinite(statistic)) return { df1, df2, p: explained > 0 ? 0 : 1 };
  return { statistic, df1, df2, p: fisherF(df1, df2).upper(statistic) };
}

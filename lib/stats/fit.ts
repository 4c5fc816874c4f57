import { realAt } from "../entry.js";
import type { LeastSquares } from "../num/linear.js";
import { sumOfSquares } from "../num/sums.js";
import { listOf } from "../num/vector.js";
import type { NamedMatrix } from "./mixed/inference.js";
import {
  type ClusterErrors,
  cooksDistances,
  fewRowsWarnings,
  fullyFitted,
  type StandardErrors,
} from "./robust.js";

/** What every least-squares fit reports, whatever its columns. */
export interface Fit {
  /** Number of rows. */
  readonly n: number;
  /** Rows − coefficients. */
  readonly df: number;
  /** √(Σe²/df), in units of y. */
  readonly residualSd: number;
  /** Share of the sum of squares of y that the fit explains; left out when y is constant. */
  readonly rSquared?: number;
  /** Of the coefficients, in their order. */
  readonly covariance: NamedMatrix;
  /** What the fit gives for each row, in units of y. */
  readonly fitted: readonly number[];
  /** y − fitted, row by row. */
  readonly residuals: readonly number[];
  /** Diagonal of the hat matrix, row by row. */
  readonly leverage: readonly number[];
  /** Row by row; null where undefined (leverage 1, or a perfect fit). */
  readonly cooksDistance: readonly (number | null)[];
  /** Kind of the standard errors. */
  readonly standardErrors: StandardErrors | ClusterErrors;
  /** Confidence level of the intervals. */
  readonly level: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** The parts of a fit that its report is made from. */
export type FitParts = Pick<LeastSquares, "residuals" | "fitted" | "leverage" | "df">;

/** Sums of squares about `origin`: the mean of y, or 0 for a fit without intercept. */
export function squareSums({ residuals, fitted }: FitParts, y: Float64Array, origin: number) {
  return {
    total: sumOfSquares(y, origin),
    // From the fitted values, not as a difference: a small share keeps its digits.
    explained: sumOfSquares(fitted, origin),
    residual: sumOfSquares(residuals),
  };
}

/** What a report needs beside the parts of a fit. */
export interface ReportInput {
  /** Sums of squares of y and of the residuals. */
  readonly sums: ReturnType<typeof squareSums>;
  /** Of the coefficients, in their order. */
  readonly covariance: NamedMatrix;
  /** Kind of the standard errors. */
  readonly standardErrors: StandardErrors | ClusterErrors;
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings?: readonly string[];
}

/** The report of a fit. */
export function fitReport(
  parts: FitParts,
  { sums, covariance, standardErrors, level, warnings = [] }: ReportInput,
): Fit {
  const { residuals, fitted, leverage, df } = parts;
  const { total, explained, residual } = sums;
  const residualVariance = residual / df;
  return {
    n: residuals.length,
    df,
    residualSd: Math.sqrt(residualVariance),
    ...(total > 0 && { rSquared: explained / total }),
    covariance,
    fitted: listOf(fitted),
    residuals: listOf(residuals),
    leverage: listOf(leverage),
    cooksDistance: cooksDistances(parts, residualVariance),
    standardErrors,
    level,
    method: `least squares, ${standardErrors} standard errors`,
    warnings: [
      ...fitWarnings(leverage, residual, total),
      ...fewRowsWarnings(standardErrors, residuals.length),
      ...warnings,
    ],
  };
}

function fitWarnings(leverage: Float64Array, residual: number, total: number): string[] {
  const warnings: string[] = [];
  if (residual === 0) warnings.push("the fit is perfect: its standard errors are 0");
  if (total === 0) warnings.push("y is the same in every row");
  const rows: number[] = [];
  for (let i = 0; i < leverage.length; i++) if (fullyFitted(realAt(leverage, i))) rows.push(i);
  if (rows.length > 0) {
    warnings.push(`leverage 1 at index ${rows.join(", ")}: the fit depends on it completely`);
  }
  return warnings;
}

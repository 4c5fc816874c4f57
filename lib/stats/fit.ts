import { realAt } from "../entry.js";
import type { LeastSquares } from "../num/linear.js";
import { sum } from "../num/sums.js";
import { cooksDistances, fullyFitted, type StandardErrors } from "./robust.js";

/** What every least-squares fit reports, whatever its columns. */
export interface Fit {
  readonly n: number;
  /** Rows less coefficients. */
  readonly df: number;
  /** √(Σe²/df), in units of y. */
  readonly residualSd: number;
  /** Share of the sum of squares of y that the fit explains; left out when y is constant. */
  readonly rSquared?: number;
  /** y less the fitted value, row by row. */
  readonly residuals: readonly number[];
  /** Diagonal of the hat matrix, row by row. */
  readonly leverage: readonly number[];
  /** Row by row; null where undefined (leverage 1, or a perfect fit). */
  readonly cooksDistance: readonly (number | null)[];
  readonly standardErrors: StandardErrors;
  readonly method: string;
  readonly warnings: readonly string[];
}

/** The parts of a fit that its report is made from. */
export type FitParts = Pick<LeastSquares, "residuals" | "leverage" | "df">;

function sumOfSquares(x: Float64Array): number {
  return sum(x.map((value) => value * value));
}

/** Sums of squares about `origin`: the mean of y, or 0 for a fit without intercept. */
export function squareSums({ residuals }: FitParts, y: Float64Array, origin: number) {
  return {
    total: sumOfSquares(y.map((value) => value - origin)),
    // From the fitted values, not as a difference: a small share keeps its digits.
    explained: sumOfSquares(y.map((value, i) => value - realAt(residuals, i) - origin)),
    residual: sumOfSquares(residuals),
  };
}

/** The report of a fit. */
export function fitReport(
  parts: FitParts,
  { total, explained, residual }: ReturnType<typeof squareSums>,
  standardErrors: StandardErrors,
): Fit {
  const { residuals, leverage, df } = parts;
  const residualVariance = residual / df;
  return {
    n: residuals.length,
    df,
    residualSd: Math.sqrt(residualVariance),
    ...(total > 0 && { rSquared: explained / total }),
    residuals: Array.from(residuals),
    leverage: Array.from(leverage),
    cooksDistance: cooksDistances(parts, residualVariance),
    standardErrors,
    method: `least squares, ${standardErrors} standard errors`,
    warnings: fitWarnings(leverage, residual, total),
  };
}

function fitWarnings(leverage: Float64Array, residual: number, total: number): string[] {
  const warnings: string[] = [];
  if (residual === 0) warnings.push("the fit is perfect: its standard errors are 0");
  if (total === 0) warnings.push("y is the same in every row");
  const rows = Array.from(leverage.keys()).filter((i) => fullyFitted(realAt(leverage, i)));
  if (rows.length > 0) warnings.push(`leverage 1 at index ${rows.join(", ")}: the fit hangs on it`);
  return warnings;
}

import { itemAt, realAt } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { leastSquares } from "../num/linear.js";
import type { Estimate } from "./estimate.js";

/** Leverage from which a row alone holds up a coefficient, so that nothing can be fitted without it. */
const leverageOfAll = 1 - 1e-9;

/**
 * A weighted sum of least-squares coefficients, fitted again without each row in turn, at the cost
 * of one fit.
 *
 * With u = (XᵀX)⁻¹xᵢ, residual e and leverage h of row i: b₍ᵢ₎ = b − u e/(1 − h),
 * RSS₍ᵢ₎ = RSS − e²/(1 − h), (XᵀX)₍ᵢ₎⁻¹ = (XᵀX)⁻¹ + u uᵀ/(1 − h); t with n − 1 − p degrees of freedom.
 *
 * @param columns the columns of the model, one of ones for an intercept
 * @param y the outcome, any unit
 * @param weights one weight per coefficient
 * @returns the estimate without each row, in the unit of y; null where the row alone holds up a
 *   coefficient that the sum includes, or where no degree of freedom is left
 * @see Cook & Weisberg (1982) Residuals and Influence in Regression, section 2.2 and appendix A.2
 */
export function withoutEachRow(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights: readonly number[],
  level: number,
): (Estimate | null)[] {
  const fit = leastSquares(columns, y);
  const df = fit.df - 1;
  const quantile = df < 1 ? 0 : studentT(df).quantile((1 + level) / 2);
  // c′(XᵀX)⁻¹ once: its product with a row of the model is c′u of that row.
  const spread = fit.covariance.map((_, j) => {
    let total = 0;
    for (const [k, weight] of weights.entries()) {
      total += weight * realAt(itemAt(fit.covariance, k), j);
    }
    return total;
  });
  const whole = dotProduct(weights, fit.coefficients);
  const variance = dotProduct(weights, spread);
  return Array.from({ length: y.length }, (_, row) => {
    const leverage = realAt(fit.leverage, row);
    let reach = 0;
    for (const [j, column] of columns.entries()) reach += itemAt(spread, j) * itemAt(column, row);
    if (leverage >= leverageOfAll) {
      // The row has a coefficient of its own; the sum is as it was unless it includes that one.
      return reach ** 2 <= 1e-18 * variance
        ? estimated(whole, variance, fit.residualSum, fit.df, level)
        : null;
    }
    if (df < 1) return null;
    const residual = realAt(fit.residuals, row);
    const value = whole - (reach * residual) / (1 - leverage);
    const rest = Math.max(0, fit.residualSum - residual ** 2 / (1 - leverage));
    const se = Math.sqrt((rest / df) * (variance + reach ** 2 / (1 - leverage)));
    const half = quantile * se;
    const interval = { low: value - half, high: value + half, level, method: "t" };
    return { value, se, df, interval };
  });
}

function estimated(
  value: number,
  variance: number,
  residualSum: number,
  df: number,
  level: number,
): Estimate | null {
  if (df < 1) return null;
  const se = Math.sqrt((residualSum / df) * variance);
  const half = studentT(df).quantile((1 + level) / 2) * se;
  const interval = { low: value - half, high: value + half, level, method: "t" };
  return { value, se, df, interval };
}

function dotProduct(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += itemAt(a, i) * itemAt(b, i);
  return total;
}

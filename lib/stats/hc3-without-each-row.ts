import { itemAt, realAt } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { leastSquares } from "../num/linear.js";
import type { Estimate } from "./estimate.js";

/** Leverage from which a row alone holds up a coefficient, so that HC3 has no error for it. */
const leverageOfAll = 1 - 1e-9;

/**
 * A weighted sum of least-squares coefficients with HC3 standard errors, fitted again without each
 * row in turn. No fit is repeated; every residual and leverage is updated for every row left out, so
 * that the cost grows with the square of the rows (0.02 s for 1 000).
 *
 * With A = (XᵀX)⁻¹, c the weights, hᵢⱼ = xᵢᵀA xⱼ, residual e and leverage h; without row i:
 * eⱼ₍ᵢ₎ = eⱼ + hᵢⱼ eᵢ/(1 − hᵢ), hⱼ₍ᵢ₎ = hⱼ + hᵢⱼ²/(1 − hᵢ), cᵀA₍ᵢ₎xⱼ = cᵀA xⱼ + cᵀA xᵢ hᵢⱼ/(1 − hᵢ);
 * variance Σⱼ (cᵀA₍ᵢ₎xⱼ eⱼ₍ᵢ₎/(1 − hⱼ₍ᵢ₎))², t with n − 1 − p degrees of freedom.
 *
 * @param columns the columns of the model, one of ones for an intercept
 * @param y the outcome, any unit
 * @param weights one weight per coefficient
 * @returns the estimate without each row, in the unit of y; null where a row then has leverage 1, or
 *   no degree of freedom is left
 * @see Cook & Weisberg (1982) Residuals and Influence in Regression, section 2.2; Long & Ervin (2000)
 *   Am Stat 54:217–224
 */
export function hc3WithoutEachRow(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights: readonly number[],
  level: number,
): (Estimate | null)[] {
  const { covariance, coefficients, residuals, leverage, df: dfOfAll } = leastSquares(columns, y);
  const n = y.length;
  const df = dfOfAll - 1;
  if (df < 1) return Array.from({ length: n }, () => null);
  const quantile = studentT(df).quantile((1 + level) / 2);
  const spread = covariance.map((_, j) =>
    weights.reduce((sum, weight, k) => sum + weight * realAt(itemAt(covariance, k), j), 0),
  );
  const whole = weights.reduce((sum, weight, j) => sum + weight * realAt(coefficients, j), 0);
  const reach = Float64Array.from({ length: n }, (_, row) => productWith(columns, row, spread));
  return Array.from({ length: n }, (_, row) => {
    const left = 1 - realAt(leverage, row);
    if (left <= 1 - leverageOfAll) return null;
    const turned = covariance.map((column) => productWith(columns, row, column));
    const [pull, shift] = [realAt(residuals, row) / left, realAt(reach, row) / left];
    let variance = 0;
    for (let j = 0; j < n; j++) {
      if (j === row) continue;
      const shared = productWith(columns, j, turned);
      const rest = 1 - realAt(leverage, j) - shared ** 2 / left;
      if (rest <= 1 - leverageOfAll) return null;
      const term = (realAt(reach, j) + shift * shared) * (realAt(residuals, j) + pull * shared);
      variance += (term / rest) ** 2;
    }
    const value = whole - realAt(reach, row) * pull;
    const se = Math.sqrt(variance);
    const half = quantile * se;
    const interval = { low: value - half, high: value + half, level, method: "t" };
    return { value, se, df, interval };
  });
}

/** Row `row` of the model times a vector with one number per column. */
function productWith(
  columns: readonly ArrayLike<number>[],
  row: number,
  vector: ArrayLike<number>,
): number {
  let total = 0;
  for (let j = 0; j < columns.length; j++) {
    total += (columns[j]?.[row] ?? 0) * (vector[j] ?? 0);
  }
  return total;
}

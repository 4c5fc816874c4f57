import { itemAt, realAt } from "../../entry.js";
import { cholesky, type LeastSquares, leastSquares } from "../../num/linear.js";
import { findRoot } from "../../num/root.js";
import { mean, sum } from "../../num/sums.js";
import type { DesignColumns } from "../design-columns.js";
import type { Studies } from "./heterogeneity.js";

/** Studies with the columns that their effects are regressed on. */
export interface RegressedStudies extends Studies, DesignColumns {}

/** A weighted fit at one between-study variance. */
export interface WeightedFit {
  /** In the order of the columns. */
  readonly coefficients: Float64Array;
  /** (XᵀWX)⁻¹. */
  readonly covariance: readonly Float64Array[];
  /** Weight of each study, 1 / (variance + τ²). */
  readonly weights: Float64Array;
  /** y minus the fitted value. */
  readonly residuals: Float64Array;
  /** Diagonal of the weighted hat matrix. */
  readonly leverage: Float64Array;
  /** Σ w e². */
  readonly squares: number;
}

/** Weighted least squares with weights 1/(variance + τ²), by way of rows times √w. */
export function weightedFit(studies: RegressedStudies, tau2: number, where: string): WeightedFit {
  const { estimate, variance, design, names } = studies;
  const roots = variance.map((v) => 1 / Math.sqrt(v + tau2));
  const scaled = (column: Float64Array) => column.map((value, i) => value * realAt(roots, i));
  const fit: LeastSquares = leastSquares(design.map(scaled), scaled(estimate), names, where);
  return {
    coefficients: fit.coefficients,
    covariance: fit.covariance,
    weights: roots.map((root) => root * root),
    residuals: fit.residuals.map((e, i) => e / realAt(roots, i)),
    leverage: fit.leverage,
    squares: fit.residualSum,
  };
}

/** tr P = Σw − Σ w·leverage: what τ² adds to Q, per unit. */
export function traceOf({ weights, leverage }: WeightedFit): number {
  return sum(weights.map((w, i) => w * (1 - realAt(leverage, i))));
}

/** Moment estimate of the between-study variance around the regression, may be negative. */
export function regressionMomentTau2(studies: RegressedStudies, where: string): number {
  const fit = weightedFit(studies, 0, where);
  const df = studies.estimate.length - studies.names.length;
  return (fit.squares - df) / traceOf(fit);
}

function score(studies: RegressedStudies, tau2: number, where: string): number {
  const fit = weightedFit(studies, tau2, where);
  const squares = sum(fit.weights.map((w, i) => (w * realAt(fit.residuals, i)) ** 2));
  return (squares - traceOf(fit)) / 2;
}

function likelihood(studies: RegressedStudies, tau2: number, where: string): number {
  const fit = weightedFit(studies, tau2, where);
  return (sum(fit.weights.map(Math.log)) + logDeterminant(fit.covariance) - fit.squares) / 2;
}

/** ln of the determinant of a covariance matrix, by way of its correlations. */
function logDeterminant(matrix: readonly Float64Array[]): number {
  const p = matrix.length;
  const sds = matrix.map((row, j) => Math.sqrt(realAt(row, j)));
  const correlations = matrix.flatMap((row, j) =>
    Array.from(row, (value, k) => value / (itemAt(sds, j) * itemAt(sds, k))),
  );
  const factor = cholesky(correlations, p);
  if (!factor) return Number.NEGATIVE_INFINITY;
  return 2 * sum(sds.map((sd, j) => Math.log(sd) + Math.log(realAt(factor, j * p + j))));
}

/**
 * Restricted maximum likelihood estimate of the between-study variance around the regression, 0 or
 * more; the search is that of `restrictedTau2`.
 * @see Viechtbauer (2005) J Educ Behav Stat 30:261–293
 */
export function regressionTau2(studies: RegressedStudies, where: string): number {
  const centre = mean(studies.estimate);
  const spread = sum(studies.estimate.map((y) => (y - centre) ** 2));
  let best = 0;
  let most = likelihood(studies, 0, where);
  let low = 0;
  let atLow = score(studies, 0, where);
  for (let decade = -12; decade <= 1 && spread > 0; decade += 0.25) {
    const high = spread * 10 ** decade;
    const atHigh = score(studies, high, where);
    if (atLow > 0 && atHigh <= 0) {
      const root = findRoot((tau2) => score(studies, tau2, where), low, high);
      const found = likelihood(studies, root, where);
      if (found > most) [best, most] = [root, found];
    }
    [low, atLow] = [high, atHigh];
  }
  return best;
}

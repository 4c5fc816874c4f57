import { itemAt, realAt } from "../../entry.js";
import { descend } from "../../num/descent.js";
import { multiply, quadratic } from "../../num/matrix.js";
import type { MixedCriterion, MixedSolution, RelativeFactor } from "./criterion.js";
import type { MixedReduction } from "./reduction.js";

/**
 * Variance parameters in the units of the caller's columns: the lower triangle of L, where the
 * random effects have the covariance σ²LLᵀ, and log σ in units of the scaled outcome.
 */
export interface VariancePoint {
  /** First diagonal entry of L: of the intercepts. */
  readonly l11: number;
  /** Entry of L below the diagonal: what slopes share with intercepts. */
  readonly l21: number;
  /** Second diagonal entry of L: of the slopes. */
  readonly l22: number;
  /** ln σ, in units of the scaled outcome. */
  readonly logSd: number;
}

/** A path through the variance parameters: free coordinates, and how a gradient comes back to them. */
export interface VariancePath {
  /** The variance parameters at some free coordinates. */
  readonly at: (free: Float64Array) => VariancePoint;
  /** A gradient in the variance parameters as one in the free coordinates. */
  readonly pulled: (free: Float64Array, gradient: VariancePoint) => readonly number[];
}

/** A fixed effect held at a value: weights on the coefficients of Q, and their sum. */
export interface HeldEffect {
  /** Weight of each coefficient of Q. */
  readonly weights: Float64Array;
  /** What the weighted sum is held at. */
  readonly sum: number;
}

/** A smallest criterion and where it is. */
export interface ProfilePoint {
  /** The criterion there: −2 log-likelihood. */
  readonly value: number;
  /** Free coordinates at which it is smallest. */
  readonly free: Float64Array;
}

/**
 * The least −2 log-likelihood (ML) along a path of variance parameters, fixed effects being at their
 * best, or one of them held.
 */
export function leastAlong(
  criterion: MixedCriterion,
  reduction: MixedReduction,
  path: VariancePath,
  start: Float64Array,
  held?: HeldEffect,
): ProfilePoint {
  const end = descend((free, gradient) => {
    const point = path.at(free);
    const { value, slope } = criterionAt(criterion, reduction, point, held);
    gradient.set(path.pulled(free, slope));
    return value;
  }, start);
  return { value: end.value, free: end.x };
}

/** The criterion at given variances, and its gradient. */
export function criterionAt(
  criterion: MixedCriterion,
  reduction: MixedReduction,
  point: VariancePoint,
  held?: HeldEffect,
): { value: number; slope: VariancePoint } {
  const { design } = reduction;
  const scaled = scaledFactor(design, point);
  const theta = lowerTriangle(scaled);
  const solution = criterion.solve(theta);
  const n = design.rows;
  const sigma2 = Math.exp(2 * point.logSd);
  const { residualSs, ofResidual } = held ? heldAt(reduction, solution, held) : solution;
  const logDeterminant =
    solution.value - n * (1 + Math.log((2 * Math.PI * solution.residualSs) / n));
  const value = logDeterminant + n * Math.log(2 * Math.PI * sigma2) + residualSs / sigma2;
  const [d11, d12, d22] = solution.ofDeterminants;
  const g = Float64Array.of(
    d11 - ofResidual[0] / sigma2,
    d12 - ofResidual[1] / sigma2,
    d12 - ofResidual[1] / sigma2,
    d22 - ofResidual[2] / sigma2,
  );
  const turned = multiply(g, scaled, [2, 2, 2]);
  const [z0, z1] = design.zScale;
  // d/dL = 2 Aᵀ G A L, with A = [z₀ z₀·centre; 0 z₁].
  const back = (row: number, column: number) =>
    row === 0
      ? 2 * z0 * realAt(turned, column)
      : 2 * (z0 * design.centre * realAt(turned, column) + z1 * realAt(turned, 2 + column));
  const slope = {
    l11: back(0, 0),
    l21: back(1, 0),
    l22: back(1, 1),
    logSd: 2 * n - (2 * residualSs) / sigma2,
  };
  return { value: Number.isNaN(value) ? Number.POSITIVE_INFINITY : value, slope };
}

/** A·L: a factor, not yet triangular, of the covariance in the scaled units of the criterion. */
function scaledFactor(
  { zScale: [z0, z1], centre }: MixedReduction["design"],
  { l11, l21, l22 }: VariancePoint,
): Float64Array {
  return Float64Array.of(z0 * (l11 + centre * l21), z0 * centre * l22, z1 * l21, z1 * l22);
}

/** The lower triangular factor of M Mᵀ. */
function lowerTriangle(m: Float64Array): RelativeFactor {
  const [a, b, c, d] = [realAt(m, 0), realAt(m, 1), realAt(m, 2), realAt(m, 3)];
  const first = Math.hypot(a, b);
  if (first === 0) return Float64Array.of(0, 0, Math.hypot(c, d));
  return Float64Array.of(first, (a * c + b * d) / first, Math.abs(a * d - b * c) / first);
}

/** Residual sum of squares and its derivative when one fixed effect is held. */
function heldAt(
  { design }: MixedReduction,
  { gamma, covariance, residualSs, scores, links }: MixedSolution,
  { weights, sum }: HeldEffect,
): Pick<MixedSolution, "residualSs" | "ofResidual"> {
  const p = gamma.length;
  const gap = sum - gamma.reduce((total, g, j) => total + g * realAt(weights, j), 0);
  const variance = quadratic(covariance, weights);
  const shift = multiply(covariance, weights, [p, p, 1]).map((value) => (value * gap) / variance);
  const ofResidual: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < design.subjects.length; i++) {
    let first = realAt(scores, 2 * i);
    let second = realAt(scores, 2 * i + 1);
    for (let j = 0; j < p; j++) {
      first -= realAt(links, 2 * i * p + j) * realAt(shift, j);
      second -= realAt(links, (2 * i + 1) * p + j) * realAt(shift, j);
    }
    ofResidual[0] += first * first;
    ofResidual[1] += first * second;
    ofResidual[2] += second * second;
  }
  return { residualSs: residualSs + gap ** 2 / variance, ofResidual };
}

/** The variance parameters of a solution of the criterion. */
export function pointOf(
  { design }: MixedReduction,
  theta: RelativeFactor,
  sigma2: number,
): VariancePoint {
  const [z0, z1] = design.zScale;
  const [a, b, c] = [itemAt(theta, 0), itemAt(theta, 1), itemAt(theta, 2)];
  const row2 = [b / z1, c / z1] as const;
  const row1 = [a / z0 - design.centre * row2[0], -design.centre * row2[1]] as const;
  const l11 = Math.hypot(...row1);
  const logSd = Math.log(sigma2) / 2;
  if (l11 === 0) return { l11, l21: 0, l22: Math.hypot(...row2), logSd };
  return {
    l11,
    l21: (row1[0] * row2[0] + row1[1] * row2[1]) / l11,
    l22: Math.abs(row1[0] * row2[1] - row1[1] * row2[0]) / l11,
    logSd,
  };
}

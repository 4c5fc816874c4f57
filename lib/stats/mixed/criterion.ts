import { realAt } from "../../entry.js";
import { cholesky, invertCholesky, solveCholesky } from "../../num/linear.js";
import type { MixedReduction } from "./reduction.js";

/** θ₁, θ₂, θ₃: the relative factor Λ = [θ₁ 0; θ₂ θ₃] of the random effects' covariance σ²ΛΛᵀ. */
export type RelativeFactor = Float64Array;

/** A symmetric 2 × 2 matrix: entries 11, 12, 22. */
export type Symmetric2 = readonly [number, number, number];

/** Everything known at one θ, the fixed effects and σ² being at their best for it. */
export interface MixedSolution {
  /** −2 log-likelihood of the scaled problem (r on Q). */
  readonly value: number;
  /** Coefficients of Q. */
  readonly gamma: Float64Array;
  /** (QᵀV⁻¹Q)⁻¹, p × p: times σ², the covariance of γ. */
  readonly covariance: Float64Array;
  /** (r − Qγ)ᵀV⁻¹(r − Qγ), the weighted sum of squares of what is left. */
  readonly residualSs: number;
  /** Times that `residualSs` is smaller than what γ was subtracted from: digits lost. */
  readonly cancelled: number;
  /** Residual variance of the scaled problem, residualSs / error degrees of freedom. */
  readonly sigma2: number;
  /** Zᵢᵀ Vᵢ⁻¹ (r − Qγ), two numbers a subject. */
  readonly scores: Float64Array;
  /** Zᵢᵀ Vᵢ⁻¹ Q, 2 × p a subject. */
  readonly links: Float64Array;
  /** Derivative in the covariance ΛΛᵀ of the log-determinants, and minus that of `residualSs`. */
  readonly ofDeterminants: Symmetric2;
  /** Minus the derivative of `residualSs` in the covariance ΛΛᵀ. */
  readonly ofResidual: Symmetric2;
}

/**
 * The profiled criterion of a mixed model as a function of θ.
 *
 * V = I + ZΛΛᵀZᵀ (variance in units of σ²) acts within each subject only on the two dimensions
 * that its random effects span, as S = I + TTᵀ with T = RᵢΛ. So
 *   −2 log L = Σ log|Sᵢ| + ν(1 + log(2π rss/ν)), plus log|QᵀV⁻¹Q| for REML,
 * with ν = n for ML and n − p for REML, and everything in V⁻¹ is a sum of squares: no digits are
 * lost to subtraction however large θ is. Cost: O(subjects · p²), whatever the number of rows.
 *
 * @see Bates, Mächler, Bolker, Walker (2015) J Stat Softw 67(1), sect. 3.4
 */
export interface MixedCriterion {
  /** Error degrees of freedom: n for ML, n − p for REML. */
  readonly errorDf: number;
  /** −2 log-likelihood at θ. */
  value(theta: RelativeFactor): number;
  /** All that is known at θ. */
  solve(theta: RelativeFactor): MixedSolution;
}

export function mixedCriterion(reduction: MixedReduction, reml: boolean): MixedCriterion {
  const p = reduction.design.names.length;
  const errorDf = reduction.design.rows - (reml ? p : 0);
  const cross = new Float64Array((p + 1) * (p + 1));
  const parts = new Float64Array(4 * (p + 1));

  const profile = (theta: RelativeFactor) => {
    const logDeterminant = crossProducts(reduction, theta, cross, parts);
    const { factor, gamma, residualSs } = generalisedLeastSquares(cross, p);
    const cancelled = realAt(cross, p * (p + 2)) / residualSs;
    let value = logDeterminant + errorDf * (1 + Math.log((2 * Math.PI * residualSs) / errorDf));
    if (reml) for (let j = 0; j < p; j++) value += 2 * Math.log(realAt(factor, j * p + j));
    if (Number.isNaN(value)) value = Number.POSITIVE_INFINITY;
    return { value, factor, gamma, residualSs, cancelled };
  };

  const solve = (theta: RelativeFactor): MixedSolution => {
    const { value, factor, gamma, residualSs, cancelled } = profile(theta);
    const covariance = invertCholesky(factor, p);
    const sums = subjectSums(reduction, theta, gamma, reml ? covariance : undefined);
    const { scores, links, ofDeterminants, ofResidual } = sums;
    const sigma2 = residualSs / errorDf;
    const best = { value, gamma, covariance, residualSs, cancelled, sigma2 };
    return { ...best, scores, links, ofDeterminants, ofResidual };
  };
  return { errorDf, value: (theta) => profile(theta).value, solve };
}

/** Gradient in θ of a function whose derivative in the covariance ΛΛᵀ is G: 2GΛ, lower part. */
export function chainToTheta(g: Symmetric2, theta: RelativeFactor): [number, number, number] {
  const a = realAt(theta, 0);
  const b = realAt(theta, 1);
  return [2 * (g[0] * a + g[1] * b), 2 * (g[1] * a + g[2] * b), 2 * g[2] * realAt(theta, 2)];
}

/** Derivative of −2 log-likelihood in the covariance ΛΛᵀ, the residual variance being `sigma2`. */
export function covarianceSlope(solution: MixedSolution, sigma2: number): Symmetric2 {
  const { ofDeterminants: d, ofResidual: r } = solution;
  return [d[0] - r[0] / sigma2, d[1] - r[1] / sigma2, d[2] - r[2] / sigma2];
}

/** Puts the lower triangle of [Q r]ᵀ V⁻¹ [Q r] into `cross` and returns log|V|. */
function crossProducts(
  { u, within, design }: MixedReduction,
  theta: RelativeFactor,
  cross: Float64Array,
  parts: Float64Array,
): number {
  const width = design.names.length + 1;
  const t = new Float64Array(5);
  cross.set(within);
  let logDeterminant = 0;
  for (let i = 0; i < design.subjects.length; i++) {
    rootTimesFactor(design.roots, 3 * i, theta, t);
    const determinant = realAt(t, 4);
    logDeterminant += Math.log(determinant);
    const at = 2 * i * width;
    for (let j = 0; j < width; j++) {
      const first = realAt(u, at + j);
      const second = realAt(u, at + width + j);
      const third = realAt(t, 2) * first - realAt(t, 0) * second;
      const fourth = realAt(t, 3) * first - realAt(t, 1) * second;
      const base = 4 * j;
      parts[base] = first;
      parts[base + 1] = second;
      parts[base + 2] = third;
      parts[base + 3] = fourth;
      for (let k = 0; k <= j; k++) {
        const other = 4 * k;
        const reached = first * realAt(parts, other) + second * realAt(parts, other + 1);
        const crossed = third * realAt(parts, other + 2) + fourth * realAt(parts, other + 3);
        cross[j * width + k] = realAt(cross, j * width + k) + (reached + crossed) / determinant;
      }
    }
  }
  return logDeterminant;
}

/** T = RᵢΛ row by row into t[0…3], and |I + TTᵀ| = 1 + ‖T‖² + |T|² into t[4]. */
function rootTimesFactor(
  roots: Float64Array,
  at: number,
  theta: RelativeFactor,
  t: Float64Array,
): void {
  const r11 = realAt(roots, at);
  const r12 = realAt(roots, at + 1);
  const r22 = realAt(roots, at + 2);
  const t11 = r11 * realAt(theta, 0) + r12 * realAt(theta, 1);
  const t12 = r12 * realAt(theta, 2);
  const t21 = r22 * realAt(theta, 1);
  const t22 = r22 * realAt(theta, 2);
  const area = r11 * realAt(theta, 0) * t22;
  t[0] = t11;
  t[1] = t12;
  t[2] = t21;
  t[3] = t22;
  t[4] = 1 + t11 * t11 + t12 * t12 + t21 * t21 + t22 * t22 + area * area;
}

/** Fixed effects and residual sum of squares from the cross-products; r stands last. */
function generalisedLeastSquares(cross: Float64Array, p: number) {
  const width = p + 1;
  const fixed = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k <= j; k++) fixed[j * p + k] = realAt(cross, j * width + k);
  }
  const right = cross.subarray(p * width, p * width + p);
  const factor = cholesky(fixed, p) ?? fixed.fill(Number.NaN);
  const gamma = solveCholesky(factor, right);
  let residualSs = realAt(cross, p * width + p);
  for (let j = 0; j < p; j++) residualSs -= realAt(gamma, j) * realAt(right, j);
  return { factor, gamma, residualSs };
}

/** Second sweep over the subjects: scores, links, and the derivatives in ΛΛᵀ. */
function subjectSums(
  { u, design }: MixedReduction,
  theta: RelativeFactor,
  gamma: Float64Array,
  remlCovariance: Float64Array | undefined,
) {
  const { roots } = design;
  const p = design.names.length;
  const count = design.subjects.length;
  const scores = new Float64Array(2 * count);
  const links = new Float64Array(2 * count * p);
  const ofDeterminants: [number, number, number] = [0, 0, 0];
  const ofResidual: [number, number, number] = [0, 0, 0];
  const t = new Float64Array(5);
  const m = new Float64Array(4);
  for (let i = 0; i < count; i++) {
    rootTimesFactor(roots, 3 * i, theta, t);
    reachThroughV(roots, 3 * i, t, m);
    const at = 2 * i * (p + 1);
    let first = realAt(u, at + p);
    let second = realAt(u, at + 2 * p + 1);
    for (let j = 0; j < p; j++) {
      const one = realAt(u, at + j);
      const two = realAt(u, at + p + 1 + j);
      first -= realAt(gamma, j) * one;
      second -= realAt(gamma, j) * two;
      links[2 * i * p + j] = realAt(m, 0) * one + realAt(m, 1) * two;
      links[(2 * i + 1) * p + j] = realAt(m, 2) * one + realAt(m, 3) * two;
    }
    const score1 = realAt(m, 0) * first + realAt(m, 1) * second;
    const score2 = realAt(m, 2) * first + realAt(m, 3) * second;
    scores[2 * i] = score1;
    scores[2 * i + 1] = score2;
    ofResidual[0] += score1 * score1;
    ofResidual[1] += score1 * score2;
    ofResidual[2] += score2 * score2;
    // ZᵢᵀVᵢ⁻¹Zᵢ = M·Rᵢ
    ofDeterminants[0] += realAt(m, 0) * realAt(roots, 3 * i);
    ofDeterminants[1] += realAt(m, 2) * realAt(roots, 3 * i);
    ofDeterminants[2] +=
      realAt(m, 2) * realAt(roots, 3 * i + 1) + realAt(m, 3) * realAt(roots, 3 * i + 2);
    if (remlCovariance) subtractQuadratic(links, 2 * i * p, remlCovariance, p, ofDeterminants);
  }
  return { scores, links, ofDeterminants, ofResidual };
}

/** M = RᵢᵀS⁻¹, row by row: it takes a column's reachable part to ZᵢᵀVᵢ⁻¹ of the column. */
function reachThroughV(roots: Float64Array, at: number, t: Float64Array, m: Float64Array): void {
  const t11 = realAt(t, 0);
  const t12 = realAt(t, 1);
  const t21 = realAt(t, 2);
  const t22 = realAt(t, 3);
  const determinant = realAt(t, 4);
  const s11 = (1 + t11 * t11 + t12 * t12) / determinant;
  const s12 = (t11 * t21 + t12 * t22) / determinant;
  const s22 = (1 + t21 * t21 + t22 * t22) / determinant;
  const r11 = realAt(roots, at);
  const r12 = realAt(roots, at + 1);
  const r22 = realAt(roots, at + 2);
  m[0] = r11 * s22;
  m[1] = -r11 * s12;
  m[2] = r12 * s22 - r22 * s12;
  m[3] = r22 * s11 - r12 * s12;
}

/** Subtracts H C Hᵀ, H being the 2 × p links of one subject. */
function subtractQuadratic(
  links: Float64Array,
  at: number,
  covariance: Float64Array,
  p: number,
  sum: [number, number, number],
): void {
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      const c = realAt(covariance, j * p + k);
      sum[0] -= realAt(links, at + j) * c * realAt(links, at + k);
      sum[1] -= realAt(links, at + j) * c * realAt(links, at + p + k);
      sum[2] -= realAt(links, at + p + j) * c * realAt(links, at + p + k);
    }
  }
}

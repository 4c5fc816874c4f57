import { itemAt, realAt } from "../../entry.js";
import { cholesky, invertCholesky, solveCholesky } from "../../num/linear.js";
import { multiply } from "../../num/matrix.js";
import { addWeighted, contracted, type VisitProblem } from "./visit-groups.js";

/** What is known at one Σ, the fixed effects being at their best for it. */
export interface VisitSolution {
  /** −2 log-likelihood of the scaled problem: r on Q. */
  readonly value: number;
  /** Coefficients of Q. */
  readonly gamma: Float64Array;
  /** (QᵀV⁻¹Q)⁻¹, p × p. */
  readonly covariance: Float64Array;
  /** dF = Σ gradientⱼₖ dΣⱼₖ, T × T. */
  readonly gradient: Float64Array;
  /** V⁻¹ of each group of subjects. */
  readonly inverses: readonly Float64Array[];
}

/**
 * −2 log-likelihood (REML or ML) of errors with covariance Σ, each subject having the rows and
 * columns of the visits he or she was seen at, and its gradient in Σ:
 *   Σᵢ log|Vᵢ| + log|QᵀV⁻¹Q| + Σᵢ eᵢᵀVᵢ⁻¹eᵢ + ν log 2π,   e = r − Qγ, ν = n − p for REML
 * (for ML without the second term, ν = n).
 *
 * @returns nothing when some Vᵢ is not positive definite
 */
export function visitSolution(
  problem: VisitProblem,
  sigma: Float64Array,
): VisitSolution | undefined {
  const { p, rows, visits, reml, groups, varying } = problem;
  const width = p + 1;
  const cross = new Float64Array(width * width);
  const inverses: Float64Array[] = [];
  let value = (reml ? rows - p : rows) * Math.log(2 * Math.PI);
  for (const group of groups) {
    const size = group.visits.length;
    const factor = seenFactor(sigma, visits, group.visits);
    if (!factor) return undefined;
    value += group.count * logDeterminant(factor, size);
    const inverse = invertCholesky(factor, size);
    inverses.push(inverse);
    addWeighted(group, inverse, varying, cross);
  }
  const factor = cholesky(leading(cross, p), p);
  if (!factor) return undefined;
  const covariance = invertCholesky(factor, p);
  const gamma = solveCholesky(
    factor,
    Float64Array.from({ length: p }, (_, j) => realAt(cross, j * width + p)),
  );
  if (reml) value += logDeterminant(factor, p);
  const errorWeights = outerOf(gamma);
  const fixedWeights = padded(covariance, p);
  const gradient = new Float64Array(visits * visits);
  groups.forEach((group, i) => {
    const inverse = itemAt(inverses, i);
    const size = group.visits.length;
    const square = [size, size, size] as const;
    const middle = contracted(group, errorWeights, varying);
    for (let at = 0; at < middle.length; at++) value += realAt(inverse, at) * realAt(middle, at);
    if (reml) {
      const fixed = contracted(group, fixedWeights, varying);
      for (let at = 0; at < middle.length; at++)
        middle[at] = realAt(middle, at) + realAt(fixed, at);
    }
    const turned = multiply(multiply(inverse, middle, square), inverse, square);
    group.visits.forEach((j, a) => {
      group.visits.forEach((k, b) => {
        const at = a * size + b;
        gradient[j * visits + k] =
          realAt(gradient, j * visits + k) + group.count * realAt(inverse, at) - realAt(turned, at);
      });
    });
  });
  return { value, gamma, covariance, gradient, inverses };
}

/** Cholesky factor of the rows and columns of Σ that a group has. */
export function seenFactor(
  sigma: Float64Array,
  visits: number,
  seen: readonly number[],
): Float64Array | undefined {
  return cholesky(partOf(sigma, visits, seen), seen.length);
}

/** The rows and columns of a T × T matrix that a group has. */
export function partOf(whole: Float64Array, visits: number, seen: readonly number[]): Float64Array {
  const part = new Float64Array(seen.length * seen.length);
  seen.forEach((j, a) => {
    seen.forEach((k, b) => {
      part[a * seen.length + b] = realAt(whole, j * visits + k);
    });
  });
  return part;
}

/** The first p rows and columns of a matrix of p + 1. */
export function leading(matrix: Float64Array, p: number): Float64Array {
  const part = new Float64Array(p * p);
  for (let j = 0; j < p; j++) part.set(matrix.subarray(j * (p + 1), j * (p + 1) + p), j * p);
  return part;
}

/** A p × p matrix with a row and a column of zeros behind. */
export function padded(matrix: Float64Array, p: number): Float64Array {
  const whole = new Float64Array((p + 1) * (p + 1));
  for (let j = 0; j < p; j++) whole.set(matrix.subarray(j * p, (j + 1) * p), j * (p + 1));
  return whole;
}

/** ddᵀ with d = (−γ, 1): zᵀddᵀz is the squared error of a row z of [Q r]. */
export function outerOf(gamma: Float64Array): Float64Array {
  const d = Float64Array.of(...gamma.map((value) => -value), 1);
  return multiply(d, d, [d.length, 1, d.length]);
}

function logDeterminant(factor: Float64Array, size: number): number {
  let sum = 0;
  for (let j = 0; j < size; j++) sum += 2 * Math.log(realAt(factor, j * size + j));
  return sum;
}

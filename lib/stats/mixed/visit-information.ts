import { itemAt, realAt } from "../../entry.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import { addMultiple, multiply, sandwich, traceOfProduct } from "../../num/matrix.js";
import type { CovarianceStructure } from "./visit-covariance.js";
import { addWeighted, contracted, type VisitProblem } from "./visit-groups.js";
import { leading, outerOf, padded, partOf, type VisitSolution } from "./visit-likelihood.js";

/** Second derivatives of the likelihood in the parameters φ of Σ, and what they are made of. */
export interface VisitInformation {
  /** Gradient and Hessian of −2 log-likelihood in φ, k and k × k. */
  readonly gradient: Float64Array;
  /** Second derivatives of −2 log-likelihood in φ, row by row. */
  readonly hessian: Float64Array;
  /** Expected information of φ, REML: ½[tr(V⁻¹VₐV⁻¹Vᵦ) − 2tr(ΦQₐᵦ) + tr(ΦPₐΦPᵦ)]. */
  readonly expected: Float64Array;
  /** Pₐ = QᵀV⁻¹VₐV⁻¹Q, p × p each. */
  readonly first: readonly Float64Array[];
}

/**
 * The information of φ at the fit, by exact second derivatives. With P = V⁻¹ − V⁻¹QΦQᵀV⁻¹, the
 * Hessian is 2 eᵀV⁻¹VₐPVᵦV⁻¹e − tr(PVₐPVᵦ) + Σ gradient·d²Σ/dφₐdφᵦ (ML: V⁻¹ for P in the trace).
 *
 * @see Jennrich, Schluchter (1986) Biometrics 42:805–820; Kenward, Roger (1997) Biometrics
 *   53:983–997
 */
export function visitInformation(
  problem: VisitProblem,
  structure: CovarianceStructure,
  sigma: Float64Array,
  solution: VisitSolution,
): VisitInformation {
  const { p, reml } = problem;
  const phi = structure.phiOf(sigma);
  const k = structure.size;
  const { traces, ofFixed, ofErrors } = secondSums(problem, structure, phi, solution);
  const whole = structure.first(phi).map((slope) => weightedBySlope(problem, solution, slope));
  const first = whole.map((one) => leading(one, p));
  const links = whole.map((one) => linkTo(one, solution.gamma));
  const turned = first.map((one) => multiply(solution.covariance, one, [p, p, p]));
  const hessian = new Float64Array(k * k);
  const expected = new Float64Array(k * k);
  for (let a = 0; a < k; a++) {
    for (let b = 0; b < k; b++) {
      const at = a * k + b;
      const inFixed =
        traceOfProduct(itemAt(turned, a), itemAt(turned, b), p) - 2 * realAt(ofFixed, at);
      const trace = realAt(traces, at) + (reml ? inFixed : 0);
      const linked = bilinear(solution.covariance, itemAt(links, a), itemAt(links, b));
      const bent = structure.second(phi, a, b);
      expected[at] = trace / 2;
      hessian[at] =
        2 * (realAt(ofErrors, at) - linked) - trace + (bent ? inner(solution.gradient, bent) : 0);
    }
  }
  const gradient = Float64Array.from(structure.first(phi), (slope) =>
    inner(solution.gradient, slope),
  );
  return { gradient, hessian, expected, first };
}

/**
 * Kenward and Roger's enlarged covariance of the coefficients of Q,
 *   Φ_A = Φ + 2Φ ΣₐΣᵦ Wₐᵦ(Qₐᵦ − PₐΦPᵦ − ¼Rₐᵦ) Φ,   Qₐᵦ = QᵀV⁻¹VₐV⁻¹VᵦV⁻¹Q,
 * W being the inverse of the expected information and Rₐᵦ = QᵀV⁻¹(d²V/dφₐdφᵦ)V⁻¹Q, which is 0
 * where Σ is linear in φ.
 *
 * @returns nothing when the expected information is not positive definite
 * @see Kenward, Roger (1997) Biometrics 53:983–997
 */
export function enlargedCovariance(
  problem: VisitProblem,
  structure: CovarianceStructure,
  sigma: Float64Array,
  { covariance, inverses }: VisitSolution,
  { expected, first }: VisitInformation,
): { covariance: Float64Array; parameters: Float64Array } | undefined {
  const { p, visits, varying, groups } = problem;
  const k = structure.size;
  const factor = cholesky(expected, k);
  if (!factor) return undefined;
  const parameters = invertCholesky(factor, k);
  const phi = structure.phiOf(sigma);
  const slopes = structure.first(phi);
  const bent = bentSum(structure, phi, parameters);
  const sum = new Float64Array((p + 1) * (p + 1));
  groups.forEach((group, i) => {
    const inverse = itemAt(inverses, i);
    const parts = slopes.map((slope) => partOf(slope, visits, group.visits));
    const middle = weightedProducts(parts, inverse, parameters);
    if (bent) addMultiple(middle, partOf(bent, visits, group.visits), -1 / 4);
    addWeighted(group, between(inverse, middle), varying, sum);
  });
  const middle = leading(sum, p);
  const square = [p, p, p] as const;
  const turned = first.map((one) => multiply(covariance, one, square));
  first.forEach((one, a) => {
    const mixed = new Float64Array(p * p);
    turned.forEach((other, b) => {
      addMultiple(mixed, other, realAt(parameters, a * k + b));
    });
    addMultiple(middle, multiply(one, mixed, square), -1);
  });
  const enlarged = covariance.slice();
  addMultiple(enlarged, sandwich(covariance, middle, p, p), 2);
  return { covariance: enlarged, parameters };
}

/** tr(V⁻¹VₐV⁻¹Vᵦ), tr(ΦQₐᵦ) and eᵀV⁻¹VₐV⁻¹VᵦV⁻¹e, k × k each. */
function secondSums(
  { p, visits, varying, groups }: VisitProblem,
  structure: CovarianceStructure,
  phi: Float64Array,
  { gamma, covariance, inverses }: VisitSolution,
) {
  const k = structure.size;
  const slopes = structure.first(phi);
  const traces = new Float64Array(k * k);
  const ofFixed = new Float64Array(k * k);
  const ofErrors = new Float64Array(k * k);
  const errorWeights = outerOf(gamma);
  const fixedWeights = padded(covariance, p);
  groups.forEach((group, i) => {
    const size = group.visits.length;
    const inverse = itemAt(inverses, i);
    const turned = slopes.map((slope) =>
      multiply(inverse, partOf(slope, visits, group.visits), [size, size, size]),
    );
    // tr(M V⁻¹VₐV⁻¹VᵦV⁻¹) for the products M of the errors and of the fixed effects
    const errors = multiply(inverse, contracted(group, errorWeights, varying), [size, size, size]);
    const fixed = multiply(inverse, contracted(group, fixedWeights, varying), [size, size, size]);
    turned.forEach((one, a) => {
      turned.forEach((other, b) => {
        const product = multiply(one, other, [size, size, size]);
        const at = a * k + b;
        let trace = 0;
        for (let j = 0; j < size; j++) trace += realAt(product, j * size + j);
        traces[at] = realAt(traces, at) + group.count * trace;
        ofErrors[at] = realAt(ofErrors, at) + traceOfProduct(product, errors, size);
        ofFixed[at] = realAt(ofFixed, at) + traceOfProduct(product, fixed, size);
      });
    });
  });
  return { traces, ofFixed, ofErrors };
}

/** [Q r]ᵀV⁻¹VₐV⁻¹[Q r], Vₐ being the slope of Σ in one parameter. */
function weightedBySlope(
  { p, visits, varying, groups }: VisitProblem,
  { inverses }: VisitSolution,
  slope: Float64Array,
): Float64Array {
  const sum = new Float64Array((p + 1) * (p + 1));
  groups.forEach((group, i) => {
    const inverse = itemAt(inverses, i);
    addWeighted(group, between(inverse, partOf(slope, visits, group.visits)), varying, sum);
  });
  return sum;
}

/** QᵀV⁻¹VₐV⁻¹e from [Q r]ᵀV⁻¹VₐV⁻¹[Q r]. */
function linkTo(whole: Float64Array, gamma: Float64Array): Float64Array {
  const p = gamma.length;
  return Float64Array.from({ length: p }, (_, j) => {
    let sum = realAt(whole, j * (p + 1) + p);
    for (let c = 0; c < p; c++) sum -= realAt(whole, j * (p + 1) + c) * realAt(gamma, c);
    return sum;
  });
}

/** V⁻¹ M V⁻¹. */
function between(inverse: Float64Array, m: Float64Array): Float64Array {
  const size = Math.sqrt(m.length);
  const square = [size, size, size] as const;
  return multiply(multiply(inverse, m, square), inverse, square);
}

/** Σₐᵦ Wₐᵦ VₐV⁻¹Vᵦ of one group. */
function weightedProducts(
  parts: readonly Float64Array[],
  inverse: Float64Array,
  weights: Float64Array,
): Float64Array {
  const size = Math.sqrt(inverse.length);
  const square = [size, size, size] as const;
  const sum = new Float64Array(size * size);
  parts.forEach((part, a) => {
    const mixed = new Float64Array(size * size);
    parts.forEach((other, b) => {
      addMultiple(mixed, other, realAt(weights, a * parts.length + b));
    });
    addMultiple(sum, multiply(part, multiply(inverse, mixed, square), square), 1);
  });
  return sum;
}

/** Σₐᵦ Wₐᵦ d²Σ/dφₐdφᵦ. */
function bentSum(structure: CovarianceStructure, phi: Float64Array, weights: Float64Array) {
  let sum: Float64Array | undefined;
  for (let a = 0; a < structure.size; a++) {
    for (let b = 0; b < structure.size; b++) {
      const bent = structure.second(phi, a, b);
      if (!bent) continue;
      sum ??= new Float64Array(bent.length);
      addMultiple(sum, bent, realAt(weights, a * structure.size + b));
    }
  }
  return sum;
}

function bilinear(matrix: Float64Array, a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) {
    for (let j = 0; j < b.length; j++)
      sum += realAt(a, i) * realAt(matrix, i * b.length + j) * realAt(b, j);
  }
  return sum;
}

/** Sum of products of two matrices, entry by entry. */
function inner(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let at = 0; at < a.length; at++) sum += realAt(a, at) * realAt(b, at);
  return sum;
}

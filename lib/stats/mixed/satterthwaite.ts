import { itemAt, realAt } from "../../entry.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import { multiply, sandwich } from "../../num/matrix.js";
import {
  chainToTheta,
  covarianceSlope,
  type MixedCriterion,
  type RelativeFactor,
} from "./criterion.js";
import type { MixedReduction } from "./reduction.js";
import { type FreeEntries, jacobian } from "./search.js";

/** VarianceUncertainty in typed arrays. */
export interface FlatUncertainty {
  /** Derivatives of the covariance of the fixed effects, one matrix per variance parameter. */
  readonly slopes: readonly Float64Array[];
  /** Covariance of the variance parameters, row by row. */
  readonly parameters: Float64Array;
}

/**
 * What Satterthwaite degrees of freedom need: the derivatives of the covariance of the fixed
 * effects, in the caller's units, in the variance parameters φ = (θ, log σ²), and the covariance
 * A = 2H⁻¹ of φ, H being the Hessian of −2 log-likelihood (REML or ML) at the estimate. Entries of
 * θ on the boundary drop out: nothing has a slope in them.
 *
 * @param covariance of the fixed effects, in the caller's units
 * @returns nothing when H is not positive definite, so that the variances of the variance estimates
 *   are unknown
 * @see Giesbrecht, Burns (1985) Biometrics 41:477–486; Fai, Cornelius (1996) J Stat Comput Simul
 *   54:363–378
 */
export function varianceUncertainty(
  reduction: MixedReduction,
  criterion: MixedCriterion,
  theta: RelativeFactor,
  free: FreeEntries,
  covariance: Float64Array,
): FlatUncertainty | undefined {
  const entries = free.filter((entry) => theta[entry] !== 0);
  const size = entries.length + 1;
  const factor = cholesky(hessian(criterion, theta, entries), size);
  if (!factor) return undefined;
  const { design, scale } = reduction;
  const p = design.names.length;
  const solution = criterion.solve(theta);
  const unit = scale * scale * solution.sigma2;
  const turned = multiply(design.back, solution.covariance, [p, p, p]);
  const parts = linkProducts(solution.links, p).map((part) => sandwich(turned, part, p, p));
  const [one, both, two] = [itemAt(parts, 0), itemAt(parts, 1), itemAt(parts, 2)];
  const [a, b, c] = [realAt(theta, 0), realAt(theta, 1), realAt(theta, 2)];
  const inTheta = [
    () => one.map((value, at) => 2 * unit * (value * a + realAt(both, at) * b)),
    () => both.map((value, at) => 2 * unit * (value * a + realAt(two, at) * b)),
    () => two.map((value) => 2 * unit * value * c),
  ];
  return {
    // In log σ² the derivative of the covariance is the covariance itself.
    slopes: [...entries.map((entry) => itemAt(inTheta, entry)()), covariance],
    parameters: invertCholesky(factor, size).map((value) => 2 * value),
  };
}

/** Hessian of −2 log-likelihood in (θ, log σ²) at the optimum. */
function hessian(criterion: MixedCriterion, theta: RelativeFactor, entries: FreeEntries) {
  const size = entries.length + 1;
  const { sigma2, ofResidual } = criterion.solve(theta);
  const inTheta = jacobian(
    (at) => {
      const whole = chainToTheta(covarianceSlope(criterion.solve(at), sigma2), at);
      return Float64Array.from(entries, (entry) => itemAt(whole, entry));
    },
    theta,
    entries,
  );
  const withScale = chainToTheta(ofResidual, theta);
  const h = new Float64Array(size * size);
  entries.forEach((entry, i) => {
    entries.forEach((_, j) => {
      const [one, other] = [
        realAt(inTheta, i * entries.length + j),
        realAt(inTheta, j * entries.length + i),
      ];
      h[i * size + j] = (one + other) / 2;
    });
    h[i * size + size - 1] = itemAt(withScale, entry) / sigma2;
    h[(size - 1) * size + i] = itemAt(withScale, entry) / sigma2;
  });
  h[size * size - 1] = criterion.errorDf;
  return h;
}

/** Σ h₁h₁ᵀ, Σ (h₁h₂ᵀ + h₂h₁ᵀ)/2 and Σ h₂h₂ᵀ over the subjects, h being the rows of the links. */
function linkProducts(links: Float64Array, p: number): Float64Array[] {
  const one = new Float64Array(p * p);
  const both = new Float64Array(p * p);
  const two = new Float64Array(p * p);
  for (let at = 0; at < links.length; at += 2 * p) {
    for (let j = 0; j < p; j++) {
      const first = realAt(links, at + j);
      const second = realAt(links, at + p + j);
      for (let k = 0; k < p; k++) {
        const [x, y] = [realAt(links, at + k), realAt(links, at + p + k)];
        const cell = j * p + k;
        one[cell] = realAt(one, cell) + first * x;
        both[cell] = realAt(both, cell) + (first * y + second * x) / 2;
        two[cell] = realAt(two, cell) + second * y;
      }
    }
  }
  return [one, both, two];
}

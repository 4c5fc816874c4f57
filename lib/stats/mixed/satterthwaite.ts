import { itemAt, realAt } from "../../entry.js";
import { cholesky, solveCholesky } from "../../num/linear.js";
import {
  chainToTheta,
  covarianceSlope,
  type MixedCriterion,
  type RelativeFactor,
} from "./criterion.js";
import type { MixedReduction } from "./reduction.js";
import { type FreeEntries, jacobian } from "./search.js";

/**
 * Satterthwaite degrees of freedom of contrasts of the fixed effects.
 *
 * For a contrast c with variance v(φ) = σ² cᵀ(QᵀV⁻¹Q)⁻¹c and φ = (θ, log σ²),
 *   df = 2 v² / (∇vᵀ A ∇v),   A = 2 H⁻¹,
 * H being the Hessian in φ of −2 log-likelihood (REML or ML) at the estimate. Entries of θ on the
 * boundary drop out: v has no slope in them.
 *
 * @param contrasts each a row of p weights on the coefficients of Q
 * @returns one df a contrast; nothing when H is not positive definite, so that the variances of
 *   the variance estimates are unknown
 * @see Giesbrecht, Burns (1985) Biometrics 41:477–486; Fai, Cornelius (1996) J Stat Comput Simul
 *   54:363–378
 */
export function satterthwaite(
  reduction: MixedReduction,
  criterion: MixedCriterion,
  theta: RelativeFactor,
  free: FreeEntries,
  contrasts: readonly Float64Array[],
): number[] | undefined {
  const entries = free.filter((entry) => theta[entry] !== 0);
  const factor = cholesky(hessian(criterion, theta, entries), entries.length + 1);
  if (!factor) return undefined;
  const solution = criterion.solve(theta);
  return contrasts.map((contrast) => {
    const p = contrast.length;
    const { variance, slope } = relativeVariance(reduction, solution, contrast, p);
    const whole = chainToTheta(slope, theta);
    // In log σ² the variance's slope is the variance itself; σ² cancels from the ratio.
    const gradient = Float64Array.of(...entries.map((entry) => itemAt(whole, entry)), variance);
    const spread = solveCholesky(factor, gradient);
    const ofVariance = 2 * gradient.reduce((sum, g, i) => sum + g * realAt(spread, i), 0);
    return (2 * variance ** 2) / ofVariance;
  });
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

/** cᵀCc and its derivative in the covariance ΛΛᵀ: Σ (HᵢCc)(HᵢCc)ᵀ. */
function relativeVariance(
  reduction: MixedReduction,
  { covariance, links }: { covariance: Float64Array; links: Float64Array },
  contrast: Float64Array,
  p: number,
) {
  const weighted = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++)
      weighted[j] = realAt(weighted, j) + realAt(covariance, j * p + k) * realAt(contrast, k);
  }
  const variance = weighted.reduce((sum, w, j) => sum + w * realAt(contrast, j), 0);
  const slope: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < reduction.design.subjects.length; i++) {
    let first = 0;
    let second = 0;
    for (let j = 0; j < p; j++) {
      first += realAt(links, 2 * i * p + j) * realAt(weighted, j);
      second += realAt(links, (2 * i + 1) * p + j) * realAt(weighted, j);
    }
    slope[0] += first * first;
    slope[1] += first * second;
    slope[2] += second * second;
  }
  return { variance, slope };
}

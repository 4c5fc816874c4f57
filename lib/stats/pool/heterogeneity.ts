import { realAt } from "../../entry.js";
import { chiSquared } from "../../num/distributions.js";
import { findRoot } from "../../num/root.js";
import { sum } from "../../num/sums.js";

/** Estimates and their variances, one per study. */
export interface Studies {
  /** Estimate of each study, all in one unit. */
  readonly estimate: Float64Array;
  /** Square of its standard error. */
  readonly variance: Float64Array;
}

export interface WeightedMean {
  /** Σ w estimate / Σ w. */
  readonly mean: number;
  /** Weight of each study, 1 / (variance + τ²). */
  readonly weights: Float64Array;
  /** Sum of the weights. */
  readonly totalWeight: number;
  /** Σ w (estimate − mean)² */
  readonly squares: number;
}

/** Weighted mean with weights 1 / (variance + τ²). */
export function weightedMean({ estimate, variance }: Studies, tau2: number): WeightedMean {
  const weights = variance.map((v) => 1 / (v + tau2));
  const totalWeight = sum(weights);
  const first = realAt(estimate, 0);
  const mean = first + sum(weights.map((w, i) => w * (realAt(estimate, i) - first))) / totalWeight;
  const squares = sum(weights.map((w, i) => w * (realAt(estimate, i) - mean) ** 2));
  return { mean, weights, totalWeight, squares };
}

/**
 * Σw − Σw²/Σw: what τ² adds to Q, per unit. Summed without the squares of the weights, which leave
 * the range of a double when standard errors are below 1e-77 or above 1e77.
 */
export function heterogeneityWeight({ weights, totalWeight }: WeightedMean): number {
  return sum(weights.map((w) => w * (1 - w / totalWeight)));
}

/**
 * Moment estimate of the between-study variance, before a negative one is put at 0.
 * @see DerSimonian, Laird (1986) Control Clin Trials 7:177–188
 */
export function momentTau2(studies: Studies): number {
  const common = weightedMean(studies, 0);
  return (common.squares - (studies.estimate.length - 1)) / heterogeneityWeight(common);
}

/** Slope in τ² of the restricted log-likelihood. */
function restrictedScore(studies: Studies, tau2: number): number {
  const at = weightedMean(studies, tau2);
  const residual = sum(
    at.weights.map((w, i) => (w * (realAt(studies.estimate, i) - at.mean)) ** 2),
  );
  return (residual - heterogeneityWeight(at)) / 2;
}

function restrictedLikelihood(studies: Studies, tau2: number): number {
  const { weights, totalWeight, squares } = weightedMean(studies, tau2);
  return (sum(weights.map(Math.log)) - Math.log(totalWeight) - squares) / 2;
}

/**
 * Restricted maximum likelihood estimate of the between-study variance, 0 or more.
 *
 * The score is scanned over thirteen decades for its falls through 0 (there may be more than one),
 * each is solved for, and the candidate of greatest likelihood is taken, 0 among them.
 *
 * @see Viechtbauer (2005) J Educ Behav Stat 30:261–293
 */
export function restrictedTau2(studies: Studies): number {
  const { mean } = weightedMean(studies, 0);
  const spread = sum(studies.estimate.map((y) => (y - mean) ** 2));
  let best = 0;
  let most = restrictedLikelihood(studies, 0);
  let low = 0;
  let atLow = restrictedScore(studies, 0);
  for (let decade = -12; decade <= 1 && spread > 0; decade += 0.25) {
    const high = spread * 10 ** decade;
    const atHigh = restrictedScore(studies, high);
    if (atLow > 0 && atHigh <= 0) {
      const root = findRoot((tau2) => restrictedScore(studies, tau2), low, high);
      const likelihood = restrictedLikelihood(studies, root);
      if (likelihood > most) [best, most] = [root, likelihood];
    }
    [low, atLow] = [high, atHigh];
  }
  return best;
}

/**
 * Confidence limits of the between-study variance by the Q profile: the τ² at which
 * Q(τ²) = Σ(estimate − mean)²/(variance + τ²) equals a quantile of χ² with k − 1 df.
 *
 * Both limits are 0 when even τ² = 0 makes Q improbably small.
 *
 * @see Viechtbauer (2007) Stat Med 26:37–52
 */
export function profileTau2(studies: Studies, level: number): { low: number; high: number } {
  const distribution = chiSquared(studies.estimate.length - 1);
  const q = (tau2: number) => weightedMean(studies, tau2).squares;
  const solve = (target: number) => {
    if (q(0) <= target) return 0;
    let high = Math.max(...studies.variance);
    while (q(high) > target) high *= 4;
    return findRoot((tau2) => q(tau2) - target, 0, high);
  };
  return {
    low: solve(distribution.quantile((1 + level) / 2)),
    high: solve(distribution.quantile((1 - level) / 2)),
  };
}

/**
 * I² in percent: the share of the total variance that is between studies, τ² / (τ² + s²), s² being
 * the typical within-study variance. With the moment estimate this is 100 (Q − df)/Q.
 *
 * @see Higgins, Thompson (2002) Stat Med 21:1539–1558
 */
export function shareBetween(studies: Studies, tau2: number): number {
  const typical = (studies.estimate.length - 1) / heterogeneityWeight(weightedMean(studies, 0));
  return (100 * tau2) / (tau2 + typical);
}

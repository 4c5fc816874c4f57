import { realAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { findRoot } from "../num/root.js";
import { sum } from "../num/sums.js";
import type { Interval } from "./estimate.js";

/** What is believed of a quantity after the data, given a prior. */
export interface Posterior {
  /** Mean of the posterior, in the unit of the quantity. */
  readonly mean: number;
  /** Left out where it does not exist. */
  readonly sd?: number;
  /** Half of the posterior lies below it. */
  readonly median: number;
  /** Equal tails outside. */
  readonly interval: Interval;
  /** Probability that the quantity exceeds the threshold asked. */
  readonly chanceAbove: number;
}

/** Median and equal-tailed interval of a posterior, from its quantile function. */
export function equalTails(
  quantile: (p: number) => number,
  level: number,
): Pick<Posterior, "median" | "interval"> {
  return {
    median: quantile(0.5),
    interval: {
      low: quantile((1 - level) / 2),
      high: quantile((1 + level) / 2),
      level,
      method: "equal-tailed credible interval",
    },
  };
}

/** A mixture of normal distributions: what is left of a posterior when one parameter is summed over. */
export interface NormalMixture {
  /** Shares, which sum to 1. */
  readonly shares: Float64Array;
  /** Mean of each part. */
  readonly means: Float64Array;
  /** Standard deviation of each part. */
  readonly sds: Float64Array;
}

/** Share of a part that can move no result of a mixture of some thousand parts. */
const NEGLIGIBLE = 1e-20;

/** Mean, SD, quantiles and chance of a mixture; the quantiles by a root search on its distribution. */
export function mixturePosterior(
  mixture: NormalMixture,
  level: number,
  threshold: number,
  hasSd = true,
): Posterior {
  const kept = (_: number, i: number) => realAt(mixture.shares, i) > NEGLIGIBLE;
  const shares = mixture.shares.filter(kept);
  const means = mixture.means.filter(kept);
  const sds = mixture.sds.filter(kept);
  const mean = sum(shares.map((share, i) => share * realAt(means, i)));
  const variance = sum(
    shares.map((share, i) => share * (realAt(sds, i) ** 2 + (realAt(means, i) - mean) ** 2)),
  );
  const z = normal();
  const below = (x: number) =>
    sum(shares.map((share, i) => share * z.cdf((x - realAt(means, i)) / realAt(sds, i))));
  const above = (x: number) =>
    sum(shares.map((share, i) => share * z.upper((x - realAt(means, i)) / realAt(sds, i))));
  const sd = Math.sqrt(variance);
  const quantile = (p: number) => root((x) => below(x) - p, mean, sd);
  return {
    mean,
    ...(hasSd && { sd }),
    ...equalTails(quantile, level),
    chanceAbove: above(threshold),
  };
}

/** Root of a rising function, bracketed from a place and a step. */
function root(f: (x: number) => number, from: number, step: number): number {
  let [low, high] = [from - step, from + step];
  while (f(low) > 0) low -= 2 * (high - low);
  while (f(high) < 0) high += 2 * (high - low);
  return findRoot(f, low, high, { tolerance: 1e-13 });
}

/** Shares from log weights, the largest is subtracted first so that nothing overflows. */
export function sharesOf(logWeights: Float64Array): Float64Array {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of logWeights) most = Math.max(most, value);
  const weights = logWeights.map((value) => Math.exp(value - most));
  const total = sum(weights);
  return weights.map((weight) => weight / total);
}

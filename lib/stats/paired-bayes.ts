import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { gaussPanels } from "../num/quadrature.js";
import { findRoot } from "../num/root.js";
import { mean, sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import { pairColumns, sdOfChanges } from "./pairs.js";
import { type Posterior, sharesOf } from "./posterior.js";

/** A mean change with a stated prior. */
export interface PairedChangeBayes {
  /** Name of the function that made this record. */
  readonly kind: "pairedChangeBayes";
  /** People. */
  readonly n: number;
  /** Posterior of the mean change, after − before, in the unit of the columns. */
  readonly change: Posterior;
  /** The prior in words. */
  readonly prior: string;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `pairedChangeBayes`: the prior, and what is asked of the posterior. */
export interface PairedBayesOptions {
  /** Prior of the mean change: normal, with a mean and SD in the unit of the columns. */
  readonly prior: { readonly mean: number; readonly sd: number };
  /** Probability within the interval, default 0.95. */
  readonly level?: number;
  /** Change whose exceedance `chanceAbove` gives, default 0; for example the smallest worthwhile. */
  readonly threshold?: number;
}

/**
 * Mean change of paired columns with a stated normal prior on the mean and none on the spread
 * (p(σ) ∝ 1/σ):
 *
 *   posterior of μ ∝ N(μ; prior) · (1 + n(d̄ − μ)²/((n − 1)s²))^(−n/2)
 *
 * integrated by Gauss–Legendre quadrature. A weak prior, such as mean 0 and an SD of the largest
 * change thought plausible, draws an unlikely change of a small group towards 0. State the prior
 * with the result, and choose it before the data are seen.
 *
 * @param before first occasion, one value per person, any unit
 * @param after second occasion, the same people in the same order and unit
 * @param options prior in the unit of the columns, level, threshold
 * @returns mean, SD, median, interval and chance of the mean change, in the unit of the columns
 * @throws InputError when lengths differ, there are fewer than two people, a value is not finite,
 *   all changes are equal, or the prior's SD is not positive
 * @see Gelman et al. (2013) Bayesian Data Analysis, 3rd ed., sect. 3.2 and 3.3
 * @example pairedChangeBayes([1, 2, 3, 4], [2, 4, 3, 6], { prior: { mean: 0, sd: 2 } }).change.mean // 1.1255564396
 */
export function pairedChangeBayes(
  before: Numbers,
  after: Numbers,
  options: PairedBayesOptions,
): PairedChangeBayes {
  const where = "pairedChangeBayes";
  const pairs = pairColumns(before, after, where);
  knownOptions(options, ["prior", "level", "threshold"], where);
  const { prior, level = 0.95, threshold = 0 } = options ?? {};
  confidenceLevel(level, where);
  checkPrior(prior, threshold, where);
  const n = pairs.changes.length;
  const centre = mean(pairs.changes);
  const sd = sdOfChanges(pairs);
  if (sd === 0) {
    throw new InputError({ expected: "changes that differ", got: "one change throughout", where });
  }
  const change = posterior({ n, centre, se: sd / Math.sqrt(n), prior }, level, threshold);
  const words = `normal, mean ${prior.mean}, SD ${prior.sd}`;
  const conflict = Math.abs(centre - prior.mean) > 3 * Math.hypot(prior.sd, sd / Math.sqrt(n));
  return frozen({
    kind: "pairedChangeBayes" as const,
    n,
    change,
    prior: words,
    method: `mean change, prior ${words}; spread with p(σ) ∝ 1/σ; quadrature`,
    warnings: conflict
      ? ["The mean change lies far outside the prior: the result is a compromise between the two."]
      : [],
  });
}

function checkPrior(prior: PairedBayesOptions["prior"], threshold: number, where: string): void {
  if (
    prior === null ||
    typeof prior !== "object" ||
    !Number.isFinite(prior.mean) ||
    !(prior.sd > 0)
  ) {
    const expected = "a prior with a mean and a positive sd";
    throw new InputError({ expected, got: shown(prior), where: `${where}, prior` });
  }
  knownOptions(prior, ["mean", "sd"], `${where}, prior`);
  if (!Number.isFinite(threshold)) {
    const at = `${where}, threshold`;
    throw new InputError({ expected: "a finite number", got: shown(threshold), where: at });
  }
}

interface Evidence {
  readonly n: number;
  readonly centre: number;
  readonly se: number;
  readonly prior: { readonly mean: number; readonly sd: number };
}

function logDensity({ n, centre, se, prior }: Evidence, mu: number): number {
  const t2 = ((centre - mu) / se) ** 2 / (n - 1);
  return -(((mu - prior.mean) / prior.sd) ** 2) / 2 - (n / 2) * Math.log1p(t2);
}

function posterior(evidence: Evidence, level: number, threshold: number): Posterior {
  const { from, to } = support(evidence);
  const panels = 60;
  const { places, weights } = gaussPanels(from, to, panels);
  const logs = places.map((mu, i) => logDensity(evidence, mu) + Math.log(realAt(weights, i)));
  const shares = sharesOf(logs);
  const average = sum(shares.map((share, i) => share * realAt(places, i)));
  const variance = sum(shares.map((share, i) => share * (realAt(places, i) - average) ** 2));
  const most = logs.reduce((a, b) => Math.max(a, b));
  const total = sum(logs.map((log) => Math.exp(log - most)));
  const below = (x: number) => {
    if (x <= from) return 0;
    if (x >= to) return 1;
    const part = gaussPanels(from, x, panels);
    return (
      sum(
        part.places.map(
          (mu, i) => Math.exp(logDensity(evidence, mu) - most) * realAt(part.weights, i),
        ),
      ) / total
    );
  };
  const quantile = (p: number) => findRoot((x) => below(x) - p, from, to, { tolerance: 1e-13 });
  return {
    mean: average,
    sd: Math.sqrt(variance),
    median: quantile(0.5),
    interval: {
      low: quantile((1 - level) / 2),
      high: quantile((1 + level) / 2),
      level,
      method: "equal-tailed credible interval",
    },
    chanceAbove: 1 - below(threshold),
  };
}

/** Where the posterior has all but 1e-15 of its mass: within both the prior's and the t's reach. */
function support({ n, centre, se, prior }: Evidence): { from: number; to: number } {
  const reach = studentT(n - 1).quantile(1 - 1e-16) * se;
  const wide = 9 * prior.sd;
  const low = Math.max(centre - reach, Math.min(prior.mean, centre) - wide);
  const high = Math.min(centre + reach, Math.max(prior.mean, centre) + wide);
  return { from: low, to: high };
}

import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { gaussPanels } from "../num/quadrature.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import { pairColumns, sdOfChanges } from "./pairs.js";
import { mixturePosterior, type Posterior, sharesOf } from "./posterior.js";

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
 * computed as a mixture of normal distributions over the spread σ, by Gauss–Legendre quadrature on
 * log σ. A weak prior, such as mean 0 and an SD of the largest
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
  const se = sd / Math.sqrt(n);
  const evidence = { df: n - 1, distance: (centre - prior.mean) / se, reach: prior.sd / se };
  const change = mixturePosterior(mixtureOverSpread(evidence, prior, se), level, threshold);
  const words = `normal, mean ${prior.mean}, SD ${prior.sd}`;
  const conflict = Math.abs(centre - prior.mean) > 3 * Math.hypot(prior.sd, se);
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

/** Data and prior in units of the standard error: lengths relative to it, from the prior's mean. */
interface Evidence {
  /** Degrees of freedom of the spread, n − 1. */
  readonly df: number;
  /** Mean change − the prior's mean. */
  readonly distance: number;
  /** SD of the prior. */
  readonly reach: number;
}

/** The posterior as a mixture over λ = s²/σ², each part normal; λ on a logarithmic scale. */
function mixtureOverSpread(evidence: Evidence, prior: PairedBayesOptions["prior"], se: number) {
  const { distance, reach } = evidence;
  const { places, weights } = spreadRule(evidence);
  const logs = places.map((u, i) => logWeight(evidence, u) + Math.log(realAt(weights, i)));
  const most = logs.reduce((a, b) => Math.max(a, b));
  const kept = Array.from(logs.keys()).filter((i) => realAt(logs, i) > most - 45);
  const at = (of: (u: number) => number) => Float64Array.from(kept, (i) => of(realAt(places, i)));
  const spread = (u: number) => Math.exp(-u / 2);
  return {
    shares: sharesOf(Float64Array.from(kept, (i) => realAt(logs, i))),
    means: at((u) => prior.mean + se * distance * (reach / Math.hypot(reach, spread(u))) ** 2),
    sds: at((u) => prior.sd * (spread(u) / Math.hypot(reach, spread(u)))),
  };
}

/** Logarithm of p(u) · p(mean change | u), where df·e^u is χ² on df: up to a constant. */
function logWeight({ df, distance, reach }: Evidence, u: number): number {
  const sd = Math.hypot(reach, Math.exp(-u / 2));
  return (df / 2) * (u - Math.expm1(u)) - Math.log(sd) - (distance / sd) ** 2 / 2;
}

/**
 * Nodes in u = log λ. The weight falls at least as e^(df·u/2) below the lower of u = 0 and the λ that
 * explains the distance by spread, and as e^(−df·e^u/2) above 0. No peak is narrower than √(2/df).
 */
function spreadRule({ df, distance }: Evidence) {
  const lowest = Math.min(0, Math.log(df) - 2 * Math.log(Math.max(1, Math.abs(distance))));
  const from = lowest - 3 - 100 / df;
  const to = Math.log1p(20 / Math.sqrt(df) + 110 / df);
  const panel = 2 * Math.min(1, Math.sqrt(2 / df));
  return gaussPanels(from, to, Math.ceil((to - from) / panel));
}

import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { gaussPanels } from "../../num/quadrature.js";
import { findRoot } from "../../num/root.js";
import { sum } from "../../num/sums.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../estimate.js";
import { confidenceLevel, oneOf, shown } from "../input.js";
import { equalTails, mixturePosterior, type Posterior, sharesOf } from "../posterior.js";
import { restrictedTau2, type Studies } from "./heterogeneity.js";
import { type PoolColumns, studyColumns } from "./studies.js";

/** Prior of the spread τ between studies: half of a distribution about 0. */
export interface TauPrior {
  /** Shape of the prior above 0. */
  readonly distribution: "half-normal" | "half-cauchy";
  /** Scale of the whole distribution, in the unit of the estimates; a half-normal's σ, not its SD. */
  readonly scale: number;
}

/** Options of `poolBayes`: the priors, and what is asked of the posterior. */
export interface PoolBayesOptions {
  /** Prior of the mean μ: flat (default), or normal with a mean and SD in the unit of the estimates. */
  readonly mu?: "flat" | { readonly mean: number; readonly sd: number };
  /** Prior of the spread between studies. */
  readonly tau: TauPrior;
  /** Probability within the intervals, default 0.95. */
  readonly level?: number;
  /** Value whose exceedance `chanceAbove` gives, in the unit of the estimates, default 0. */
  readonly threshold?: number;
}

/** Studies pooled with stated priors. */
export interface PoolBayes {
  /** Name of the function that made this record. */
  readonly kind: "poolBayes";
  /** Number of studies. */
  readonly n: number;
  /** Mean of the studies' true effects. */
  readonly mu: Posterior;
  /** Spread (SD) of the true effects between studies. */
  readonly tau: Posterior;
  /** True effect of a new study. */
  readonly prediction: Posterior;
  /** True effect of each study, drawn towards the mean. */
  readonly effects: readonly (Posterior & { readonly label: string })[];
  /** ln of the probability of the data under the priors; left out with a flat prior of μ. */
  readonly logEvidence?: number;
  /** The priors in words. */
  readonly priors: { readonly mu: string; readonly tau: string };
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Pools studies with stated priors: the normal model yᵢ ~ N(θᵢ, seᵢ²), θᵢ ~ N(μ, τ²).
 *
 * Given τ, μ and every θᵢ are normal in closed form; τ is integrated out by Gauss–Legendre
 * quadrature on τ = c u/(1 − u), with more panels until no result changes by more than 1e-9 of its
 * SD. No random numbers are drawn. With few studies the result depends on the prior of τ: report
 * it, and try a scale twice as large and half as large.
 *
 * @param columns `estimate` and `se` (positive), at least two studies; `label` names them
 * @param options priors of μ and τ in the unit of the estimates, level, threshold
 * @returns mean, SD, median, interval and chance in the unit of the estimates
 * @throws InputError as `pool` does, and when a prior's SD or scale is not positive
 * @see Röver (2020) J Stat Softw 93(6); Gelman et al. (2013) Bayesian Data Analysis, 3rd ed., ch. 5
 * @example poolBayes({ estimate: [28, 8, -3, 7, -1, 1, 18, 12], se: [15, 10, 16, 11, 9, 11, 10, 18] }, { tau: { distribution: "half-normal", scale: 5 } }).mu.mean // 7.7868733131375585
 */
export function poolBayes(columns: PoolColumns, options: PoolBayesOptions): PoolBayes {
  const where = "poolBayes";
  const { studies, names } = studyColumns(columns, where);
  const choice = priorsOf(options, where);
  const centre = rangeOfTau(studies, choice.tau.scale);
  let panels = 12;
  let found = posteriors(studies, choice, centre, panels);
  for (; panels < 800; panels *= 2) {
    const finer = posteriors(studies, choice, centre, 2 * panels);
    const settled = close(found, finer);
    found = finer;
    if (settled) break;
  }
  const { mu, tau } = choice;
  const muWords = mu === "flat" ? "flat" : `normal, mean ${mu.mean}, SD ${mu.sd}`;
  return frozen({
    kind: "poolBayes" as const,
    n: names.length,
    mu: found.mu,
    tau: found.tau,
    prediction: found.prediction,
    effects: found.effects().map((effect, i) => ({ label: itemAt(names, i), ...effect })),
    ...(mu !== "flat" && { logEvidence: found.logEvidence }),
    priors: { mu: muWords, tau: `${tau.distribution}, scale ${tau.scale}` },
    method: `normal hierarchical model by quadrature; μ ${muWords}; τ ${tau.distribution}, scale ${tau.scale}`,
    warnings:
      names.length < 5
        ? [`With ${names.length} studies the result depends on the prior of τ: vary its scale.`]
        : [],
  });
}

interface Priors {
  readonly mu: "flat" | { readonly mean: number; readonly sd: number };
  readonly tau: TauPrior;
  readonly level: number;
  readonly threshold: number;
}

function priorsOf(options: PoolBayesOptions, where: string): Priors {
  knownOptions(options, ["mu", "tau", "level", "threshold"], where);
  const { mu = "flat", tau, level = 0.95, threshold = 0 } = options ?? {};
  confidenceLevel(level, where);
  if (!Number.isFinite(threshold)) {
    const at = `${where}, threshold`;
    throw new InputError({ expected: "a finite number", got: shown(threshold), where: at });
  }
  if (mu !== "flat") {
    if (typeof mu !== "object" || mu === null || !Number.isFinite(mu.mean) || !(mu.sd > 0)) {
      const expected = '"flat", or a mean and a positive sd';
      throw new InputError({ expected, got: shown(mu), where: `${where}, mu` });
    }
    knownOptions(mu, ["mean", "sd"], `${where}, mu`);
  }
  if (tau === null || typeof tau !== "object") {
    const expected = "a prior of τ: a distribution and its scale";
    throw new InputError({ expected, got: shown(tau), where: `${where}, tau` });
  }
  knownOptions(tau, ["distribution", "scale"], `${where}, tau`);
  oneOf(tau.distribution, ["half-normal", "half-cauchy"], `${where}, tau, distribution`);
  if (!(tau.scale > 0 && tau.scale < Number.POSITIVE_INFINITY)) {
    const expected = "a positive scale";
    throw new InputError({ expected, got: shown(tau.scale), where: `${where}, tau` });
  }
  return { mu, tau, level, threshold };
}

/** A τ about which the posterior lies, to put half of the nodes on either side. */
function rangeOfTau(studies: Studies, scale: number): number {
  const tau = Math.sqrt(restrictedTau2(studies));
  const typical = 1 / Math.sqrt(sum(studies.variance.map((v) => 1 / v)) / studies.variance.length);
  return Math.max(tau, Math.min(scale, typical));
}

function logPrior({ distribution, scale }: TauPrior, tau: number): number {
  const ratio = tau / scale;
  return distribution === "half-normal"
    ? Math.log(2 / scale) - Math.log(2 * Math.PI) / 2 - (ratio * ratio) / 2
    : Math.log(2 / (Math.PI * scale)) - Math.log1p(ratio * ratio);
}

/** μ given τ, and the log density of the data and τ. */
function given(studies: Studies, { mu, tau }: Priors, at: number) {
  const { estimate, variance } = studies;
  const spread = variance.map((v) => v + at * at);
  const priorWeight = mu === "flat" ? 0 : 1 / mu.sd ** 2;
  const priorMean = mu === "flat" ? 0 : mu.mean;
  const precision = sum(spread.map((v) => 1 / v)) + priorWeight;
  const mean =
    (sum(spread.map((v, i) => realAt(estimate, i) / v)) + priorMean * priorWeight) / precision;
  const squares = sum(spread.map((v, i) => (realAt(estimate, i) - mean) ** 2 / v));
  const priorSquare = priorWeight * (mean - priorMean) ** 2;
  const logs = sum(spread.map((v) => Math.log(2 * Math.PI * v)));
  const prior =
    mu === "flat" ? Math.log(2 * Math.PI) - Math.log(precision) : -Math.log(precision * mu.sd ** 2);
  const log = logPrior(tau, at) + (prior - logs - squares - priorSquare) / 2;
  return { mean, sd: 1 / Math.sqrt(precision), log };
}

function posteriors(studies: Studies, priors: Priors, centre: number, panels: number) {
  const { places, weights } = gaussPanels(0, 1, panels);
  const taus = places.map((u) => (centre * u) / (1 - u));
  const points = Array.from(taus, (tau) => given(studies, priors, tau));
  const logs = Float64Array.from(
    points,
    ({ log }, i) => log + Math.log((realAt(weights, i) * centre) / (1 - realAt(places, i)) ** 2),
  );
  const shares = sharesOf(logs);
  const means = Float64Array.from(points, ({ mean }) => mean);
  const sds = Float64Array.from(points, ({ sd }) => sd);
  const { level, threshold } = priors;
  // With two studies, half-Cauchy and a flat μ, the density of τ falls as τ⁻³: it has no variance.
  const hasSd =
    priors.tau.distribution === "half-normal" ||
    priors.mu !== "flat" ||
    studies.estimate.length > 2;
  const summary = (m: Float64Array, s: Float64Array, exists = hasSd) =>
    mixturePosterior({ shares, means: m, sds: s }, level, threshold, exists);
  const most = logs.reduce((a, b) => Math.max(a, b));
  return {
    mu: summary(means, sds),
    prediction: summary(
      means,
      sds.map((sd, i) => Math.hypot(sd, realAt(taus, i))),
    ),
    // the dearest part, made once the number of panels is settled
    effects: () =>
      Array.from(studies.estimate, (y, j) => {
        const v = realAt(studies.variance, j);
        const drawn = taus.map((tau) => v / (v + tau * tau));
        return summary(
          means.map((m, i) => m * realAt(drawn, i) + y * (1 - realAt(drawn, i))),
          sds.map((sd, i) => {
            const share = realAt(drawn, i);
            return Math.sqrt(v * (1 - share) + (share * sd) ** 2);
          }),
          true,
        );
      }),
    tau: tauPosterior(studies, priors, centre, panels, { taus, shares, logs }, hasSd),
    logEvidence: most + Math.log(sum(logs.map((log) => Math.exp(log - most)))),
  };
}

/** τ itself: its distribution function is summed over whole panels and integrated in the last one. */
function tauPosterior(
  studies: Studies,
  priors: Priors,
  centre: number,
  panels: number,
  { taus, shares, logs }: { taus: Float64Array; shares: Float64Array; logs: Float64Array },
  hasSd: boolean,
): Posterior {
  const most = logs.reduce((a, b) => Math.max(a, b));
  const total = sum(logs.map((log) => Math.exp(log - most)));
  const nodes = shares.length / panels;
  const before = [0];
  for (let panel = 0; panel < panels; panel++) {
    before.push(itemAt(before, panel) + sum(shares.subarray(panel * nodes, (panel + 1) * nodes)));
  }
  const below = (u: number) => {
    const panel = Math.min(panels - 1, Math.floor(u * panels));
    const { places, weights } = gaussPanels(panel / panels, u, 1);
    const part = places.map((place, i) => {
      const { log } = given(studies, priors, (centre * place) / (1 - place));
      return (Math.exp(log - most) * realAt(weights, i) * centre) / (1 - place) ** 2;
    });
    return itemAt(before, panel) + sum(part) / total;
  };
  const quantile = (p: number) => {
    const u = findRoot((place) => below(place) - p, 0, 1 - 1e-9, { tolerance: 1e-12 });
    return (centre * u) / (1 - u);
  };
  const mean = sum(shares.map((share, i) => share * realAt(taus, i)));
  const variance = sum(shares.map((share, i) => share * (realAt(taus, i) - mean) ** 2));
  const { level, threshold } = priors;
  return {
    mean,
    ...(hasSd && { sd: Math.sqrt(variance) }),
    ...equalTails(quantile, level),
    chanceAbove: threshold <= 0 ? 1 : 1 - below(threshold / (threshold + centre)),
  };
}

type PoolPosterior = ReturnType<typeof posteriors>;

/** Whether two numbers of panels give the same results, to 1e-9 of the posterior's width. */
function close(coarse: PoolPosterior, fine: PoolPosterior): boolean {
  return ([coarse.mu, coarse.tau, coarse.prediction] as const).every((a, i) => {
    const b = itemAt([fine.mu, fine.tau, fine.prediction], i);
    const width = b.interval.high - b.interval.low;
    const pairs = [
      [a.mean, b.mean],
      [a.sd ?? 0, b.sd ?? 0],
      [a.interval.low, b.interval.low],
      [a.interval.high, b.interval.high],
    ] as const;
    return pairs.every(([x, y]) => Math.abs(x - y) <= 1e-9 * width);
  });
}

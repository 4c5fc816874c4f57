import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { chiSquared, normal, studentT } from "../../num/distributions.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen, type Interval, outOfRange } from "../estimate.js";
import { confidenceLevel, namedColumns, shown } from "../input.js";
import {
  momentTau2,
  profileTau2,
  restrictedTau2,
  type Studies,
  shareBetween,
  weightedMean,
} from "./heterogeneity.js";
import { type PoolColumns, studyColumns } from "./studies.js";

export type { PoolColumns } from "./studies.js";

/** Options of `pool`. */
export interface PoolOptions {
  /** Common effect, or random effects with τ² by moments (DL) or restricted likelihood (default). */
  readonly method?: "common" | "DL" | "REML";
  /**
   * Hartung–Knapp standard error and t(k − 1). "modified" (default for random effects) never lets it
   * shrink the interval; false asks for the normal interval, which is too narrow with few studies.
   */
  readonly hartungKnapp?: boolean | "modified";
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/** One study of a pool. */
export interface PooledStudy {
  /** Name of the study. */
  readonly label: string;
  /** Its estimate, in the common unit. */
  readonly estimate: number;
  /** Its standard error, same unit. */
  readonly se: number;
  /** Its own confidence interval, from its standard error alone. */
  readonly interval: Interval;
  /** Share of the total weight, from 0 to 1. */
  readonly weight: number;
}

/** Studies pooled by a common effect or by random effects. */
export interface Pool {
  /** Name of the function that made this record. */
  readonly kind: "pool";
  /** Number of studies. */
  readonly n: number;
  /** Pooled effect: the common one, or the mean of the true effects; unit of the estimates. */
  readonly estimate: Estimate;
  /** Between-study variance, 0 for a common effect. */
  readonly tau2: number;
  /** By the Q profile; left out for a common effect. */
  readonly tau2Interval?: Interval;
  /** I², in percent. */
  readonly i2: number;
  /** Cochran's test that all studies have the same true effect. */
  readonly q: { readonly statistic: number; readonly df: number; readonly p: number };
  /** Where a new study's true effect may lie; left out for a common effect or too few studies. */
  readonly prediction?: Interval;
  /** One per study, in the order given; they sum to 1. */
  readonly weights: readonly number[];
  /** The studies in the order given. */
  readonly studies: readonly PooledStudy[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Pools the estimates of several studies (meta-analysis by inverse variance).
 *
 *   estimate = Σ wᵢyᵢ / Σ wᵢ,  wᵢ = 1/(seᵢ² + τ²)
 *
 * "common": τ² = 0, one true effect. "DL": τ² by moments. "REML" (default): by restricted
 * likelihood. Hartung–Knapp: se² = Σwᵢ(yᵢ − estimate)² / ((k − 1)Σw) and t(k − 1); "modified" (default
 * for random effects) takes the larger of that and the ordinary 1/√Σw. `hartungKnapp: false` asks for
 * 1/√Σw and the normal quantile, whose 95 % interval covers 89 to 91 % with few studies.
 * Prediction interval: estimate ± t·√(τ² + se²), t with k − 2 df (Higgins), or k − 1 with
 * Hartung–Knapp. I² = 100 τ²/(τ² + typical variance); for a common effect 100 (Q − df)/Q, at
 * least 0.
 *
 * Units: estimate, se, interval and prediction in the unit of the inputs; τ² in its square.
 *
 * What it does not do: adjust for selective publication, for dependent estimates from one sample
 * (pool one per sample), or for covariates. With few studies τ² is poorly known: read its interval.
 *
 * @param columns `estimate` and `se` (positive), at least two studies; `label` names them
 * @throws InputError for unequal lengths, fewer than 2 studies, a standard error that is not
 *   positive, or Hartung–Knapp with a common effect
 * @see DerSimonian, Laird (1986) Control Clin Trials 7:177–188; Viechtbauer (2005) J Educ Behav
 *   Stat 30:261–293; Hartung, Knapp (2001) Stat Med 20:1771–1782; Röver, Knapp, Friede (2015) BMC
 *   Med Res Methodol 15:99; Higgins, Thompson, Spiegelhalter (2009) J R Stat Soc A 172:137–159
 * @example pool({ estimate: [1, 3], se: [1, 1] }, { method: "common" }).estimate.value // 2
 */
export function pool(columns: PoolColumns, options: PoolOptions = {}): Pool {
  const { method, hartungKnapp, level } = poolChoice(options, "pool");
  namedColumns(columns, ["estimate", "se", "label"], "pool");
  const { studies, names } = studyColumns(columns, "pool");
  const k = names.length;
  const warnings: string[] = [];
  const tau2 = betweenVariance(studies, method, warnings);
  const { mean, weights, totalWeight, squares } = weightedMean(studies, tau2);
  const common = weightedMean(studies, 0);
  const ordinary = 1 / Math.sqrt(totalWeight);
  const scaled = Math.sqrt(squares / (k - 1) / totalWeight);
  const se = hartungKnapp
    ? hartungKnapp === "modified"
      ? Math.max(scaled, ordinary)
      : scaled
    : ordinary;
  if (hartungKnapp === true && scaled < ordinary) {
    warnings.push(
      "the Hartung–Knapp standard error is smaller than the ordinary one; " +
        '"modified" would not let it shrink the interval',
    );
  }
  const name = methodName(method, hartungKnapp, k);
  const random = method !== "common";
  if (random && hartungKnapp === false && k < 10) {
    warnings.push(
      `a normal interval of ${k} studies is too narrow: its 95 % interval covers about 90 %; use Hartung–Knapp`,
    );
  }
  const prediction = random
    ? predictionInterval(mean, tau2, se, k, hartungKnapp !== false, level, warnings)
    : undefined;
  const share = random ? shareBetween(studies, tau2) : excessPercent(common.squares, k - 1);
  const shares = Array.from(weights, (w) => w / totalWeight);
  return frozen({
    kind: "pool",
    n: k,
    estimate: pooledEstimate(mean, se, hartungKnapp ? k - 1 : undefined, level, name),
    tau2,
    ...(random ? { tau2Interval: tau2Interval(studies, level, warnings) } : {}),
    i2: share,
    q: { statistic: common.squares, df: k - 1, p: chiSquared(k - 1).upper(common.squares) },
    ...(prediction ? { prediction } : {}),
    weights: shares,
    studies: names.map((label, i) => pooledStudy(label, studies, i, itemAt(shares, i), level)),
    method: name,
    warnings,
  } as const);
}

interface PoolChoice {
  method: "common" | "DL" | "REML";
  hartungKnapp: boolean | "modified";
  level: number;
}

function poolChoice(options: PoolOptions, where: string): PoolChoice {
  knownOptions(options, ["method", "hartungKnapp", "level"], where);
  const { method = "REML" } = options;
  const hartungKnapp = options.hartungKnapp ?? (method === "common" ? false : "modified");
  const level = confidenceLevel(options.level ?? 0.95, where);
  if (method !== "common" && method !== "DL" && method !== "REML") {
    const expected = '"common", "DL" or "REML"';
    throw new InputError({ expected, got: shown(method), where: `${where}, method` });
  }
  if (typeof hartungKnapp !== "boolean" && hartungKnapp !== "modified") {
    const expected = 'true, false or "modified"';
    throw new InputError({ expected, got: shown(hartungKnapp), where: `${where}, hartungKnapp` });
  }
  if (method === "common" && hartungKnapp !== false) {
    const expected = '"DL" or "REML" with Hartung–Knapp';
    throw new InputError({ expected, got: '"common"', where: `${where}, method` });
  }
  return { method, hartungKnapp, level };
}

function betweenVariance(studies: Studies, method: PoolChoice["method"], warnings: string[]) {
  if (method === "common") return 0;
  if (method === "REML") {
    const tau2 = restrictedTau2(studies);
    if (tau2 === 0) {
      warnings.push(
        "the between-study variance is estimated as 0, so the prediction interval adds nothing to the interval of the mean",
      );
    }
    return tau2;
  }
  const tau2 = momentTau2(studies);
  if (tau2 < 0) {
    warnings.push(
      `the moment estimate of the between-study variance is negative (−${Math.abs(tau2).toPrecision(4)}); 0 is used`,
    );
  }
  return Math.max(0, tau2);
}

function methodName(
  method: PoolChoice["method"],
  hartungKnapp: boolean | "modified",
  k: number,
): string {
  if (method === "common") return "common effect, inverse variance, normal";
  const interval = hartungKnapp
    ? `${hartungKnapp === true ? "Hartung–Knapp" : "modified Hartung–Knapp"}, t(${k - 1})`
    : "normal";
  return `random effects, ${method}, ${interval}`;
}

/** Estimate with a normal interval, or Student's t when it has degrees of freedom. */
function pooledEstimate(
  value: number,
  se: number,
  df: number | undefined,
  level: number,
  method: string,
): Estimate {
  const distribution = df === undefined ? normal() : studentT(df);
  const half = distribution.quantile((1 + level) / 2) * se;
  const interval = { low: value - half, high: value + half, level, method };
  if (se === 0) return { value, se, ...(df === undefined ? {} : { df }), interval };
  const statistic = value / se;
  if (!Number.isFinite(statistic)) throw outOfRange(statistic, method);
  const p = Math.min(1, 2 * distribution.upper(Math.abs(statistic)));
  return { value, se, ...(df === undefined ? {} : { df }), statistic, p, interval };
}

function excessPercent(q: number, df: number): number {
  return q > df ? (100 * (q - df)) / q : 0;
}

function tau2Interval(studies: Studies, level: number, warnings: string[]): Interval {
  const limits = profileTau2(studies, level);
  if (limits.high === 0) {
    warnings.push("the studies agree better than chance: both Q-profile limits of τ² are 0");
  }
  return { ...limits, level, method: "Q profile" };
}

function predictionInterval(
  mean: number,
  tau2: number,
  se: number,
  k: number,
  hartungKnapp: boolean,
  level: number,
  warnings: string[],
): Interval | undefined {
  const df = hartungKnapp ? k - 1 : k - 2;
  if (df < 1) {
    warnings.push("two studies allow no prediction interval with t(k − 2)");
    return undefined;
  }
  if (k === 2) {
    warnings.push("a prediction interval from two studies rests on one degree of freedom");
  }
  const half = studentT(df).quantile((1 + level) / 2) * Math.sqrt(tau2 + se * se);
  return { low: mean - half, high: mean + half, level, method: `prediction, t(${df})` };
}

function pooledStudy(
  label: string,
  { estimate, variance }: Studies,
  i: number,
  weight: number,
  level: number,
): PooledStudy {
  const se = Math.sqrt(realAt(variance, i));
  const half = normal().quantile((1 + level) / 2) * se;
  const value = realAt(estimate, i);
  const interval = { low: value - half, high: value + half, level, method: "normal" };
  return { label, estimate: value, se, interval, weight };
}

import { present, realAt } from "../../entry.js";
import { normal } from "../../num/distributions.js";
import type { Interval } from "../estimate.js";
import { replicateQuantile } from "../selection.js";

/** The ways to turn replicates into an interval. */
export const bootstrapMethods = ["bca", "percentile", "basic", "normal", "studentized"] as const;
/** How the limits are made from the replicates. */
export type BootstrapMethod = (typeof bootstrapMethods)[number];

/** What the limits are made from. */
export interface Replication {
  /** The statistic of the data. */
  readonly estimate: number;
  /** Finite replicates in the order drawn. */
  readonly replicates: Float64Array;
  /** Smallest replicate. */
  readonly smallest: number;
  /** Largest replicate. */
  readonly largest: number;
  /** Standard deviation of the replicates. */
  readonly se: number;
  /** Mean of the replicates − the estimate. */
  readonly bias: number;
  /** Bias correction; infinite when all replicates lie on one side of the estimate. */
  readonly z0: number;
  /** From the jackknife; NaN when the jackknife does not give one. */
  readonly acceleration: number;
  /** Number of units drawn: rows or clusters. */
  readonly unitCount: number;
}

/** An interval and what the reader must know about it. */
export interface Limits {
  /** The limits, in the unit of the statistic. */
  readonly interval: Interval;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

const standardNormal = normal(0, 1);

/** Relative distance within which replicates count as equal: the rounding of sums. */
const tie = 1e-12;

/** With fewer units a third moment of leave-one-out values says nothing. */
const fewestUnitsForBca = 5;

/** Says so when a limit would need replicates further out than there are. */
function outOfReach(count: number, probabilities: readonly number[]): string[] {
  const reach = 1 / (count + 1);
  return probabilities.some((p) => p < reach || p > 1 - reach)
    ? ["a limit lies beyond the most extreme replicate: more resamples are needed"]
    : [];
}

function atProbabilities(
  { replicates }: Replication,
  [lower, upper]: readonly [number, number],
  level: number,
  method: string,
): Limits {
  const working = replicates.slice();
  return {
    interval: {
      low: replicateQuantile(working, lower),
      high: replicateQuantile(working, upper),
      level,
      method,
    },
    warnings: outOfReach(working.length, [lower, upper]),
  };
}

function tails(level: number): [number, number] {
  return [(1 - level) / 2, (1 + level) / 2];
}

/** Replicate quantiles at the nominal probabilities. */
function percentileLimits(from: Replication, level: number, note = ""): Limits {
  const method = note ? `percentile bootstrap (${note})` : "percentile bootstrap";
  return atProbabilities(from, tails(level), level, method);
}

/** Percentile limits reflected about the estimate: 2θ − q₁₋ₐ to 2θ − qₐ. */
function basicLimits(from: Replication, level: number): Limits {
  const { interval, warnings } = percentileLimits(from, level);
  const low = 2 * from.estimate - interval.high;
  const high = 2 * from.estimate - interval.low;
  return { interval: { low, high, level, method: "basic bootstrap" }, warnings };
}

/** Estimate less its bias, plus and minus z standard errors. */
function normalLimits({ estimate, bias, se }: Replication, level: number): Limits {
  const half = standardNormal.quantile((1 + level) / 2) * se;
  const centre = estimate - bias;
  return {
    interval: {
      low: centre - half,
      high: centre + half,
      level,
      method: "normal bootstrap, bias corrected",
    },
    warnings: [],
  };
}

/** Standard errors of the estimate and, in the order drawn, of each replicate. */
export interface Errors {
  /** Standard error of the estimate. */
  readonly error: number;
  /** Standard error of each replicate, in the order drawn. */
  readonly errors: Float64Array;
}

/** θ − t₁₋ₐ se to θ − tₐ se, where t are the studentized replicates (θ* − θ)/se*. */
function studentizedLimits(from: Replication, level: number, { error, errors }: Errors): Limits {
  const { estimate, replicates } = from;
  const t = replicates
    .map((value, r) => (value - estimate) / realAt(errors, r))
    .filter(Number.isFinite);
  const lost = replicates.length - t.length;
  if (!(error > 0 && error < Infinity) || t.length < 2) {
    return standIn(from, level, "the standard error is zero or undefined");
  }
  const [lower, upper] = tails(level);
  const low = estimate - replicateQuantile(t, upper) * error;
  const high = estimate - replicateQuantile(t, lower) * error;
  const warnings = outOfReach(t.length, [lower, upper]);
  if (lost > 0) warnings.push(`${lost} resamples have no standard error and are left out`);
  return { interval: { low, high, level, method: "studentized bootstrap" }, warnings };
}

/** Percentile limits in place of others; the method and a warning give the reason. */
function standIn(from: Replication, level: number, obstacle: string): Limits {
  const { interval, warnings } = percentileLimits(from, level, obstacle);
  return { interval, warnings: [`${obstacle}; percentile limits are given instead`, ...warnings] };
}

/** Why BCa cannot be had from this replication; empty when it can. */
function obstacleToBca({ unitCount, z0, acceleration }: Replication): string {
  if (unitCount < fewestUnitsForBca) {
    return `BCa needs at least ${fewestUnitsForBca} units, got ${unitCount}`;
  }
  if (!Number.isFinite(z0)) {
    return "BCa is undefined: all replicates lie on one side of the estimate";
  }
  if (!Number.isFinite(acceleration))
    return "BCa is undefined: the jackknife gives no acceleration";
  return "";
}

/** Probability at which BCa reads the replicates for a nominal one; NaN past the pole. */
function adjusted(p: number, z0: number, acceleration: number): number {
  const z = z0 + standardNormal.quantile(p);
  const scale = 1 - acceleration * z;
  return scale > 0 ? standardNormal.cdf(z0 + z / scale) : Number.NaN;
}

/**
 * Bias-corrected and accelerated limits: replicate quantiles at Φ(z₀ + (z₀ + z)/(1 − a(z₀ + z))).
 * Where they are undefined the percentile limits stand in, and the method and a warning say why.
 * @see Efron (1987) Better bootstrap confidence intervals. JASA 82:171–185
 */
function bcaLimits(from: Replication, level: number): Limits {
  const obstacle = obstacleToBca(from);
  if (obstacle) return standIn(from, level, obstacle);
  const [low, high] = tails(level).map((p) => adjusted(p, from.z0, from.acceleration));
  if (present(low) < present(high))
    return atProbabilities(from, [present(low), present(high)], level, "BCa bootstrap");
  return standIn(from, level, "BCa is undefined: the acceleration is too large for this level");
}

/** Share of replicates below the estimate plus half of those equal to it. */
export function shareBelow(replicates: Float64Array, estimate: number, scale: number): number {
  const slack = tie * scale;
  let below = 0;
  let notAbove = 0;
  for (let r = 0; r < replicates.length; r++) {
    if (realAt(replicates, r) < estimate - slack) below++;
    if (realAt(replicates, r) <= estimate + slack) notAbove++;
  }
  return (below + notAbove) / (2 * replicates.length);
}

/** Limits when all replicates agree but for rounding: a point, and a warning. */
function pointLimits(from: Replication, level: number): Limits {
  const { interval } = percentileLimits(from, level, "all replicates equal");
  const warning =
    "every resample gave the same value: the interval has no width and does not show the precision of the estimate";
  return { interval, warnings: [warning] };
}

/** Limits by the method asked for, or by what stands in for it. */
export function bootstrapLimits(
  method: BootstrapMethod,
  from: Replication,
  level: number,
  errors: Errors,
): Limits {
  const { smallest, largest } = from;
  if (largest - smallest <= tie * Math.max(Math.abs(smallest), Math.abs(largest))) {
    return pointLimits(from, level);
  }
  if (method === "bca") return bcaLimits(from, level);
  if (method === "percentile") return percentileLimits(from, level);
  if (method === "basic") return basicLimits(from, level);
  if (method === "normal") return normalLimits(from, level);
  return studentizedLimits(from, level, errors);
}

import { realAt } from "../entry.js";
import { noncentralT, normal, studentT } from "../num/distributions.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, oneOf } from "./input.js";
import { type Pairs, pairColumns, sdOfChanges } from "./pairs.js";
import { tEstimate } from "./t-estimate.js";

/** How the intervals of the limits of agreement are made. */
export type LimitIntervals = "exact" | "1986";

/** Agreement of two measurements of the same people. */
export interface Agreement {
  /** Name of the function that made this record. */
  readonly kind: "agreement";
  /** Number of people with both measurements. */
  readonly n: number;
  /** Mean of first − second, in the unit of the columns. */
  readonly bias: Estimate;
  /** bias − z · sdDifference. */
  readonly lower: Estimate;
  /** bias + z · sdDifference. */
  readonly upper: Estimate;
  /** Standard deviation of the differences, divisor n − 1, in the unit of the columns. */
  readonly sdDifference: number;
  /** Slope of the difference on the mean of the two: does disagreement grow with size? */
  readonly proportional?: Estimate;
  /** Share of differences the limits are meant to hold, 0.95 unless asked. */
  readonly coverage: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Limits of agreement of two devices, raters or sessions, first − second.
 *
 * bias d̄ with a t interval; limits d̄ ± z s with the normal quantile z (1.96 for 95 %) and s with
 * divisor n − 1. Intervals of the limits: "exact" d̄ ± s · t′/√n with quantiles t′ of the non-central
 * t distribution with shift z√n; "1986" limit ± t √(3 s²/n), the approximation of Bland and Altman.
 * proportional: least-squares slope of the difference on the mean of the two.
 *
 * "exact" means exact for differences of a normal distribution; with heavy tails or skew neither
 * form covers what it promises (the upper limit of exponential differences: 68 % at 24 people). Differences that grow with size call for logarithms first.
 *
 * @param a first measurement, one value per person, any unit
 * @param b second measurement, the same people, order and unit
 * @returns bias, limits and sdDifference in the unit of the columns, proportional without unit
 * @throws InputError when lengths differ, there are fewer than three people or a value is not finite
 * @see Bland & Altman (1986) Lancet i:307–310 and (1999) Stat Methods Med Res 8:135–160; Carkeet
 *   (2015) Optom Vis Sci 92:e71–e80 for the exact intervals
 * @example agreement([10, 12, 15, 11], [9, 12, 13, 12]).bias.value // 0.5
 */
export function agreement(
  a: Numbers,
  b: Numbers,
  options: { level?: number; limitIntervals?: LimitIntervals; coverage?: number } = {},
): Agreement {
  knownOptions(options, ["level", "limitIntervals", "coverage"], "agreement");
  const { level = 0.95, limitIntervals = "exact", coverage = 0.95 } = options;
  confidenceLevel(level, "agreement");
  confidenceLevel(coverage, "agreement, coverage");
  oneOf(limitIntervals, ["exact", "1986"], "agreement, limitIntervals");
  const pairs = pairColumns(b, a, "agreement", { names: ["second", "first"], least: 3 });
  const n = pairs.changes.length;
  const bias = mean(pairs.changes);
  const sd = sdOfChanges(pairs);
  const z = normal(0, 1).quantile((1 + coverage) / 2);
  const reach = limitIntervals === "exact" ? exactReach : approximateReach;
  const { near, far } = reach(n, z, level);
  const method =
    limitIntervals === "exact" ? "non-central t" : "t √(3 s²/n), Bland and Altman 1986";
  const limit = (side: number): Estimate => ({
    value: bias + side * z * sd,
    ...(limitIntervals === "1986" ? { se: sd * Math.sqrt(3 / n) } : {}),
    interval: spread(bias, side * sd, near, far, level, method),
  });
  const warnings: string[] = [];
  if (sd === 0) warnings.push("Every difference is the same: the limits have no width and no t.");
  return frozen({
    kind: "agreement",
    n,
    bias: tEstimate(bias, sd / Math.sqrt(n), n - 1, level, "paired t"),
    lower: limit(-1),
    upper: limit(1),
    sdDifference: sd,
    ...proportional(pairs, sd === 0, level, warnings),
    coverage,
    method: `limits bias ± ${z.toFixed(3)} sd, their intervals by ${method}`,
    warnings,
  });
}

/** Ends of a limit's interval as multiples of sd from the bias, the near end and the far. */
interface Reach {
  readonly near: number;
  readonly far: number;
}

/** Exact for one limit at a time: quantiles of t with shift z√n. */
function exactReach(n: number, z: number, level: number): Reach {
  const t = noncentralT(n - 1, z * Math.sqrt(n));
  return {
    near: t.quantile((1 - level) / 2) / Math.sqrt(n),
    far: t.quantile((1 + level) / 2) / Math.sqrt(n),
  };
}

function approximateReach(n: number, z: number, level: number): Reach {
  const half = studentT(n - 1).quantile((1 + level) / 2) * Math.sqrt(3 / n);
  return { near: z - half, far: z + half };
}

function spread(
  bias: number,
  signedSd: number,
  near: number,
  far: number,
  level: number,
  method: string,
): Interval {
  const ends = [bias + signedSd * near, bias + signedSd * far];
  return { low: Math.min(...ends), high: Math.max(...ends), level, method };
}

function proportional(
  { before: second, after: first, changes: differences }: Pairs,
  constant: boolean,
  level: number,
  warnings: string[],
): { proportional?: Estimate } {
  const n = first.length;
  const size = first.map((value, i) => value / 2 + realAt(second, i) / 2);
  if (size.every((value) => value === size[0])) {
    warnings.push(
      "The means of the pairs do not differ, so proportional bias cannot be estimated.",
    );
    return {};
  }
  const xx = sumOfSquaredDeviations(size);
  const slope = constant ? 0 : sumOfProductDeviations(size, differences) / xx;
  const residuals = differences.map((value, i) => value - slope * realAt(size, i));
  const se = constant ? 0 : Math.sqrt(sumOfSquaredDeviations(residuals) / (n - 2) / xx);
  return {
    proportional: tEstimate(slope, se, n - 2, level, "slope of difference on mean, t"),
  };
}

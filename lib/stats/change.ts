import { present, realAt } from "../entry.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Description, describe, meanAndSd } from "./describe.js";
import { hedgesFactor, scaledInterval, shiftLimits } from "./effect.js";
import { type Estimate, frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel } from "./input.js";
import { type Pairs, pairColumns, sdOfChanges } from "./pairs.js";
import { tEstimate } from "./t-estimate.js";

/** What the same people changed by, in their own unit, in percent and standardised. */
export interface PairedChange {
  /** Name of the function that made this record. */
  readonly kind: "pairedChange";
  /** Number of people. */
  readonly n: number;
  /** The first occasion in numbers. */
  readonly before: Description;
  /** The second occasion in numbers. */
  readonly after: Description;
  /** Mean of after − before, in the unit of the columns. */
  readonly change: Estimate;
  /** 100 (ratio of geometric means − 1); left out where a value is not positive. */
  readonly percent?: Estimate;
  /** Standard deviation of the changes, divisor n − 1. */
  readonly sdChange: number;
  /** change / sdChange; left out where every change is the same. */
  readonly dz?: number;
  /** Interval of dz, from the non-central t distribution. */
  readonly dzInterval?: Interval;
  /** change / √((s²before + s²after) / 2). */
  readonly dAv?: number;
  /** Interval of dAv, from the non-central t distribution. */
  readonly dAvInterval?: Interval;
  /** dAv × J(n − 1). */
  readonly hedgesGAv?: number;
  /** Interval of hedgesGAv, from the non-central t distribution. */
  readonly hedgesGAvInterval?: Interval;
  /** Pearson correlation of before with after. */
  readonly correlation?: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Change of the same people between two occasions, after − before.
 *
 * change = mean of dᵢ = afterᵢ − beforeᵢ, se = s_d / √n, t with n − 1 degrees of freedom;
 * percent = 100 (exp(mean of ln(afterᵢ / beforeᵢ)) − 1), its interval from the logarithms;
 * dz = change / s_d; dAv = change / √((s²before + s²after) / 2); hedgesGAv = J(n − 1) dAv.
 * Intervals of dz and dAv invert the non-central t distribution; hedgesGAv corrects the estimate
 * alone and has the interval of dAv, because both estimate one effect.
 *
 * @param before first occasion, one value per person, any unit
 * @param after second occasion, the same people in the same order and unit
 * @returns the change in the unit of the columns, percent in %, standardised effects without unit;
 *   what does not exist (percent of values that are not positive, t when every change is the same)
 *   is left out and named in `warnings`
 * @throws InputError when lengths differ, there are fewer than two people or a value is not finite
 * @see Student (1908) Biometrika 6:1–25; Lakens (2013) Front Psychol 4:863 for dz and dAv;
 *   Algina & Keselman (2003) Educ Psychol Meas 63:537–553 for their intervals
 * @example pairedChange([1, 2, 3], [2, 3, 5]).change.value // 1.3333333333333333
 */
export function pairedChange(
  before: Numbers,
  after: Numbers,
  options: { level?: number } = {},
): PairedChange {
  knownOptions(options, ["level"], "pairedChange");
  const { level = 0.95 } = options;
  const pairs = pairColumns(before, after, "pairedChange");
  confidenceLevel(level, "pairedChange");
  const n = pairs.changes.length;
  const warnings: string[] = [];
  const change = changeEstimate(pairs, level);
  const sdChange = sdOfChanges(pairs);
  if (sdChange === 0) {
    warnings.push(
      "Every change is the same: the standard error is 0 and there is no t, p, dz or interval width.",
    );
  }
  return frozen({
    kind: "pairedChange",
    n,
    before: describe(pairs.before),
    after: describe(pairs.after),
    change,
    ...percentChange(pairs, level, warnings),
    sdChange,
    ...standardised(pairs, change, level, warnings),
    ...pearson(pairs.before, pairs.after, warnings),
    method: "after − before, paired t with n − 1 degrees of freedom",
    warnings,
  });
}

/** Mean of the changes with Student's t interval on n − 1 degrees of freedom. */
export function changeEstimate(pairs: Pairs, level: number): Estimate {
  const n = pairs.changes.length;
  const se = sdOfChanges(pairs) / Math.sqrt(n);
  return tEstimate(mean(pairs.changes), se, n - 1, level, "paired t");
}

function percentChange(
  { before, after }: Pairs,
  level: number,
  warnings: string[],
): { percent?: Estimate } {
  if (!before.every((value) => value > 0) || !after.every((value) => value > 0)) {
    warnings.push("Not every value is positive, so the percent change is left out.");
    return {};
  }
  const logs = pairColumns(before.map(Math.log), after.map(Math.log), "pairedChange, logarithms");
  const { value, df, statistic, p, interval } = changeEstimate(logs, level);
  const percent = (log: number) => 100 * Math.expm1(log);
  const high = percent(present(interval).high);
  if (high === Number.POSITIVE_INFINITY) {
    warnings.push("The interval of the percent change has no finite upper end and is left out.");
  }
  const method = "ratio of geometric means, paired t on logarithms";
  return {
    percent: {
      value: percent(value),
      df: present(df),
      ...(statistic === undefined ? {} : { statistic, p: present(p) }),
      ...(Number.isFinite(high)
        ? { interval: { low: percent(present(interval).low), high, level, method } }
        : {}),
    },
  };
}

type Standardised = Pick<
  PairedChange,
  "dz" | "dzInterval" | "dAv" | "dAvInterval" | "hedgesGAv" | "hedgesGAvInterval"
>;

function standardised(
  { before, after }: Pairs,
  { value, se, df, statistic: t }: Estimate,
  level: number,
  warnings: string[],
): Standardised {
  const n = before.length;
  const shift = t === undefined ? undefined : shiftLimits(t, present(df), level);
  const interval = (scale: number, what: string) =>
    shift && scaledInterval(shift, scale, level, `non-central t, ${what}`);
  const perPerson = t === undefined ? undefined : t / Math.sqrt(n);
  const dz = withInterval("dz", perPerson, interval(1 / Math.sqrt(n), "dz"));
  const averageSd = Math.hypot(meanAndSd(before).sd, meanAndSd(after).sd) / Math.SQRT2;
  if (averageSd === 0) {
    warnings.push("Neither occasion varies between people, so dAv is left out.");
    return dz;
  }
  const limits = interval(present(se) / averageSd, "dAv");
  const dAv = withInterval("dAv", value / averageSd, limits);
  if (n === 2) {
    warnings.push("Hedges' factor is 0 with one degree of freedom, so hedgesGAv is left out.");
    return { ...dz, ...dAv };
  }
  const scale = hedgesFactor(n - 1) / averageSd;
  // J corrects the estimate; the limits of the true effect are exact without it.
  const g = withInterval("hedgesGAv", value * scale, limits);
  return { ...dz, ...dAv, ...g };
}

function withInterval(name: "dz" | "dAv" | "hedgesGAv", value?: number, interval?: Interval) {
  return {
    ...(value === undefined ? {} : { [name]: value }),
    ...(interval === undefined ? {} : { [`${name}Interval`]: interval }),
  };
}

function pearson(
  before: Float64Array,
  after: Float64Array,
  warnings: string[],
): { correlation?: number } {
  const first = meanAndSd(before);
  const second = meanAndSd(after);
  if (first.sd === 0 || second.sd === 0) {
    warnings.push("One occasion does not vary between people, so there is no correlation.");
    return {};
  }
  const scores = before.map(
    (value, i) =>
      ((value - first.mean) / first.sd) * ((realAt(after, i) - second.mean) / second.sd),
  );
  const r = (mean(scores) * before.length) / (before.length - 1);
  return { correlation: Math.max(-1, Math.min(1, r)) };
}

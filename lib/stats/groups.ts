import { knownOptions } from "../options.js";
import { type Description, describe } from "./describe.js";
import { hedgesFactor, scaledInterval, shiftLimits } from "./effect.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, numbers, oneOf } from "./input.js";
import { tEstimate } from "./t-estimate.js";

/** Two groups of different people compared. */
export interface GroupComparison {
  /** Name of the function that made this record. */
  readonly kind: "compareGroups";
  /** People in both groups. */
  readonly n: number;
  /** The first group in numbers. */
  readonly first: Description;
  /** The second group in numbers. */
  readonly second: Description;
  /** Mean of the first group − mean of the second, in the unit of the columns. */
  readonly difference: Estimate;
  /** Difference / pooled standard deviation × J(n₁ + n₂ − 2); left out where nothing varies. */
  readonly hedgesG?: Estimate;
  /** √(((n₁ − 1)s₁² + (n₂ − 1)s₂²) / (n₁ + n₂ − 2)). */
  readonly pooledSd: number;
  /** Whether the groups have a variance each (Welch) or share one (Student). */
  readonly variances: "unequal" | "equal";
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Difference of the means of two groups of different people, first − second.
 *
 * "unequal": Welch's t, se = √(s₁²/n₁ + s₂²/n₂), df = se⁴ / (s₁⁴/(n₁²(n₁ − 1)) + s₂⁴/(n₂²(n₂ − 1)));
 * "equal": se = s_p √(1/n₁ + 1/n₂), df = n₁ + n₂ − 2. hedgesG = J(n₁ + n₂ − 2) · difference / s_p
 * whichever is asked, its interval from the non-central t distribution with equal variances.
 *
 * @param a values of the first group, at least two, any unit
 * @param b values of the second group, at least two, the same unit
 * @returns the difference in the unit of the columns, hedgesG without unit
 * @throws InputError when a group has fewer than two values or a value is not finite
 * @see Welch (1947) Biometrika 34:28–35; Hedges (1981) J Educ Stat 6:107–128
 * @example compareGroups([5, 7, 9], [1, 2, 3]).difference.value // 5
 */
export function compareGroups(
  a: Numbers,
  b: Numbers,
  options: { level?: number; variances?: "unequal" | "equal" } = {},
): GroupComparison {
  knownOptions(options, ["level", "variances"], "compareGroups");
  const { level = 0.95, variances = "unequal" } = options;
  confidenceLevel(level, "compareGroups");
  oneOf(variances, ["unequal", "equal"], "compareGroups, variances");
  const first = describe(numbersOf(a, "first group"));
  const second = describe(numbersOf(b, "second group"));
  const df = first.n + second.n - 2;
  const pooledSd = Math.sqrt(
    ((first.n - 1) * first.sd ** 2 + (second.n - 1) * second.sd ** 2) / df,
  );
  const pooledSe = pooledSd * Math.sqrt(1 / first.n + 1 / second.n);
  const value = first.mean - second.mean;
  const warnings = pooledSd === 0 ? ["Neither group varies, so there is no t, p or hedgesG."] : [];
  return frozen({
    kind: "compareGroups",
    n: first.n + second.n,
    first,
    second,
    difference:
      variances === "equal"
        ? tEstimate(value, pooledSe, df, level, "t, equal variances")
        : welch(first, second, level),
    ...(pooledSd === 0 ? {} : { hedgesG: hedges(value, pooledSd, pooledSe, df, level) }),
    pooledSd,
    variances,
    method:
      variances === "equal" ? "two-sample t, equal variances" : "Welch's t, unequal variances",
    warnings,
  });
}

function numbersOf(column: Numbers, which: string): Float64Array {
  return numbers(column, `compareGroups, ${which}`, 2);
}

/** First mean − second mean, with Welch's interval: each group has a variance of its own. */
export function welch(first: Description, second: Description, level: number): Estimate {
  const value = first.mean - second.mean;
  const se = Math.hypot(first.se, second.se);
  const [u, v] = se === 0 ? [0.5, 0.5] : [(first.se / se) ** 2, (second.se / se) ** 2];
  const df = 1 / (u ** 2 / (first.n - 1) + v ** 2 / (second.n - 1));
  return tEstimate(value, se, df, level, "Welch's t");
}

function hedges(value: number, sd: number, se: number, df: number, level: number): Estimate {
  const factor = hedgesFactor(df) / sd;
  const shift = shiftLimits(value / se, df, level);
  const method = "non-central t, equal variances";
  return { value: value * factor, df, interval: scaledInterval(shift, se * factor, level, method) };
}

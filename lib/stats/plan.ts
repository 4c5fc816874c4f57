import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import {
  bothTails,
  detectable,
  finite,
  positive,
  secondGroup,
  smallest,
  wantedPower,
} from "./plan-search.js";

/** A change of the same people that a study is meant to detect. */
export interface PairedDesign {
  /** Mean change to detect, any unit; its sign does not matter. */
  readonly difference: number;
  /** SD of the changes, same unit (√2 × typical error when everyone responds alike). */
  readonly sdChange: number;
  /** Confidence level of the two-sided test, default 0.95. */
  readonly level?: number;
}

/** A difference of two groups that a study is meant to detect. */
export interface GroupsDesign {
  /** Difference of the group means to detect, any unit. */
  readonly difference: number;
  /** SD within each group, same unit. */
  readonly sd: number;
  /** Confidence level of the two-sided test, default 0.95. */
  readonly level?: number;
}

/** Number of people for a paired comparison. */
export interface PairedPlan {
  /** Name of the function that made this record. */
  readonly kind: "planPaired";
  /** People. */
  readonly n: number;
  /** Power with that n: at least what was asked. */
  readonly power: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/** Numbers of people for a comparison of two groups. */
export interface GroupsPlan {
  /** Name of the function that made this record. */
  readonly kind: "planTwoGroups";
  /** People in the first group. */
  readonly n1: number;
  /** People in the second group. */
  readonly n2: number;
  /** Power with those sizes: at least what was asked. */
  readonly power: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/** Number of people for an interval of a given half-width. */
export interface PrecisionPlan {
  /** Name of the function that made this record. */
  readonly kind: "planPrecision";
  /** People. */
  readonly n: number;
  /** Half-width of the interval with that n: at most what was asked. */
  readonly halfWidth: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Power of a paired t test (or of a one-sample t test on changes), two-sided.
 *
 *   T ~ non-central t(n − 1, √n · difference/sdChange);  power = P(|T| > t₁₋α/₂),  α = 1 − level
 *
 * Both tails count. It answers for the numbers given: with a guessed SD the power is a guess.
 *
 * @returns a probability
 * @throws InputError when n is not a whole number of at least 2, sdChange is not positive, or a
 *   value is not finite
 * @see Cohen (1988) Statistical power analysis for the behavioral sciences, 2nd ed., sect. 2.3
 * @example powerPaired({ n: 40, difference: 8, sdChange: 14.310835055998654 }) // 0.9315248253
 */
export function powerPaired(design: PairedDesign & { readonly n: number }): number {
  const where = "powerPaired";
  knownOptions(design, ["difference", "sdChange", "level", "n"], where);
  const { difference, sdChange, level } = pairedNumbers(design, where);
  return pairedPower(wholeNumber(design.n, where, "n"), difference / sdChange, level);
}

/**
 * Number of pairs for a paired t test, the smallest whole number with the power asked.
 *
 * Power as in `powerPaired`: non-central t, both tails, no normal approximation. People who drop
 * out are not counted: divide by the share expected to finish.
 *
 * @param design difference and sdChange in one unit; `power` as a fraction, default 0.8
 * @throws InputError when the difference is 0, sdChange is not positive, or level or power is not
 *   between 0 and 1
 * @see Cohen (1988) Statistical power analysis for the behavioral sciences, 2nd ed., sect. 2.4
 * @example planPaired({ difference: 1.6, sdChange: 2.1213203435596424 }).n // 16
 */
export function planPaired(design: PairedDesign & { readonly power?: number }): PairedPlan {
  const where = "planPaired";
  knownOptions(design, ["difference", "sdChange", "level", "power"], where);
  const { difference, sdChange, level } = pairedNumbers(design, where);
  const wanted = wantedPower(design.power, where);
  const effect = detectable(difference / sdChange, where);
  const n = smallest((size) => pairedPower(size, effect, level) >= wanted, where);
  const method = `paired t, two-sided, level ${level}, non-central t`;
  return frozen({
    kind: "planPaired",
    n,
    power: pairedPower(n, effect, level),
    method,
  } as const);
}

/**
 * Power of a two-sample t test with equal variances, two-sided, both tails counted.
 *
 *   T ~ non-central t(n1 + n2 − 2, difference / (sd·√(1/n1 + 1/n2)))
 *
 * @returns a probability
 * @throws InputError when n1 or n2 is not a whole number of at least 2 or sd is not positive
 * @see Cohen (1988) Statistical power analysis for the behavioral sciences, 2nd ed., sect. 2.3
 * @example powerTwoGroups({ n1: 20, n2: 20, difference: 1, sd: 1 }) // 0.868953028
 */
export function powerTwoGroups(
  design: GroupsDesign & { readonly n1: number; readonly n2: number },
): number {
  const where = "powerTwoGroups";
  knownOptions(design, ["difference", "sd", "level", "n1", "n2"], where);
  const { difference, sd, level } = groupNumbers(design, where);
  const n1 = wholeNumber(design.n1, where, "n1");
  return groupPower(n1, wholeNumber(design.n2, where, "n2"), difference / sd, level);
}

/**
 * Sizes of two groups for a two-sample t test, the smallest whole numbers with the power asked.
 *
 * `ratio` = n2/n1 (default 1); n2 is n1·ratio rounded up. Power as in `powerTwoGroups`. People who
 * drop out are not counted.
 *
 * @param design difference and sd in one unit; `power` as a fraction, default 0.8
 * @throws InputError when the difference is 0, sd or ratio is not positive, or level or power is
 *   not between 0 and 1
 * @see Cohen (1988) Statistical power analysis for the behavioral sciences, 2nd ed., sect. 2.4
 * @example planTwoGroups({ difference: 1, sd: 1, power: 0.9 }).n1 // 23
 */
export function planTwoGroups(
  design: GroupsDesign & { readonly power?: number; readonly ratio?: number },
): GroupsPlan {
  const where = "planTwoGroups";
  knownOptions(design, ["difference", "sd", "level", "power", "ratio"], where);
  const { difference, sd, level } = groupNumbers(design, where);
  const wanted = wantedPower(design.power, where);
  const ratio = positive(design.ratio ?? 1, where, "ratio");
  const effect = detectable(difference / sd, where);
  const second = (n1: number) => secondGroup(n1, ratio);
  const power = (n1: number) => groupPower(n1, second(n1), effect, level);
  const n1 = smallest((size) => power(size) >= wanted, where);
  const method = `two-sample t, equal variances, two-sided, level ${level}, non-central t`;
  const sizes = { n1, n2: second(n1), power: power(n1) };
  return frozen({ kind: "planTwoGroups", ...sizes, method } as const);
}

/**
 * Number of pairs that makes the confidence interval of a mean change as narrow as asked.
 *
 *   smallest n with t₁₋α/₂(n − 1) · sdChange/√n ≤ halfWidth
 *
 * With the SD as given; about half of such studies will see a larger SD and a wider interval.
 *
 * @param design halfWidth and sdChange in one unit
 * @throws InputError when halfWidth or sdChange is not positive, or level is not between 0 and 1
 * @see Kelley, Rausch (2006) Psychol Methods 11:363–385
 * @example planPrecision({ halfWidth: 1, sdChange: 2 }).n // 18
 */
export function planPrecision(design: {
  readonly halfWidth: number;
  readonly sdChange: number;
  readonly level?: number;
}): PrecisionPlan {
  const where = "planPrecision";
  knownOptions(design, ["halfWidth", "sdChange", "level"], where);
  const wanted = positive(design.halfWidth, where, "halfWidth");
  const sdChange = positive(design.sdChange, where, "sdChange");
  const level = confidenceLevel(design.level ?? 0.95, where);
  const halfWidth = (n: number) =>
    (studentT(n - 1).quantile((1 + level) / 2) * sdChange) / Math.sqrt(n);
  const n = smallest((size) => halfWidth(size) <= wanted, where);
  const method = `t interval of a mean change, level ${level}`;
  return frozen({ kind: "planPrecision", n, halfWidth: halfWidth(n), method } as const);
}

function pairedPower(n: number, effect: number, level: number): number {
  return bothTails(n - 1, Math.abs(effect) * Math.sqrt(n), level);
}

function groupPower(n1: number, n2: number, effect: number, level: number): number {
  return bothTails(n1 + n2 - 2, Math.abs(effect) / Math.sqrt(1 / n1 + 1 / n2), level);
}

function pairedNumbers(design: PairedDesign, where: string) {
  const difference = finite(design.difference, where, "difference");
  const sdChange = positive(design.sdChange, where, "sdChange");
  return { difference, sdChange, level: confidenceLevel(design.level ?? 0.95, where) };
}

function groupNumbers(design: GroupsDesign, where: string) {
  const difference = finite(design.difference, where, "difference");
  const sd = positive(design.sd, where, "sd");
  return { difference, sd, level: confidenceLevel(design.level ?? 0.95, where) };
}

function wholeNumber(value: number, where: string, name: string): number {
  if (Number.isSafeInteger(value) && value >= 2) return value;
  const expected = "a whole number of at least 2";
  throw new InputError({ expected, got: shown(value), where: `${where}, ${name}` });
}

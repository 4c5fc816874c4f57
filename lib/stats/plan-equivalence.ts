import { InputError } from "../errors.js";
import { normal, studentT } from "../num/distributions.js";
import { integral } from "../num/quadrature.js";
import { logGamma } from "../num/special.js";
import { knownOptions } from "../options.js";
import { checkLimits } from "./equivalence.js";
import { frozen } from "./estimate.js";
import { shown } from "./input.js";
import { finite, positive, smallest, wantedPower } from "./plan-search.js";

/** A study that is meant to show equivalence. */
export interface EquivalenceDesign {
  /** True difference, any unit, default 0; it must lie within the limits. */
  readonly difference?: number;
  /** SD of the changes when paired, SD within each group otherwise, same unit. */
  readonly sd: number;
  /** Limits of equivalence, same unit. */
  readonly low: number;
  /** Upper limit of equivalence, same unit. */
  readonly high: number;
  /** One-sided level of each test, default 0.05. */
  readonly alpha?: number;
  /** Whether the same people are measured twice; otherwise two groups of n people. */
  readonly paired: boolean;
}

/** Number of people for a test of equivalence. */
export interface EquivalencePlan {
  /** Name of the function that made this record. */
  readonly kind: "planEquivalence";
  /** People, or people per group. */
  readonly n: number;
  /** Power with that n: at least what was asked. */
  readonly power: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Number of people for a test of equivalence (two one-sided t tests), the smallest with the power
 * asked.
 *
 * Exact: with se = sd/√n (paired, n − 1 df) or sd√(2/n) (groups, 2n − 2 df), the probability
 * P(low + t s < estimate < high − t s) given the ratio of the observed to the true SD, integrated
 * over the χ distribution of that ratio.
 *
 * @param design difference, sd and limits in one unit; `power` as a fraction, default 0.8
 * @returns a whole number of people (per group when not paired)
 * @throws InputError when low is not below high, the difference lies outside the limits, sd is not
 *   positive, alpha is not between 0 and 0.5, or power is not between 0 and 1
 * @see Schuirmann (1987) J Pharmacokinet Biopharm 15:657–680; Owen (1965) Biometrika 52:437–446
 * @example planEquivalence({ sd: 2, low: -2, high: 2, paired: true }).n // 11
 */
export function planEquivalence(
  design: EquivalenceDesign & { readonly power?: number },
): EquivalencePlan {
  const where = "planEquivalence";
  knownOptions(design, ["difference", "sd", "low", "high", "alpha", "paired", "power"], where);
  const plan = checked(design, where);
  if (!(plan.difference > plan.low && plan.difference < plan.high)) {
    const expected = "a true difference within the limits";
    throw new InputError({ expected, got: `${plan.difference}`, where: `${where}, difference` });
  }
  const wanted = wantedPower(design.power, where);
  const n = smallest((size) => powerOf(size, plan) >= wanted, where);
  return frozen({
    kind: "planEquivalence" as const,
    n,
    power: powerOf(n, plan),
    method: `two one-sided t tests, alpha ${plan.alpha}, ${plan.paired ? "paired" : "two groups of n"}, exact`,
  });
}

/**
 * Power of a test of equivalence with n people (per group when not paired); as in
 * `planEquivalence`.
 *
 * @returns a probability
 * @throws InputError when n is not a whole number of at least 2, or as `planEquivalence` does
 * @see Owen (1965) Biometrika 52:437–446
 * @example powerEquivalence({ n: 12, sd: 2, low: -2, high: 2, paired: true }) // 0.8893810961
 */
export function powerEquivalence(design: EquivalenceDesign & { readonly n: number }): number {
  const where = "powerEquivalence";
  knownOptions(design, ["difference", "sd", "low", "high", "alpha", "paired", "n"], where);
  const plan = checked(design, where);
  if (!Number.isSafeInteger(design.n) || design.n < 2) {
    const expected = "a whole number of at least 2";
    throw new InputError({ expected, got: shown(design.n), where: `${where}, n` });
  }
  return powerOf(design.n, plan);
}

type Plan = Required<EquivalenceDesign>;

function checked(design: EquivalenceDesign, where: string): Plan {
  const { difference = 0, low, high, alpha = 0.05, paired } = design;
  checkLimits({ low, high, alpha }, where);
  if (typeof paired !== "boolean") {
    const expected = "true (the same people twice) or false (two groups)";
    throw new InputError({ expected, got: shown(paired), where: `${where}, paired` });
  }
  const sd = positive(design.sd, where, "sd");
  return { difference: finite(difference, where, "difference"), sd, low, high, alpha, paired };
}

function powerOf(n: number, { difference, sd, low, high, alpha, paired }: Plan): number {
  const df = paired ? n - 1 : 2 * n - 2;
  const se = paired ? sd / Math.sqrt(n) : sd * Math.sqrt(2 / n);
  const t = studentT(df).quantile(1 - alpha);
  const z = normal();
  // beyond this ratio of observed to true SD the interval is wider than the limits are apart
  const widest = (high - low) / (2 * t * se);
  const spread = 12 / Math.sqrt(2 * df);
  const from = Math.max(0, 1 - spread);
  const to = Math.min(widest, 1 + spread + 6 / df);
  if (to <= from) return 0;
  const constant = Math.LN2 + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  const between = (ratio: number) => {
    const density = Math.exp(constant + (df - 1) * Math.log(ratio) - (df * ratio * ratio) / 2);
    const upper = (high - difference) / se - t * ratio;
    const lower = (low - difference) / se + t * ratio;
    return density * Math.max(0, z.cdf(upper) - z.cdf(lower));
  };
  return Math.min(1, integral(between, from, to, 24));
}

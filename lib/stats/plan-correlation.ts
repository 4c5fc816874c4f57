import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { integral } from "../num/quadrature.js";
import { logGamma } from "../num/special.js";
import { knownOptions } from "../options.js";
import { frozen } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import { detectable, smallest, wantedPower } from "./plan-search.js";

/** A correlation that a study is meant to detect. */
export interface CorrelationDesign {
  /** Correlation to detect, between −1 and 1; its sign does not matter. */
  readonly correlation: number;
  /** Confidence level of the two-sided test, default 0.95. */
  readonly level?: number;
}

/** Number of people for a correlation. */
export interface CorrelationPlan {
  /** Name of the function that made this record. */
  readonly kind: "planCorrelation";
  /** People. */
  readonly n: number;
  /** Power with that n: at least what was asked. */
  readonly power: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Number of people for the t test of a Pearson correlation, the smallest with the power asked.
 *
 * Exact for two normal columns: the density of r (Hotelling 1953)
 * (n − 2) Γ(n − 1)/(√(2π) Γ(n − ½)) · (1 − ρ²)^((n − 1)/2) (1 − r²)^((n − 4)/2) (1 − ρr)^(3/2 − n) ·
 * ₂F₁(½, ½; n − ½; (1 + ρr)/2) is integrated beyond the critical values of r, both tails.
 *
 * @param design correlation without unit; `power` as a fraction, default 0.8
 * @returns a whole number of people, at least 4
 * @throws InputError when the correlation is 0 or not between −1 and 1, or level or power is not
 *   between 0 and 1
 * @see Hotelling (1953) J R Stat Soc B 15:193–232
 * @example planCorrelation({ correlation: 0.5 }).n // 29
 */
export function planCorrelation(
  design: CorrelationDesign & { readonly power?: number },
): CorrelationPlan {
  const where = "planCorrelation";
  knownOptions(design, ["correlation", "level", "power"], where);
  const { rho, level } = checked(design, where);
  detectable(rho, where);
  const wanted = wantedPower(design.power, where);
  const n = smallest((size) => powerOf(size, rho, level) >= wanted, where, 4);
  return frozen({
    kind: "planCorrelation" as const,
    n,
    power: powerOf(n, rho, level),
    method: `t test of r, two-sided, level ${level}, exact density of r`,
  });
}

/**
 * Power of the t test of a Pearson correlation, two-sided, both tails counted; as in
 * `planCorrelation`.
 *
 * @returns a probability
 * @throws InputError when n is not a whole number of at least 4, or as `planCorrelation` does
 * @see Hotelling (1953) J R Stat Soc B 15:193–232
 * @example powerCorrelation({ n: 20, correlation: 0.5 }) // 0.6416563172
 */
export function powerCorrelation(design: CorrelationDesign & { readonly n: number }): number {
  const where = "powerCorrelation";
  knownOptions(design, ["correlation", "level", "n"], where);
  const { rho, level } = checked(design, where);
  if (!Number.isSafeInteger(design.n) || design.n < 4) {
    const expected = "a whole number of at least 4";
    throw new InputError({ expected, got: shown(design.n), where: `${where}, n` });
  }
  return powerOf(design.n, rho, level);
}

function checked({ correlation, level = 0.95 }: CorrelationDesign, where: string) {
  confidenceLevel(level, where);
  if (typeof correlation === "number" && Math.abs(correlation) < 1) {
    return { rho: Math.abs(correlation), level };
  }
  const expected = "a correlation between −1 and 1";
  throw new InputError({ expected, got: shown(correlation), where: `${where}, correlation` });
}

/**
 * Both tails of r beyond its critical value. On z = artanh r the density is smooth and close to
 * normal about artanh ρ with an SD of 1/√(n − 3), so that the tail ends 12 SDs out (at n = 4, where
 * it falls only as e^(−z), later).
 */
function powerOf(n: number, rho: number, level: number): number {
  const t = studentT(n - 2).quantile((1 + level) / 2);
  const critical = Math.asinh(t / Math.sqrt(n - 2)); // artanh of t/√(t² + n − 2)
  const density = densityOnZ(n, rho);
  const reach = 12 / Math.sqrt(n - 3) + 40 / (n - 3);
  const centre = Math.atanh(rho);
  const upper = integral(density, critical, Math.max(critical, centre) + reach, 40);
  const lower = integral(density, -critical - reach, -critical, 40);
  return Math.min(1, upper + lower);
}

/** Density of z = artanh r. */
function densityOnZ(n: number, rho: number): (z: number) => number {
  const constant =
    Math.log(n - 2) + logGamma(n - 1) - logGamma(n - 0.5) - Math.log(2 * Math.PI) / 2;
  const spread = ((n - 1) / 2) * Math.log1p(-rho * rho);
  return (z) => {
    const r = Math.tanh(z);
    // 1 − r² = 1/cosh²z, and dr = dz/cosh²z
    const flat = -2 * logCosh(z) * ((n - 4) / 2 + 1);
    const log = constant + spread + flat - (n - 1.5) * Math.log1p(-rho * r);
    return Math.exp(log) * hypergeometric(n - 0.5, (1 + rho * r) / 2);
  };
}

function logCosh(z: number): number {
  const size = Math.abs(z);
  return size + Math.log1p(Math.exp(-2 * size)) - Math.LN2;
}

/** ₂F₁(½, ½; c; x) for 0 ≤ x < 1 and c > 1. */
function hypergeometric(c: number, x: number): number {
  let term = 1;
  let total = 1;
  for (let j = 0; j < 10_000; j++) {
    term *= ((0.5 + j) ** 2 / ((c + j) * (1 + j))) * x;
    total += term;
    if (term < 1e-17 * total) break;
  }
  return total;
}

import { InputError } from "../errors.js";
import { chiSquared, noncentralT, normal } from "../num/distributions.js";
import { findRoot } from "../num/root.js";
import { gammaRatio } from "../num/special.js";
import type { Interval } from "./estimate.js";
import { shown } from "./input.js";

/**
 * Hedges' small-sample factor J, which removes the upward bias of a standardised mean difference.
 *
 * J(m) = Γ(m/2) / (√(m/2) · Γ((m − 1)/2)), exact, not the approximation 1 − 3/(4m − 1).
 *
 * @param df degrees of freedom m of the standard deviation, above 1
 * @returns a factor between 0 and 1
 * @throws InputError when `df` is not a finite number above 1 (at 1 the factor is 0)
 * @see Hedges (1981) J Educ Stat 6:107–128, Table 1
 * @example hedgesFactor(9) // 0.9138748917925525
 */
export function hedgesFactor(df: number): number {
  if (typeof df !== "number" || !Number.isFinite(df) || df <= 1) {
    throw new InputError({
      expected: "degrees of freedom above 1",
      got: shown(df),
      where: "hedgesFactor",
    });
  }
  return gammaRatio(df / 2, (df - 1) / 2) / Math.sqrt(df / 2);
}

/** Limits of the non-centrality of an observed t, from which intervals of standardised effects follow. */
export interface ShiftLimits {
  /** Lower limit of the non-centrality. */
  readonly low: number;
  /** Upper limit of the non-centrality. */
  readonly high: number;
}

/**
 * The shifts (non-centralities) under which an observed t sits at the two tail probabilities.
 *
 * @see Steiger & Fouladi (1997) in Harlow, Mulaik & Steiger, What if there were no significance
 *   tests?, 221–257; Algina & Keselman (2003) Educ Psychol Meas 63:537–553 for the paired case
 */
export function shiftLimits(t: number, df: number, level: number): ShiftLimits {
  const tail = (1 - level) / 2;
  return { low: shiftAt(t, df, 1 - tail), high: shiftAt(t, df, tail) };
}

/** Interval of effect = t · scale from the limits of the shift. */
export function scaledInterval(
  shift: ShiftLimits,
  scale: number,
  level: number,
  method: string,
): Interval {
  return { low: scale * shift.low, high: scale * shift.high, level, method };
}

/** The non-centrality at which P(T ≤ t) = probability; it falls as the probability rises. */
function shiftAt(t: number, df: number, probability: number): number {
  if (t * t > 1e6 * df) return distantShift(t, df, probability);
  const miss = (shift: number) => noncentralT(df, shift).cdf(t) - probability;
  // Normal approximation of the limit; the bracket is widened until it holds the root.
  const sd = Math.sqrt(1 + (t * t) / (2 * df));
  const start = t - normal(0, 1).quantile(probability) * sd;
  let low = start - sd / 4;
  let high = start + sd / 4;
  for (let step = sd / 2; miss(low) < 0; step *= 2) low -= step;
  for (let step = sd / 2; miss(high) > 0; step *= 2) high += step;
  return findRoot(miss, low, high, { tolerance: 1e-13 });
}

/**
 * The same for a t so large that the normal part Z of T = (Z + shift)/S hardly counts: the shift is a
 * quantile of tS + Z, that is t·s for the quantile s of S = √(χ²/df), moved by the unit variance of Z
 * by −½ g′(s)/(g(s) t), g the density of S. The next term is smaller by df/t², at most 1e-6.
 */
function distantShift(t: number, df: number, probability: number): number {
  const chi = chiSquared(df).quantile(t > 0 ? 1 - probability : probability);
  const s = Math.sqrt(chi / df);
  return t * s - ((df - 1) / s - df * s) / (2 * t);
}

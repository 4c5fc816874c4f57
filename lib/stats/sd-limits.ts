import { chiSquared } from "../num/distributions.js";
import type { Interval } from "./estimate.js";

/** Factors of a standard deviation on `df` degrees of freedom that give its χ² limits. */
export function sdFactors(df: number, level: number): { low: number; high: number } {
  const distribution = chiSquared(df);
  const factor = (probability: number) => Math.sqrt(df / distribution.quantile(probability));
  return { low: factor((1 + level) / 2), high: factor((1 - level) / 2) };
}

/** χ² interval of a standard deviation, or of a multiple of one. */
export function sdInterval(value: number, df: number, level: number, method: string): Interval {
  const { low, high } = sdFactors(df, level);
  return { low: value * low, high: value * high, level, method };
}

/** A variance with its χ² limits, from a standard deviation; without df it counts as known. */
export interface VarianceLimits {
  /** The variance, in the square of the unit. */
  readonly value: number;
  /** Lower limit of the true variance, same unit. */
  readonly low: number;
  /** Upper limit of the true variance, same unit. */
  readonly high: number;
}

export function varianceLimits(sd: number, df: number | undefined, level: number): VarianceLimits {
  const value = sd ** 2;
  if (df === undefined) return { value, low: value, high: value };
  const factors = sdFactors(df, level);
  return { value, low: value * factors.low ** 2, high: value * factors.high ** 2 };
}

/**
 * Limits of the difference of two independent variances, first − second, recovered from the χ²
 * limits of each (MOVER):
 * low = D − √((s₁² − l₁)² + (u₂ − s₂²)²), high = D + √((u₁ − s₁²)² + (s₂² − l₂)²).
 * @see Zou & Donner (2008) Stat Med 27:1693–1702
 */
export function differenceOfVariances(
  first: VarianceLimits,
  second: VarianceLimits,
): { value: number; low: number; high: number } {
  const value = first.value - second.value;
  return {
    value,
    low: value - Math.hypot(first.value - first.low, second.high - second.value),
    high: value + Math.hypot(first.high - first.value, second.value - second.low),
  };
}

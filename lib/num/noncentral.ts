import { findRoot } from "./root.js";
import { gammaTails, LN_SQRT_2PI, logNormalUpper, stirlingError } from "./special.js";

/** An integrand is followed until it falls to e⁻⁴² of its peak, below double rounding. */
const DEPTH = 42;
/** Past this shift the normal tail is a step in s, and the average is better taken over Z. */
const LARGE_SHIFT = 100;

/** Tails and quantile of a noncentral t distribution. */
export interface NoncentralTails {
  /** Probability of a value at or below x. */
  lower(t: number): number;
  /** Probability of a value above x. */
  upper(t: number): number;
  /** The value whose lower tail has a given probability. */
  quantile(p: number): number;
}

/**
 * The noncentral t distribution, T = (Z + shift) / s with s = √(χ²/df), as an average of the tail
 * of one of its two parts over the law of the other.
 *
 * Every term is positive, so both tails keep their relative accuracy, which the usual series in
 * incomplete beta functions (AS 243) does not. The integral is taken by the trapezoidal rule, which
 * converges geometrically for smooth integrands that vanish at both ends.
 *
 * @see Trefethen, Weideman (2014) SIAM Rev 56:385–458; Johnson, Kotz, Balakrishnan (1995) ch. 31
 */
export function noncentralTails(df: number, shift: number): NoncentralTails {
  const tail = (t: number, side: Side) => {
    if (!Number.isFinite(t)) return t * side > 0 ? 0 : 1;
    if (Math.abs(shift) <= LARGE_SHIFT) return overSpread(df, t, shift, side);
    // T with a negative shift is −T with a positive one
    return shift > 0 ? overNormal(df, t, shift, side) : overNormal(df, -t, -shift, -side as Side);
  };
  const lower = (t: number) => tail(t, -1);
  const upper = (t: number) => tail(t, 1);
  return { lower, upper, quantile: (p) => quantile(lower, upper, p, df, shift) };
}

/** 1 for the upper tail, −1 for the lower. */
type Side = 1 | -1;

/** ∫ Φ(±(shift − t s)) g(s) ds, over v = ln s. */
function overSpread(df: number, t: number, shift: number, side: Side): number {
  // with s = eᵛ the log density of v is df·(v − e²ᵛ/2) + constant
  const constant = Math.log(df / 2) / 2 - LN_SQRT_2PI + Math.LN2 - stirlingError(df / 2);
  const log = (v: number) =>
    df * (v - Math.expm1(2 * v) / 2) + constant + logNormalUpper(side * (t * Math.exp(v) - shift));
  // The normal tail can pull the peak out to s = |shift| / (2√df), or in to the size of 1/|t|
  const low = -60 - 1500 / df - Math.log1p(Math.abs(t));
  const high = 5 + Math.log1p(Math.abs(shift) / Math.sqrt(df));
  return humpArea(log, low, high, 1 / Math.sqrt(df + 1));
}

/** ∫ P(s ≶ (z + shift) / t) φ(z) dz, for a shift so far above 0 that Z + shift is never negative. */
function overNormal(df: number, t: number, shift: number, side: Side): number {
  if (t <= 0) return side > 0 ? 1 : 0;
  const log = (z: number) => {
    const ratio = Math.max(0, z + shift) / t;
    const { lower, upper } = gammaTails(df / 2, (df * ratio * ratio) / 2);
    return Math.log(side > 0 ? lower : upper) - (z * z) / 2 - LN_SQRT_2PI;
  };
  return humpArea(log, -38, 38, 1);
}

/** Area under e^log, for a log with one hump of about the given width between `low` and `high`. */
function humpArea(log: (v: number) => number, low: number, high: number, width: number): number {
  const peak = peakOf(log, low, high, 0.05 * width);
  const top = log(peak);
  if (top === Number.NEGATIVE_INFINITY) return 0;
  const left = edgeOf(log, peak, -width / 2, top - DEPTH);
  const right = edgeOf(log, peak, width / 2, top - DEPTH);
  const area = trapezoid((v) => Math.exp(log(v) - top), left, right);
  return Math.min(1, area * Math.exp(top));
}

/** Where a function with one hump is highest, by golden section. */
function peakOf(f: (v: number) => number, from: number, to: number, tolerance: number): number {
  const golden = 0.6180339887498949;
  let low = from;
  let high = to;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let fLeft = f(left);
  let fRight = f(right);
  while (high - low > tolerance) {
    if (fLeft < fRight) {
      low = left;
      left = right;
      fLeft = fRight;
      right = low + golden * (high - low);
      fRight = f(right);
    } else {
      high = right;
      right = left;
      fRight = fLeft;
      left = high - golden * (high - low);
      fLeft = f(left);
    }
  }
  return (low + high) / 2;
}

/** Steps away from the peak, ever wider, until the log integrand is below `floor`. */
function edgeOf(log: (v: number) => number, peak: number, first: number, floor: number): number {
  let step = first;
  let at = peak + step;
  while (log(at) > floor) {
    step *= 1.25;
    at += step;
  }
  return at;
}

/** Trapezoidal rule on an interval outside which f vanishes, halved until it no longer moves. */
function trapezoid(f: (v: number) => number, left: number, right: number): number {
  let count = 32;
  let width = (right - left) / count;
  let total = 0;
  for (let i = 0; i <= count; i++) total += f(left + i * width);
  for (;;) {
    let between = 0;
    for (let i = 0; i < count; i++) between += f(left + (i + 0.5) * width);
    const coarse = total * width;
    total += between;
    count *= 2;
    width /= 2;
    const fine = total * width;
    if (Math.abs(fine - coarse) <= 1e-14 * fine || count > 100000) return fine;
  }
}

/** Solves on the logarithm of the smaller tail. */
function quantile(
  lower: (t: number) => number,
  upper: (t: number) => number,
  p: number,
  df: number,
  shift: number,
): number {
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const below = p <= 0.5;
  const distance = (t: number) => (below ? logGap(lower(t), p) : -logGap(upper(t), 1 - p));
  let step = 1 + Math.abs(shift) / Math.sqrt(2 * df);
  let low = shift - step;
  let high = shift + step;
  while (distance(low) > 0) {
    step *= 2;
    low -= step;
  }
  while (distance(high) < 0) {
    step *= 2;
    high += step;
  }
  return findRoot(distance, low, high);
}

/** ln(tail / target), for a tail that may have underflowed to 0. */
function logGap(tail: number, target: number): number {
  return Math.log(Math.max(tail, Number.MIN_VALUE)) - Math.log(target);
}

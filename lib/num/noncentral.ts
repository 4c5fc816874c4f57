import { findRoot } from "./root.js";
import { logNormalUpper, stirlingError } from "./special.js";

const LN_SQRT_2PI = 0.9189385332046727;
/** The integrand is followed until it falls to e⁻⁴² of its peak, below double rounding. */
const DEPTH = 42;

/** Tails and quantile of a noncentral t distribution. */
export interface NoncentralTails {
  lower(t: number): number;
  upper(t: number): number;
  quantile(p: number): number;
}

/**
 * The noncentral t distribution as an average of normal tails over the law of s = √(χ²/df):
 * P(T > t) = ∫ Φ(shift − t s) g(s) ds.
 *
 * Every term is positive, so both tails keep their relative accuracy, which the usual series in
 * incomplete beta functions (AS 243) does not. The integral over ln s is taken by the trapezoidal
 * rule, which converges geometrically for such integrands.
 *
 * @see Trefethen, Weideman (2014) SIAM Rev 56:385–458; Johnson, Kotz, Balakrishnan (1995) ch. 31
 */
export function noncentralTails(df: number, shift: number): NoncentralTails {
  const upper = (t: number) => normalAverage(df, shift, (s) => t * s - shift);
  const lower = (t: number) => normalAverage(df, shift, (s) => shift - t * s);
  return { lower, upper, quantile: (p) => quantile(lower, upper, p, df, shift) };
}

/** E[upper normal tail at z(s)], s = √(χ²/df). */
function normalAverage(df: number, shift: number, z: (s: number) => number): number {
  // with s = eᵛ the log density of v is df·(v − e²ᵛ/2) + constant
  const constant = Math.log(df / 2) / 2 - LN_SQRT_2PI + Math.LN2 - stirlingError(df / 2);
  const log = (v: number) =>
    df * (v - Math.expm1(2 * v) / 2) + constant + logNormalUpper(z(Math.exp(v)));
  const peak = peakOf(log, df, shift);
  const top = log(peak);
  const left = edgeOf(log, peak, -1, top - DEPTH, df);
  const right = edgeOf(log, peak, 1, top - DEPTH, df);
  const area = trapezoid((v) => Math.exp(log(v) - top), left, right);
  return Math.min(1, area * Math.exp(top));
}

/**
 * Where the log integrand is highest, to within its width, by golden section. It has one hump: in s
 * both factors are log-concave. Its place is s ≤ 1, or s ≤ |shift| / (2√df) where the normal tail
 * pulls it out.
 */
function peakOf(f: (v: number) => number, df: number, shift: number): number {
  let low = -60 - 1500 / df;
  let high = 5 + Math.log1p(Math.abs(shift) / Math.sqrt(df));
  const golden = 0.6180339887498949;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let fLeft = f(left);
  let fRight = f(right);
  const width = 0.05 / Math.sqrt(df + 1);
  while (high - low > width) {
    if (fLeft < fRight || (fLeft === Number.NEGATIVE_INFINITY && left < 0)) {
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

/** Steps away from the peak until the log integrand is below `floor`. */
function edgeOf(
  log: (v: number) => number,
  peak: number,
  side: 1 | -1,
  floor: number,
  df: number,
): number {
  let step = 0.5 / Math.sqrt(df + 1);
  let at = peak + side * step;
  while (log(at) > floor) {
    step *= 1.25;
    at += side * step;
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
    if (Math.abs(fine - coarse) <= 1e-14 * fine || count > 16384) return fine;
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

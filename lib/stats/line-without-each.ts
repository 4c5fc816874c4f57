import { itemAt, realAt } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import type { Estimate, Numbers } from "./estimate.js";

/** Means and sums of squares and products of n points. */
export interface LineMoments {
  /** Number of points. */
  readonly n: number;
  /** Mean of x. */
  readonly x: number;
  /** Mean of y. */
  readonly y: number;
  /** Σ(x − x̄)². */
  readonly xx: number;
  /** Σ(y − ȳ)². */
  readonly yy: number;
  /** Σ(x − x̄)(y − ȳ). */
  readonly xy: number;
}

/** The moments of two columns. */
export function lineMoments(x: Numbers, y: Numbers): LineMoments {
  const xs = Float64Array.from(x);
  const ys = Float64Array.from(y);
  const [mx, my] = [mean(xs), mean(ys)];
  return {
    n: xs.length,
    x: mx,
    y: my,
    xx: sumOfSquaredDeviations(xs, mx),
    yy: sumOfSquaredDeviations(ys, my),
    xy: sumOfProductDeviations(xs, ys, mx, my),
  };
}

/**
 * The moments without one point: Sxx − n/(n − 1) (x − x̄)² and so on.
 * @see Chan, Golub, LeVeque (1983) Am Stat 37:242–247, the update run backwards
 */
export function momentsWithout(all: LineMoments, x: number, y: number): LineMoments {
  const { n } = all;
  const [dx, dy, share] = [x - all.x, y - all.y, n / (n - 1)];
  return {
    n: n - 1,
    x: all.x - dx / (n - 1),
    y: all.y - dy / (n - 1),
    xx: all.xx - share * dx * dx,
    yy: all.yy - share * dy * dy,
    xy: all.xy - share * dx * dy,
  };
}

/**
 * The slope with known error in x undone, and the reliability of x, from moments alone.
 * @param error variance of the error of one x
 * @returns corrected is null where the error is as large as the spread
 * @see Fuller (1987) Measurement Error Models, section 1.2
 */
export function slopeFreeOfError(
  { n, xx, yy, xy }: LineMoments,
  error: number,
  level: number,
): { reliability: number; corrected: Estimate | null } {
  const spread = xx / (n - 1);
  const truth = spread - error;
  const reliability = truth / spread;
  const df = n - 2;
  if (!(reliability > 0) || df < 1) return { reliability, corrected: null };
  const slope = xy / (n - 1) / truth;
  const scatter = Math.max(0, yy - 2 * slope * xy + slope ** 2 * xx) / df;
  const se = Math.sqrt((spread * scatter + (slope * error) ** 2) / (n - 1)) / truth;
  return { reliability, corrected: around(slope, se, df, level) };
}

function around(value: number, se: number, df: number, level: number): Estimate {
  const half = studentT(df).quantile((1 + level) / 2) * se;
  const interval = { low: value - half, high: value + half, level, method: "t" };
  return { value, se, df, interval };
}

/** (Syy − λSxx + √((Syy − λSxx)² + 4λSxy²)) / 2Sxy, in whichever form does not cancel. */
function demingSlopeOf({ xx, yy, xy }: LineMoments, ratio: number): number {
  const difference = yy - ratio * xx;
  const root = Math.hypot(difference, 2 * Math.sqrt(ratio) * xy);
  return difference >= 0 ? (difference + root) / (2 * xy) : (2 * ratio * xy) / (root - difference);
}

/**
 * Deming's slope without each point in turn, each with its own jackknife interval, from moments
 * downdated twice: no fit is repeated.
 * @returns null where the slope is not finite without the point
 */
export function demingWithoutEach(
  x: readonly number[],
  y: readonly number[],
  ratio: number,
  level: number,
): (Estimate | null)[] {
  const all = lineMoments(x, y);
  const m = x.length - 1;
  const df = m - 2;
  const quantile = df < 1 ? 0 : studentT(df).quantile((1 + level) / 2);
  const slopes = new Float64Array(m);
  return x.map((own, i) => {
    if (df < 1) return null;
    const left = momentsWithout(all, own, itemAt(y, i));
    let place = 0;
    for (let j = 0; j < x.length; j++) {
      if (j === i) continue;
      slopes[place++] = demingSlopeOf(momentsWithout(left, itemAt(x, j), itemAt(y, j)), ratio);
    }
    const value = demingSlopeOf(left, ratio);
    const se = jackknifeError(slopes);
    if (!Number.isFinite(value) || !Number.isFinite(se)) return null;
    const half = quantile * se;
    const interval = { low: value - half, high: value + half, level, method: "jackknife, t" };
    return { value, se, df, interval };
  });
}

/** √((m − 1)/m Σ(b₍ⱼ₎ − b̄)²) */
function jackknifeError(values: Float64Array): number {
  const m = values.length;
  let total = 0;
  for (let i = 0; i < m; i++) total += realAt(values, i);
  const centre = total / m;
  let squares = 0;
  for (let i = 0; i < m; i++) squares += (realAt(values, i) - centre) ** 2;
  return Math.sqrt(((m - 1) / m) * squares);
}

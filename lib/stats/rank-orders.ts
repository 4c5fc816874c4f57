import { realAt, wholeAt } from "../entry.js";
import { randomStream } from "../num/random.js";

/** Up to this many rows every order of the ranks is counted: 362 880 at 9. */
export const everyOrderUpTo = 9;

/** Ranks doubled, so that midranks and their products are whole numbers. */
function doubled(ranks: Float64Array): Int32Array {
  return Int32Array.from(ranks, (rank) => Math.round(2 * rank));
}

/** Σ of products under independence, for doubled ranks: n (n + 1)². */
function centreOf(n: number): number {
  return n * (n + 1) ** 2;
}

function products(a: Int32Array, b: Int32Array): number {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += wholeAt(a, i) * wholeAt(b, i);
  return total;
}

/**
 * Two-sided p of a rank correlation: the share of all n! orders of one column's ranks whose
 * correlation is at least as far from 0 as the one observed, ties included.
 * @see Kendall (1970) Rank Correlation Methods, ch. 4 and appendix table 2
 */
export function exactRankP(xRanks: Float64Array, yRanks: Float64Array): number {
  const [a, b] = [doubled(xRanks), doubled(yRanks)];
  const n = a.length;
  const centre = centreOf(n);
  const distance = Math.abs(products(a, b) - centre);
  let hits = 0;
  let orders = 0;
  const place = (row: number, taken: number, total: number): void => {
    if (row === n) {
      orders++;
      if (Math.abs(total - centre) >= distance) hits++;
      return;
    }
    const rank = wholeAt(a, row);
    for (let j = 0; j < n; j++) {
      if (taken & (1 << j)) continue;
      place(row + 1, taken | (1 << j), total + rank * wholeAt(b, j));
    }
  };
  place(0, 0, 0);
  return hits / orders;
}

/** The same share among drawn orders: (1 + hits)/(1 + resamples). */
export function drawnRankP(
  xRanks: Float64Array,
  yRanks: Float64Array,
  resamples: number,
  seed: number,
): number {
  const [a, b] = [doubled(xRanks), doubled(yRanks)];
  const centre = centreOf(a.length);
  const distance = Math.abs(products(a, b) - centre);
  const stream = randomStream(seed, "correlation");
  let hits = 0;
  for (let draw = 0; draw < resamples; draw++) {
    for (let last = b.length - 1; last > 0; last--) {
      const other = stream.below(last + 1);
      const moved = wholeAt(b, last);
      b[last] = wholeAt(b, other);
      b[other] = moved;
    }
    if (Math.abs(products(a, b) - centre) >= distance) hits++;
  }
  return (1 + hits) / (1 + resamples);
}

/** Share of all orders that put two columns of equal ranks in step, in either direction at most. */
export function perfectRankP(ranks: Float64Array): number {
  const sorted = ranks.slice().sort();
  let share = 2;
  let run = 0;
  for (let i = 0; i < sorted.length; i++) {
    run = i > 0 && realAt(sorted, i) === realAt(sorted, i - 1) ? run + 1 : 1;
    share *= run / (i + 1);
  }
  return Math.min(1, share);
}

/**
 * Order statistics of all pairwise sums, without making them all: a search over values, each step
 * counting by one walk along the sorted columns.
 */
import { realAt } from "../entry.js";

/** How many sums aᵢ + bⱼ are at most `limit`; both columns sorted upward. */
function countUpTo(a: Float64Array, b: Float64Array, limit: number): number {
  let count = 0;
  let end = b.length;
  for (let i = 0; i < a.length && end > 0; i++) {
    const first = realAt(a, i);
    while (end > 0 && first + realAt(b, end - 1) > limit) end--;
    count += end;
  }
  return count;
}

/** The sums above `low` and at most `high`. */
function sumsBetween(a: Float64Array, b: Float64Array, low: number, high: number): Float64Array {
  const found: number[] = [];
  let end = b.length;
  for (let i = 0; i < a.length && end > 0; i++) {
    const first = realAt(a, i);
    while (end > 0 && first + realAt(b, end - 1) > high) end--;
    for (let j = end - 1; j >= 0; j--) {
      const total = first + realAt(b, j);
      if (total <= low) break;
      found.push(total);
    }
  }
  return Float64Array.from(found).sort();
}

/** The smallest sum above `low`. */
function nextAbove(a: Float64Array, b: Float64Array, low: number): number {
  let next = Number.POSITIVE_INFINITY;
  let end = b.length;
  for (let i = 0; i < a.length; i++) {
    const first = realAt(a, i);
    while (end > 0 && first + realAt(b, end - 1) > low) end--;
    if (end < b.length) next = Math.min(next, first + realAt(b, end));
  }
  return next;
}

/**
 * The k-th smallest of all sums aᵢ + bⱼ, k from 1 to a.length · b.length.
 *
 * The bracket of the value is halved until few sums are left in it; those are sorted. Ties that no
 * halving separates end at once, because the next sum above the bracket is tried as well. Time
 * grows as n log n, memory as n.
 *
 * @param a column sorted upward
 * @param b column sorted upward
 */
export function pairwiseSum(a: Float64Array, b: Float64Array, k: number): number {
  let low = Number.NEGATIVE_INFINITY;
  let below = 0;
  let high = realAt(a, a.length - 1) + realAt(b, b.length - 1);
  let upTo = a.length * b.length;
  let from = realAt(a, 0) + realAt(b, 0);
  const few = a.length + b.length;
  while (upTo - below > few) {
    const middle = from + (high - from) / 2;
    const count = middle < high ? countUpTo(a, b, middle) : upTo;
    const stuck = count === below || count === upTo;
    if (count >= k) {
      if (middle < high) high = middle;
      upTo = count;
    } else {
      low = middle;
      below = count;
      from = middle;
    }
    if (!stuck) continue;
    const next = nextAbove(a, b, low);
    const atNext = countUpTo(a, b, next);
    if (atNext >= k) return next;
    low = next;
    below = atNext;
    from = next;
  }
  return realAt(sumsBetween(a, b, low, high), k - below - 1);
}

/** The median of all sums aᵢ + bⱼ: of an even number of them the mean of the two in the middle. */
export function medianSum(a: Float64Array, b: Float64Array): number {
  const count = a.length * b.length;
  const lower = pairwiseSum(a, b, Math.floor((count + 1) / 2));
  if (count % 2 === 1) return lower;
  return lower / 2 + pairwiseSum(a, b, count / 2 + 1) / 2;
}

/**
 * The k-th smallest of the averages (dᵢ + dⱼ)/2 with i ≤ j (Walsh averages), k from 1 to n(n + 1)/2,
 * without making them all: as `pairwiseSum`, on the halves of one column.
 *
 * @param halves the halves of the column, sorted upward
 */
export function walshAverage(halves: Float64Array, k: number): number {
  const n = halves.length;
  // every sum i < j appears twice among all n² sums, every sum i = j once
  const countTo = (limit: number) => {
    let doubled = 0;
    while (doubled < n && realAt(halves, doubled) + realAt(halves, doubled) <= limit) doubled++;
    return (countUpTo(halves, halves, limit) + doubled) / 2;
  };
  let low = Number.NEGATIVE_INFINITY;
  let below = 0;
  let from = realAt(halves, 0) * 2;
  let high = realAt(halves, n - 1) * 2;
  let upTo = (n * (n + 1)) / 2;
  while (upTo - below > 4 * n) {
    const middle = from + (high - from) / 2;
    const count = middle < high ? countTo(middle) : upTo;
    const stuck = count === below || count === upTo;
    if (count >= k) {
      if (middle < high) high = middle;
      upTo = count;
    } else {
      low = middle;
      below = count;
      from = middle;
    }
    if (!stuck) continue;
    const next = nextAbove(halves, halves, low);
    const atNext = countTo(next);
    if (atNext >= k) return next;
    low = next;
    below = atNext;
    from = next;
  }
  return realAt(averagesBetween(halves, low, high), k - below - 1);
}

/** The averages with i ≤ j above `low` and at most `high`, from small to large. */
function averagesBetween(halves: Float64Array, low: number, high: number): Float64Array {
  const found: number[] = [];
  let end = halves.length;
  for (let i = 0; i < halves.length && end > i; i++) {
    const first = realAt(halves, i);
    while (end > i && first + realAt(halves, end - 1) > high) end--;
    for (let j = end - 1; j >= i; j--) {
      const total = first + realAt(halves, j);
      if (total <= low) break;
      found.push(total);
    }
  }
  return Float64Array.from(found).sort();
}

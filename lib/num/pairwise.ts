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

/** The sums above `low` and at most `high`, from small to large; `count` says how many they are. */
function sumsBetween(
  a: Float64Array,
  b: Float64Array,
  { low, high, count }: Bracket,
): Float64Array {
  const found = new Float64Array(count);
  let made = 0;
  let end = b.length;
  for (let i = 0; i < a.length && end > 0; i++) {
    const first = realAt(a, i);
    while (end > 0 && first + realAt(b, end - 1) > high) end--;
    for (let j = end - 1; j >= 0; j--) {
      const total = first + realAt(b, j);
      if (total <= low) break;
      found[made++] = total;
    }
  }
  return found.sort();
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

/** The values above `low` and at most `high`, and how many they are. */
interface Bracket {
  readonly low: number;
  readonly high: number;
  readonly count: number;
}

/** Values that are known by counts and brackets only, because there are too many to make them all. */
interface CountedValues {
  /** The smallest value. */
  readonly least: number;
  /** The largest value. */
  readonly largest: number;
  /** How many values there are. */
  readonly total: number;
  /** So few that they are sorted rather than searched. */
  readonly few: number;
  readonly countUpTo: (limit: number) => number;
  /** The smallest value above a limit. */
  readonly nextAbove: (limit: number) => number;
  /** The values of a bracket, from small to large. */
  readonly between: (bracket: Bracket) => Float64Array;
}

/**
 * The k-th smallest of values that are counted and not made. The bracket of the value is narrowed
 * until few are left in it; those are sorted. A limit is put where the values would have it if they
 * were even within the bracket, by turns a little above and below, so that both ends close in: the
 * number of steps hardly grows with the number of values. After a step that leaves more than a
 * quarter, the bracket is halved. Ties that no step separates end at once, because the next value
 * above the bracket is tried as well.
 */
function kthSmallest(values: CountedValues, k: number): number {
  let low = Number.NEGATIVE_INFINITY;
  let below = 0;
  let from = values.least;
  let high = values.largest;
  let upTo = values.total;
  let margin = values.few / 3;
  let halve = false;
  while (upTo - below > values.few) {
    const left = upTo - below;
    const even = Math.min(1, Math.max(0, (k - below + margin) / left));
    margin = -margin;
    const middle = from + (high - from) * (halve ? 0.5 : even);
    const count = middle < high ? values.countUpTo(middle) : upTo;
    const stuck = count === below || count === upTo;
    if (count >= k) {
      if (middle < high) high = middle;
      upTo = count;
    } else {
      low = middle;
      below = count;
      from = middle;
    }
    halve = upTo - below > left / 4;
    if (!stuck) continue;
    const next = values.nextAbove(low);
    const atNext = values.countUpTo(next);
    if (atNext >= k) return next;
    low = next;
    below = atNext;
    from = next;
  }
  return realAt(values.between({ low, high, count: upTo - below }), k - below - 1);
}

/**
 * The k-th smallest of all sums aᵢ + bⱼ, k from 1 to a.length · b.length. Time grows as n log n,
 * memory as n.
 *
 * @param a column sorted upward
 * @param b column sorted upward
 */
export function pairwiseSum(a: Float64Array, b: Float64Array, k: number): number {
  return kthSmallest(
    {
      least: realAt(a, 0) + realAt(b, 0),
      largest: realAt(a, a.length - 1) + realAt(b, b.length - 1),
      total: a.length * b.length,
      few: a.length + b.length,
      countUpTo: (limit) => countUpTo(a, b, limit),
      nextAbove: (limit) => nextAbove(a, b, limit),
      between: (bracket) => sumsBetween(a, b, bracket),
    },
    k,
  );
}

/** The median of all sums aᵢ + bⱼ: of an even number of them the mean of the two in the middle. */
export function medianSum(a: Float64Array, b: Float64Array): number {
  const count = a.length * b.length;
  const lower = pairwiseSum(a, b, Math.floor((count + 1) / 2));
  if (count % 2 === 1) return lower;
  const upper = countUpTo(a, b, lower) > count / 2 ? lower : nextAbove(a, b, lower);
  return lower / 2 + upper / 2;
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
  return kthSmallest(
    {
      least: realAt(halves, 0) * 2,
      largest: realAt(halves, n - 1) * 2,
      total: (n * (n + 1)) / 2,
      few: 4 * n,
      countUpTo: countTo,
      nextAbove: (limit) => nextAbove(halves, halves, limit),
      between: (bracket) => averagesBetween(halves, bracket),
    },
    k,
  );
}

/** The averages with i ≤ j above `low` and at most `high`, from small to large. */
function averagesBetween(halves: Float64Array, { low, high, count }: Bracket): Float64Array {
  const found = new Float64Array(count);
  let made = 0;
  let end = halves.length;
  for (let i = 0; i < halves.length && end > i; i++) {
    const first = realAt(halves, i);
    while (end > i && first + realAt(halves, end - 1) > high) end--;
    for (let j = end - 1; j >= i; j--) {
      const total = first + realAt(halves, j);
      if (total <= low) break;
      found[made++] = total;
    }
  }
  return found.sort();
}

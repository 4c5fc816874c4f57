import { itemAt, realAt } from "../entry.js";

/**
 * Midranks: 1 for the smallest value, tied values share the mean of the ranks they take up.
 * Values tie only when they are equal.
 */
export function midranks(x: ArrayLike<number>): Float64Array {
  // sorting values and looking each one up is several times faster than sorting places by a rule
  const sorted = Float64Array.from(x).sort();
  const rankFrom = new Float64Array(sorted.length);
  for (let first = 0; first < sorted.length; ) {
    let next = first + 1;
    while (next < sorted.length && sorted[next] === sorted[first]) next++;
    rankFrom[first] = (first + next + 1) / 2;
    first = next;
  }
  const ranks = new Float64Array(x.length);
  for (let i = 0; i < ranks.length; i++) {
    ranks[i] = realAt(rankFrom, firstAtLeast(sorted, itemAt(x, i)));
  }
  return ranks;
}

/** Place of the first value that is not below `value`, in a column sorted upward. */
function firstAtLeast(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (realAt(sorted, middle) < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Two groups ranked among all their values together. */
export interface JointRanks {
  /** Midranks of all values, in rising order. */
  readonly ranks: Float64Array;
  /** Sum of the ranks of the first group. */
  readonly sumOfFirst: number;
  /** Values that equal another's. */
  readonly tied: number;
}

/** Midranks of two groups taken together; both columns sorted upward. */
export function jointRanks(first: Float64Array, second: Float64Array): JointRanks {
  const ranks = new Float64Array(first.length + second.length);
  let [i, j, sumOfFirst, tied] = [0, 0, 0, 0];
  while (i + j < ranks.length) {
    const [fromI, fromJ] = [i, j];
    const value =
      j === second.length || (i < first.length && realAt(first, i) < realAt(second, j))
        ? realAt(first, i)
        : realAt(second, j);
    while (i < first.length && first[i] === value) i++;
    while (j < second.length && second[j] === value) j++;
    const rank = (fromI + fromJ + i + j + 1) / 2;
    ranks.fill(rank, fromI + fromJ, i + j);
    sumOfFirst += rank * (i - fromI); // halves of whole numbers: exact
    if (i + j - fromI - fromJ > 1) tied += i + j - fromI - fromJ;
  }
  return { ranks, sumOfFirst, tied };
}

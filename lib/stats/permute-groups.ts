import { realAt, wholeAt } from "../entry.js";
import { randomStream } from "../num/random.js";
import { mean, sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Numbers } from "./estimate.js";
import { numbers, requiredSeed, wholeNumber } from "./input.js";

/** What a permutation test counts over its arrangements: splits of the people, or orders of residuals. */
export interface PermutationTest {
  /** Two-sided p value. */
  readonly p: number;
  /** Share of the arrangements with a statistic at least as large, for the one-sided question. */
  readonly pUpper: number;
  /** Share of the arrangements with a statistic at most as large. */
  readonly pLower: number;
  /** Whether every arrangement was counted. */
  readonly exact: boolean;
  /** Arrangements counted or drawn. */
  readonly arrangements: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Permutation test of the difference of two means. */
export interface PermutedDifference extends PermutationTest {
  /** Name of the function that made this record. */
  readonly kind: "permuteDifference";
  /** People in both groups. */
  readonly n: number;
  /** People in the first group. */
  readonly n1: number;
  /** People in the second group. */
  readonly n2: number;
  /** Mean of the first group − mean of the second, in the unit of the columns. */
  readonly statistic: number;
}

/** Options of the permutation tests. */
export interface PermutationOptions {
  /** Arrangements drawn where not all are counted, default 10 000. */
  readonly resamples?: number;
  /** Seed of the drawn arrangements: the same seed gives the same p. */
  readonly seed?: number;
}

/** Up to this many splits, all are counted. */
const exactUpTo = 5_000_000;

/** Gap between two statistics, relative to the largest they can be, that counts as rounding. */
const tieShare = 1e-12;

/**
 * Permutation test of the difference of two means (Fisher–Pitman), first − second.
 *
 * If the groups do not differ, any n1 of the N values could have formed the first group. p = share
 * of the splits whose difference is at least as far from 0 as the one observed. All N!/(n1! n2!)
 * splits are counted up to 5 million (12 and 12 people); beyond, `resamples` are drawn and
 * p = (1 + hits)/(1 + resamples). Splits that agree to 1e-12 of the spread tie.
 *
 * The test is of equal distributions: with unequal spread and unequal sizes it may reject although
 * the means agree.
 *
 * @param a values of the first group, any unit
 * @param b values of the second group, the same unit
 * @param options resamples and seed, used where not all splits are counted
 * @returns statistic in the unit of the columns, p without unit
 * @throws InputError when a group is empty, a value is not finite, or a seed is needed and missing
 * @see Pitman (1937) Suppl J R Stat Soc 4:119–130; Phipson & Smyth (2010) Stat Appl Genet Mol Biol
 *   9:39 for the p of drawn splits
 * @example permuteDifference([5, 7, 9], [1, 2, 3]).p // 0.1
 */
export function permuteDifference(
  a: Numbers,
  b: Numbers,
  options: PermutationOptions = {},
): PermutedDifference {
  const where = "permuteDifference";
  knownOptions(options, ["resamples", "seed"], where);
  const { resamples = 10_000, seed } = options;
  const first = numbers(a, `${where}, first group`);
  const second = numbers(b, `${where}, second group`);
  wholeNumber(resamples, `${where}, resamples`);
  const [n1, n2] = [first.length, second.length];
  // Differences from the grand mean: the first group's sum alone then tells the difference.
  const all = [...first, ...second];
  const centre = mean(all);
  const near = Float64Array.from(all, (value) => value - centre);
  // what rounding of a large mean has left, so that mirrored splits tie
  const rest = mean(near);
  const values = near.map((value) => value - rest);
  const observed = sum(values.subarray(0, n1));
  const tolerance = tieShare * sum(values.map(Math.abs));
  const splits = splitCount(n1 + n2, n1);
  const exact = splits <= exactUpTo;
  const tally = { upper: 0, lower: 0, far: 0 };
  const count = (total: number) => {
    if (total >= observed - tolerance) tally.upper++;
    if (total <= observed + tolerance) tally.lower++;
    if (Math.abs(total) >= Math.abs(observed) - tolerance) tally.far++;
  };
  if (exact) everySplit(values, n1, count);
  else drawnSplits(values, n1, resamples, requiredSeed(seed as number, where), count);
  const share = (hits: number) => (exact ? hits / splits : (1 + hits) / (1 + resamples));
  return frozen({
    kind: "permuteDifference" as const,
    n: n1 + n2,
    n1,
    n2,
    statistic: mean(first) - mean(second),
    p: share(tally.far),
    pUpper: share(tally.upper),
    pLower: share(tally.lower),
    exact,
    arrangements: exact ? splits : resamples,
    method: exact
      ? "permutation of the difference of means, every split"
      : `permutation of the difference of means, ${resamples} splits drawn with seed ${seed}`,
    warnings: tolerance === 0 ? ["All values are equal, so p is 1."] : [],
  });
}

/** N choose n1 as a double. */
function splitCount(n: number, n1: number): number {
  let count = 1;
  for (let i = 1; i <= Math.min(n1, n - n1); i++) count = (count * (n - i + 1)) / i;
  return Math.round(count);
}

/** Calls `count` with the sum of every choice of `size` values. */
function everySplit(values: Float64Array, size: number, count: (total: number) => void): void {
  const choose = (from: number, left: number, total: number): void => {
    if (left === 0) {
      count(total);
      return;
    }
    for (let i = from; i <= values.length - left; i++) {
      choose(i + 1, left - 1, total + realAt(values, i));
    }
  };
  choose(0, size, 0);
}

function drawnSplits(
  values: Float64Array,
  size: number,
  resamples: number,
  seed: number,
  count: (total: number) => void,
): void {
  const stream = randomStream(seed, "permuteDifference");
  const order = Uint32Array.from(values.keys());
  for (let draw = 0; draw < resamples; draw++) {
    let total = 0;
    // the first `size` places of a shuffle
    for (let i = 0; i < size; i++) {
      const other = i + stream.below(order.length - i);
      const moved = wholeAt(order, other);
      order[other] = wholeAt(order, i);
      order[i] = moved;
      total += realAt(values, moved);
    }
    count(total);
  }
}

import { realAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { medianSum, pairwiseSum } from "../num/pairwise.js";
import { sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, numbers } from "./input.js";
import { jointRanks } from "./ranks.js";

/** Wilcoxon's rank-sum test of two groups of different people. */
export interface RankComparison {
  /** Name of the function that made this record. */
  readonly kind: "compareRanks";
  /** People in both groups. */
  readonly n: number;
  /** People in the first group. */
  readonly n1: number;
  /** People in the second group. */
  readonly n2: number;
  /** Sum of the ranks of the first group among all. */
  readonly statistic: number;
  /** Pairs in which the first group's value is the larger, ties counting ½ (Mann–Whitney U). */
  readonly u: number;
  /** U / (n1 n2): probability that one person of the first group exceeds one of the second. */
  readonly superiority: number;
  /** Values that equal another's. */
  readonly tied: number;
  /** Two-sided p value. */
  readonly p: number;
  /** Whether p counts every way to choose the first group. */
  readonly exact: boolean;
  /** Median of all differences first − second (Hodges–Lehmann), in the unit of the columns. */
  readonly shift: Estimate;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Up to this many people in both groups, every choice of the first group is counted. */
const exactUpTo = 80;

/**
 * Wilcoxon's rank-sum test (Mann–Whitney): do values of one group tend to be larger?
 *
 * statistic = sum of the midranks of the first group. Up to 80 people p is the share of all choices
 * of n1 people whose rank sum is at least as far from n1(N + 1)/2 as the one observed, ties
 * included; beyond, the normal approximation with the variance of the midranks as they are and a
 * continuity correction of ½. shift: median of the differences aᵢ − bⱼ; its interval runs between
 * the k-th smallest and k-th largest of them, k from the distribution of U without ties.
 *
 * The test is of equal distributions; shift has its plain meaning only where the groups differ in
 * location alone. Values tie only when they are equal.
 *
 * @param a values of the first group, any unit
 * @param b values of the second group, the same unit
 * @returns statistic, u, superiority and p without unit; shift in the unit of the columns
 * @throws InputError when a group is empty or a value is not finite
 * @see Hollander & Wolfe (1973) Nonparametric Statistical Methods, 67–82; Lehmann (1975)
 *   Nonparametrics, ch. 1 for ties
 * @example compareRanks([5, 7, 9, 11], [1, 2, 3, 4]).p // 0.02857142857142857
 */
export function compareRanks(
  a: Numbers,
  b: Numbers,
  options: { readonly level?: number } = {},
): RankComparison {
  const where = "compareRanks";
  knownOptions(options, ["level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const first = numbers(a, `${where}, first group`);
  const second = numbers(b, `${where}, second group`);
  const [n1, n2] = [first.length, second.length];
  first.sort();
  second.sort();
  const { ranks, sumOfFirst: statistic, tied } = jointRanks(first, second);
  const u = statistic - (n1 * (n1 + 1)) / 2;
  const exact = n1 + n2 <= exactUpTo;
  const warnings: string[] = [];
  if (ranks[0] === ranks[ranks.length - 1]) {
    warnings.push("All values are equal, so p is 1.");
  }
  return frozen({
    kind: "compareRanks" as const,
    n: n1 + n2,
    n1,
    n2,
    statistic,
    u,
    superiority: u / (n1 * n2),
    tied,
    p: exact ? exactP(ranks, n1, statistic) : normalP(ranks, n1, statistic),
    exact,
    shift: hodgesLehmann(first, second, level, warnings),
    method: exact
      ? "Wilcoxon rank sum, exact, all choices of the first group with midranks"
      : "Wilcoxon rank sum, normal approximation with ties, continuity ½",
    warnings,
  });
}

/**
 * How many choices of `size` of the doubled ranks have each sum, by adding one rank at a time.
 * The counts may pass 2⁵³; as sums of positive terms they keep their relative accuracy.
 */
function choices(doubled: readonly number[], size: number): Float64Array {
  const most = doubled.reduce((total, rank) => total + rank, 0);
  const width = most + 1;
  const counts = new Float64Array((size + 1) * width);
  counts[0] = 1;
  for (const rank of doubled) {
    for (let taken = size; taken >= 1; taken--) {
      const row = taken * width;
      const lower = row - width - rank;
      for (let total = most; total >= rank; total--) {
        const more = realAt(counts, lower + total);
        if (more !== 0) counts[row + total] = realAt(counts, row + total) + more;
      }
    }
  }
  return counts.slice(size * width);
}

function exactP(ranks: Float64Array, n1: number, statistic: number): number {
  const doubled = Array.from(ranks, (rank) => Math.round(2 * rank));
  // the smaller group's sum tells the larger one's
  const size = Math.min(n1, ranks.length - n1);
  const counts = choices(doubled, size);
  const all = sum(counts);
  const centre = n1 * (ranks.length + 1); // of the doubled sum
  const distance = Math.abs(Math.round(2 * statistic) - centre);
  const middle = size * (ranks.length + 1);
  const far = counts.filter((_, total) => Math.abs(total - middle) >= distance);
  return Math.min(1, sum(far) / all);
}

function normalP(ranks: Float64Array, n1: number, statistic: number): number {
  const n = ranks.length;
  const centre = (n + 1) / 2;
  const spread = sum(ranks.map((rank) => (rank - centre) ** 2));
  const sd = Math.sqrt((n1 * (n - n1) * spread) / (n * (n - 1)));
  if (sd === 0) return 1;
  const distance = Math.max(0, Math.abs(statistic - n1 * centre) - 0.5);
  return Math.min(1, 2 * normal().upper(distance / sd));
}

/** Median of the differences and its interval; both columns sorted upward. */
function hodgesLehmann(
  first: Float64Array,
  second: Float64Array,
  level: number,
  warnings: string[],
): Estimate {
  const negative = second.map((value) => -value).reverse();
  const [n1, n2] = [first.length, second.length];
  const value = medianSum(first, negative);
  const pairs = n1 * n2;
  const { rank, reached } = limitRank(n1, n2, (1 - level) / 2);
  if (rank === 0) {
    warnings.push(
      `With ${n1} and ${n2} people the widest interval reaches ${Number((100 * reached).toPrecision(4))} %, short of the level asked.`,
    );
  }
  const from = Math.max(1, rank);
  const exact = n1 + n2 <= exactUpTo;
  const method = exact
    ? "ordered differences, exact without ties"
    : "ordered differences, normal approximation";
  const low = pairwiseSum(first, negative, from);
  const high = pairwiseSum(first, negative, pairs + 1 - from);
  return { value, interval: { low, high, level, method } };
}

/**
 * Largest k with P(U ≤ k − 1) ≤ tail for untied values, 0 where even P(U = 0) is larger; `reached`
 * is the level of the widest interval, between the smallest and the largest difference.
 */
function limitRank(n1: number, n2: number, tail: number): { rank: number; reached: number } {
  const n = n1 + n2;
  if (n > exactUpTo) {
    const sd = Math.sqrt((n1 * n2 * (n + 1)) / 12);
    const rank = Math.floor((n1 * n2) / 2 + 0.5 + normal().quantile(tail) * sd);
    return { rank: Math.max(0, rank), reached: 1 };
  }
  const size = Math.min(n1, n2);
  const counts = choices(
    Array.from({ length: n }, (_, i) => i + 1),
    size,
  );
  const all = sum(counts);
  const least = (size * (size + 1)) / 2;
  let below = 0;
  for (let k = 0; ; k++) {
    below += realAt(counts, least + k) / all;
    if (below > tail * (1 + 1e-12))
      return { rank: k, reached: 1 - 2 * (realAt(counts, least) / all) };
  }
}

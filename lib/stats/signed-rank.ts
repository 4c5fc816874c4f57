import { realAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { walshAverage } from "../num/pairwise.js";
import { sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, oneOf } from "./input.js";
import { type Pairs, pairColumns } from "./pairs.js";
import { midranks } from "./ranks.js";

/** What becomes of people whose change is zero. */
export type ZeroChanges = "dropped" | "ranked";

/** Wilcoxon's signed-rank test with the Hodges–Lehmann pseudo-median. */
export interface SignedRank {
  /** Name of the function that made this record. */
  readonly kind: "signedRank";
  /** Number of pairs given. */
  readonly n: number;
  /** Pairs whose change is zero. */
  readonly zeros: number;
  /** Pairs whose size of change equals another's. */
  readonly tied: number;
  /** Sum of the ranks of the positive changes (after above before). */
  readonly statistic: number;
  /** Two-sided p value. */
  readonly p: number;
  /** Whether p comes from all 2ᵐ arrangements of signs. */
  readonly exact: boolean;
  /** Median of the Walsh averages of the changes, in the unit of the columns. */
  readonly pseudoMedian: Estimate;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Up to this many changes that are not zero, all arrangements of signs are counted. */
const exactUpTo = 50;

/**
 * Wilcoxon's signed-rank test of paired columns, after − before.
 *
 * Changes that are not zero are ranked by size, ties sharing the mean of their ranks; statistic =
 * sum of the ranks of the positive ones. Up to 50 of them p = min(1, 2 min(P(W ≤ w), P(W ≥ w))) over
 * all 2ᵐ signs of the ranks as they are, ties included; beyond, the normal approximation with the
 * variance Σr²/4 of those ranks and a continuity correction of ½. Zeros are dropped and counted, or
 * with `zeros: "ranked"` take part in the ranking and then leave (Pratt).
 *
 * pseudoMedian: median of the averages (dᵢ + dⱼ)/2, i ≤ j; its interval runs between the k-th
 * smallest and k-th largest average, k from the distribution of W without ties.
 *
 * @param before first occasion, one value per person, any unit
 * @param after second occasion, the same people in the same order and unit
 * @returns statistic without unit, pseudoMedian in the unit of the columns
 * @throws InputError when lengths differ, there are fewer than two people or a value is not finite
 * @see Wilcoxon (1945) Biometrics Bull 1:80–83; Pratt (1959) J Am Stat Assoc 54:655–667; Hollander
 *   & Wolfe (1973) Nonparametric Statistical Methods, 27–38, for the interval
 * @example signedRank([1.83, 0.5, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.3], [0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29]).p // 0.0390625
 */
export function signedRank(
  before: Numbers,
  after: Numbers,
  options: { level?: number; zeros?: ZeroChanges } = {},
): SignedRank {
  knownOptions(options, ["level", "zeros"], "signedRank");
  const { level = 0.95, zeros = "dropped" } = options;
  const pairs = pairColumns(before, after, "signedRank");
  confidenceLevel(level, "signedRank");
  oneOf(zeros, ["dropped", "ranked"], "signedRank, zeros");
  const isZero = (change: number) => Math.abs(change) <= pairs.tolerance;
  const zeroCount = pairs.changes.filter(isZero).length;
  const used = zeros === "dropped" ? pairs.changes.filter((d) => !isZero(d)) : pairs.changes;
  const ranks = midranks(snappedSizes(used, pairs.tolerance));
  const moved = Array.from(used.keys()).filter((i) => !isZero(realAt(used, i)));
  const movedRanks = Float64Array.from(moved, (i) => realAt(ranks, i));
  const statistic = sum(moved.filter((i) => realAt(used, i) > 0).map((i) => realAt(ranks, i)));
  const exact = moved.length <= exactUpTo;
  const warnings: string[] = [];
  if (moved.length === 0) warnings.push("No person changed: there is nothing to rank, and p is 1.");
  return frozen({
    kind: "signedRank",
    n: pairs.changes.length,
    zeros: zeroCount,
    tied: tiedCount(movedRanks),
    statistic,
    p: exact ? exactP(movedRanks, statistic) : normalP(movedRanks, statistic),
    exact,
    pseudoMedian: pseudoMedian(used, level, warnings),
    method: methodOf(exact, zeros, zeroCount),
    warnings,
  });
}

function methodOf(exact: boolean, zeros: ZeroChanges, count: number): string {
  const test = exact ? "exact, all signs of the midranks" : "normal approximation, continuity ½";
  const drop =
    zeros === "dropped" ? `${count} zero changes dropped` : "zero changes ranked (Pratt)";
  return `Wilcoxon signed rank, ${test}; ${drop}`;
}

/** Sizes of change, those within the tolerance of a neighbour made equal to it. */
function snappedSizes(changes: Float64Array, tolerance: Pairs["tolerance"]): Float64Array {
  const sizes = changes.map(Math.abs);
  const order = Array.from(sizes.keys()).sort((i, j) => realAt(sizes, i) - realAt(sizes, j));
  let last = Number.NEGATIVE_INFINITY;
  let shared = 0;
  for (const i of order) {
    if (realAt(sizes, i) - last > tolerance) shared = realAt(sizes, i);
    last = realAt(sizes, i);
    sizes[i] = shared;
  }
  return sizes;
}

function tiedCount(ranks: Float64Array): number {
  const seen = new Map<number, number>();
  for (const rank of ranks) seen.set(rank, (seen.get(rank) ?? 0) + 1);
  return [...seen.values()].filter((count) => count > 1).reduce((total, count) => total + count, 0);
}

/** How many of the 2ᵐ arrangements of signs give each doubled rank sum, from 0 up. */
function arrangements(ranks: Float64Array): Float64Array {
  const doubled = Array.from(ranks, (rank) => Math.round(2 * rank));
  const most = doubled.reduce((total, rank) => total + rank, 0);
  const counts = new Float64Array(most + 1);
  counts[0] = 1;
  let reached = 0;
  for (const rank of doubled) {
    reached += rank;
    for (let total = reached; total >= rank; total--) {
      counts[total] = realAt(counts, total) + realAt(counts, total - rank);
    }
  }
  return counts;
}

function exactP(ranks: Float64Array, statistic: number): number {
  const counts = arrangements(ranks);
  const at = Math.round(2 * statistic);
  const all = 2 ** ranks.length;
  const lower = sum(counts.subarray(0, at + 1)) / all;
  const upper = sum(counts.subarray(at)) / all;
  return Math.min(1, 2 * Math.min(lower, upper));
}

function normalP(ranks: Float64Array, statistic: number): number {
  const centre = sum(ranks) / 2;
  const sd = Math.sqrt(sum(ranks.map((rank) => rank * rank))) / 2;
  const distance = Math.max(0, Math.abs(statistic - centre) - 0.5);
  return Math.min(1, 2 * normal(0, 1).upper(distance / sd));
}

function pseudoMedian(changes: Float64Array, level: number, warnings: string[]): Estimate {
  const m = changes.length;
  if (m === 0) return { value: 0 };
  const halves = changes.map((change) => change / 2).sort();
  const count = (m * (m + 1)) / 2;
  const middle = walshAverage(halves, Math.floor((count + 1) / 2));
  const value =
    count % 2 === 1 ? middle : middle + (walshAverage(halves, count / 2 + 1) - middle) / 2;
  const k = limitRank(m, (1 - level) / 2);
  if (k === 0) {
    const reached = 100 * (1 - 2 ** (1 - m));
    warnings.push(
      `With ${m} changes the widest interval reaches ${Number(reached.toPrecision(4))} %, short of the level asked.`,
    );
  }
  const from = Math.max(k, 1);
  const method =
    m <= exactUpTo ? "Walsh averages, exact without ties" : "Walsh averages, normal approximation";
  const low = walshAverage(halves, from);
  const high = walshAverage(halves, count + 1 - from);
  return { value, interval: { low, high, level, method } };
}

/** Largest k with P(W ≤ k − 1) ≤ tail for untied ranks 1…m; 0 where even P(W = 0) is larger. */
function limitRank(m: number, tail: number): number {
  if (m > exactUpTo) {
    const centre = (m * (m + 1)) / 4;
    const sd = Math.sqrt((m * (m + 1) * (2 * m + 1)) / 24);
    return Math.floor(centre + 0.5 + normal(0, 1).quantile(tail) * sd);
  }
  const counts = arrangements(Float64Array.from({ length: m }, (_, i) => i + 1));
  const allowed = tail * 2 ** m;
  let below = 0;
  for (let k = 0; ; k++) {
    below += realAt(counts, 2 * k);
    if (below > allowed) return k;
  }
}

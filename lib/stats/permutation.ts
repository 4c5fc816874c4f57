import { realAt } from "../entry.js";
import { randomStream } from "../num/random.js";
import { mean, sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Numbers } from "./estimate.js";
import { wholeNumber } from "./input.js";
import { pairColumns } from "./pairs.js";

/** Permutation test of a paired change by flipping signs. */
export interface SignFlip {
  /** Name of the function that made this record. */
  readonly kind: "signFlip";
  /** Number of pairs. */
  readonly n: number;
  /** Mean change, after − before, in the unit of the columns. */
  readonly statistic: number;
  /** Two-sided p value. */
  readonly p: number;
  /** Whether every arrangement of signs was counted. */
  readonly exact: boolean;
  /** Arrangements counted or drawn. */
  readonly arrangements: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Up to this many changes that are not zero, every arrangement of signs is counted. */
const exactUpTo = 24;

/**
 * Sign-flip test: if training did nothing, each person's change could as well have had the other
 * sign.
 *
 * p = share of the arrangements of signs whose mean change is at least as far from 0 as the one
 * observed. All 2ᵐ are counted up to m = 24 changes that are not zero (a zero has no sign to flip and
 * does not alter p); beyond, `resamples` arrangements are drawn and p = (1 + hits) / (1 + resamples).
 *
 * @param before first occasion, one value per person, any unit
 * @param after second occasion, the same people in the same order and unit
 * @param options resamples and seed, used beyond 24 changes; the same seed gives the same p
 * @returns statistic in the unit of the columns
 * @throws InputError when lengths differ, there are fewer than two people, a value is not finite,
 *   resamples is not a whole number, or a seed is needed and missing
 * @see Fisher (1935) The Design of Experiments, §21; Phipson & Smyth (2010) Stat Appl Genet Mol Biol
 *   9:39 for the p value of drawn arrangements
 * @example signFlip([1, 2, 3, 4, 5], [2, 4, 6, 8, 10]).p // 0.0625
 */
export function signFlip(
  before: Numbers,
  after: Numbers,
  options: { resamples?: number; seed?: number } = {},
): SignFlip {
  knownOptions(options, ["resamples", "seed"], "signFlip");
  const { resamples = 10_000, seed } = options;
  const pairs = pairColumns(before, after, "signFlip");
  wholeNumber(resamples, "signFlip, resamples");
  const moved = pairs.changes.filter((change) => Math.abs(change) > pairs.tolerance);
  const exact = moved.length <= exactUpTo;
  const total = Math.abs(sum(moved));
  // Arrangements that tie with the observed one count as at least as far out.
  const limit = total - pairs.tolerance * Math.max(1, moved.length);
  const p = exact
    ? exactShare(moved, limit)
    : drawnShare(moved, limit, resamples, wholeNumber(seed as number, "signFlip, seed", 0));
  return frozen({
    kind: "signFlip",
    n: pairs.changes.length,
    statistic: mean(pairs.changes),
    p,
    exact,
    arrangements: exact ? 2 ** moved.length : resamples,
    method: exact
      ? "sign flip of the mean change, every arrangement"
      : `sign flip of the mean change, ${resamples} arrangements drawn with seed ${seed}`,
    warnings: moved.length === 0 ? ["No person changed, so p is 1."] : [],
  });
}

/**
 * Share of all arrangements with |sum| ≥ limit. The changes are cut into two halves, the sums of each
 * half sorted, and the pairs that reach the limit counted by walking one list up and the other down:
 * 2·2^(m/2) sums in place of 2ᵐ, each with only m/2 roundings.
 *
 * @see Horowitz & Sahni (1974) J ACM 21:277–292 (the two-list scheme)
 */
function exactShare(changes: Float64Array, limit: number): number {
  if (limit <= 0) return 1;
  const half = changes.length >> 1;
  const left = signedSums(changes.subarray(0, half));
  const right = signedSums(changes.subarray(half));
  let hits = 0;
  let from = right.length;
  for (const value of left) {
    while (from > 0 && value + realAt(right, from - 1) >= limit) from--;
    hits += right.length - from;
  }
  // Every arrangement has its mirror image at the other end.
  return (2 * hits) / 2 ** changes.length;
}

/** Sums under every arrangement of signs, from small to large. */
function signedSums(changes: Float64Array): Float64Array {
  let sums = Float64Array.of(0);
  for (const change of changes) {
    const next = new Float64Array(2 * sums.length);
    sums.forEach((value, i) => {
      next[2 * i] = value - change;
      next[2 * i + 1] = value + change;
    });
    sums = next;
  }
  return sums.sort();
}

function drawnShare(changes: Float64Array, limit: number, resamples: number, seed: number): number {
  const stream = randomStream(seed, "signFlip");
  let hits = 0;
  for (let draw = 0; draw < resamples; draw++) {
    let total = 0;
    let bits = 0;
    for (let i = 0; i < changes.length; i++) {
      if (i % 32 === 0) bits = stream.uint32();
      total += bits & 1 ? realAt(changes, i) : -realAt(changes, i);
      bits >>>= 1;
    }
    if (Math.abs(total) >= limit) hits++;
  }
  return (1 + hits) / (1 + resamples);
}

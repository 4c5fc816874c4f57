import { realAt } from "../entry.js";
import { meanAndSd } from "./describe.js";
import type { Numbers } from "./estimate.js";
import { numbers, sameLength } from "./input.js";

/** Two columns of the same people, their changes, and how far apart two changes may be and tie. */
export interface Pairs {
  /** First occasion, one value per person. */
  readonly before: Float64Array;
  /** Second occasion, the same people in the same order. */
  readonly after: Float64Array;
  /** after − before, in the order given. */
  readonly changes: Float64Array;
  /** Two changes no further apart than this are the same number. */
  readonly tolerance: number;
}

/** Share of the largest change below which a gap is rounding, not a difference. */
const tieShare = 1e-12;

/**
 * Checks two paired columns and takes second − first.
 *
 * Decimal readings are not exact in binary: 1.9 − 0.7 and 2.2 − 1.0 are one change but two
 * doubles. Changes within 1e-12 of the largest are ties; where the readings are so large that their
 * own rounding is wider than that, the rounding decides.
 */
export function pairColumns(
  before: Numbers,
  after: Numbers,
  where: string,
  { names = ["before", "after"], least = 2 }: { names?: [string, string]; least?: number } = {},
): Pairs {
  const first = numbers(before, `${where}, ${names[0]}`, least);
  const second = numbers(after, `${where}, ${names[1]}`, least);
  sameLength(second.length, first.length, `${where}, ${names[1]}`);
  const changes = second.map((value, i) => value - realAt(first, i));
  const rounding = 2 * Number.EPSILON * Math.max(largest(first), largest(second));
  return {
    before: first,
    after: second,
    changes,
    tolerance: Math.max(tieShare * largest(changes), rounding),
  };
}

/** Largest absolute value. */
export function largest(x: Float64Array): number {
  let most = 0;
  for (const value of x) most = Math.max(most, Math.abs(value));
  return most;
}

/** Standard deviation of the changes; exactly 0 where they differ by rounding alone. */
export function sdOfChanges({ changes, tolerance }: Pairs): number {
  const tied = changes.every((change) => Math.abs(change - realAt(changes, 0)) <= tolerance);
  return tied ? 0 : meanAndSd(changes).sd;
}

import { InputError } from "../errors.js";

/** The two ends of what a quantity may be; the truth is not known to be nearer one of them. */
export interface AmountRange {
  /** Lower limit, in the unit of the quantity. */
  readonly low: number;
  /** Upper limit, in the same unit. */
  readonly high: number;
}

/** A force or a friction as the caller has it: ends, a pair, or a list whose ends count. */
export type AmountRangeLike = AmountRange | ArrayLike<number>;

/** Checks a physical amount: a finite number above zero. */
export function positive(value: unknown, where: string): number {
  if (typeof value === "number" && Number.isFinite(value) && value > 0) return value;
  throw new InputError({ expected: "a number above 0", got: String(value), where });
}

/** Checks an amount that may be nothing at all: a finite number, 0 or more. */
export function notNegative(value: unknown, where: string): number {
  if (typeof value === "number" && Number.isFinite(value) && value >= 0) return value;
  throw new InputError({ expected: "a number, 0 or more", got: String(value), where });
}

/** Reads a range of positive amounts in either form and puts its ends in order. */
export function positiveRange(value: unknown, where: string): AmountRange {
  const ends = endsOf(value);
  if (ends.length < 2) {
    throw new InputError({ expected: "a range {low, high}", got: String(value), where });
  }
  const checked = ends.map((end) => positive(end, where));
  return rangeOf(checked);
}

/** The smallest and largest of some numbers, frozen. */
export function rangeOf(values: readonly number[]): AmountRange {
  return Object.freeze({ low: Math.min(...values), high: Math.max(...values) });
}

function endsOf(value: unknown): unknown[] {
  if (value === null || typeof value !== "object") return [];
  if ("low" in value && "high" in value) return [value.low, value.high];
  return "length" in value ? Array.from(value as ArrayLike<unknown>) : [];
}

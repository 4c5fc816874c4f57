import { InputError } from "../errors.js";

/** A range with the confidence level it was made for and the method that made it. */
export interface Interval {
  /** Lower limit, in the unit of the estimate. */
  readonly low: number;
  /** Upper limit, in the unit of the estimate. */
  readonly high: number;
  /** Confidence level as a fraction, 0.95 for 95 %. */
  readonly level: number;
  /** How the limits were made. */
  readonly method: string;
}

/** A number with its uncertainty. Fields that do not apply to a method are left out. */
export interface Estimate {
  /** The estimate, in the unit that its place in the result names. */
  readonly value: number;
  /** Standard error, in the unit of the value. */
  readonly se?: number;
  /** Degrees of freedom of the standard error. */
  readonly df?: number;
  /** Test statistic against 0: value / se, a t where there are degrees of freedom and else a z. */
  readonly statistic?: number;
  /** Two-sided p value. */
  readonly p?: number;
  /** Confidence interval of the value. */
  readonly interval?: Interval;
}

/** Numbers of one column: an array, a typed array, or anything indexed with a length. */
export type Numbers = ArrayLike<number>;
/** Labels of one column, such as participant codes. */
export type Labels = ArrayLike<string>;

/**
 * Freezes a plain record and every plain record or array inside it; typed arrays stay as they are.
 * No result holds a number that is none: where columns are so large or so small that their squares
 * overflow or vanish, the record is refused.
 * @throws InputError when a number in it is not finite; `where` names its place in the record
 */
export function frozen<T>(record: T): T {
  return frozenAt(record, "");
}

function frozenAt<T>(part: T, path: string): T {
  if (part === null || typeof part !== "object" || ArrayBuffer.isView(part)) return part;
  if (Object.isFrozen(part)) return part;
  if (Array.isArray(part) && allFinite(part)) return Object.freeze(part);
  for (const name of Object.keys(part)) {
    const inside: unknown = part[name as keyof typeof part];
    if (typeof inside === "number") {
      if (!Number.isFinite(inside)) throw outOfRange(inside, placeIn(part, path, name));
    } else if (inside !== null && typeof inside === "object" && !Object.isFrozen(inside)) {
      frozenAt(inside, placeIn(part, path, name));
    }
  }
  return Object.freeze(part);
}

/**
 * True for a list of finite numbers (or nulls), found without making an object of any of them, as
 * lists can hold a number for each of very many rows: x·0 is 0 only where x is finite.
 */
function allFinite(list: readonly (number | null)[]): boolean {
  if (typeof list[0] === "object" && list[0] !== null) return false;
  let check = 0;
  for (let i = 0; i < list.length; i++) check += Number(list[i]) * 0;
  return check === 0;
}

/** "describe, sd": the kind of the outermost record, then the fields down to the number. */
function placeIn(part: { kind?: unknown }, path: string, name: string): string {
  if (path !== "") return `${path}, ${name}`;
  return typeof part.kind === "string" ? `${part.kind}, ${name}` : name;
}

/** The refusal of numbers whose squares overflow or vanish. */
export function outOfRange(got: number, where: string): InputError {
  const expected = "numbers whose squares a double can hold (differences of about 1e-150 to 1e150)";
  return new InputError({ expected, got: `a result of ${got}`, where });
}

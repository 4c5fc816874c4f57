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
  if (!freezeWhole(record)) {
    const { got, where } = notFiniteIn(record, "") ?? { got: Number.NaN, where: "" };
    throw outOfRange(got, where);
  }
  return record;
}

/** Freezes a part and everything in it; false as soon as a number is not finite. */
function freezeWhole(part: unknown): boolean {
  if (part === null || typeof part !== "object") return true;
  if (ArrayBuffer.isView(part) || Object.isFrozen(part)) return true;
  if (Array.isArray(part)) {
    if (!allFinite(part)) {
      for (let i = 0; i < part.length; i++) if (!freezeInside(part[i])) return false;
    }
  } else {
    for (const inside of Object.values(part)) if (!freezeInside(inside)) return false;
  }
  Object.freeze(part);
  return true;
}

function freezeInside(inside: unknown): boolean {
  return typeof inside === "number" ? Number.isFinite(inside) : freezeWhole(inside);
}

/** The first number that is not finite, and its place: names are put together only when needed. */
function notFiniteIn(part: unknown, path: string): { got: number; where: string } | undefined {
  if (part === null || typeof part !== "object" || ArrayBuffer.isView(part)) return undefined;
  for (const [name, inside] of Object.entries(part)) {
    const where = placeIn(part, path, name);
    if (typeof inside !== "number") {
      const found = notFiniteIn(inside, where);
      if (found) return found;
    } else if (!Number.isFinite(inside)) return { got: inside, where };
  }
  return undefined;
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

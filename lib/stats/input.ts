import { InputError } from "../errors.js";
import { nearestName } from "../options.js";
import type { Labels, Numbers } from "./estimate.js";

/** Says what a value is, short enough for one line of an error. */
export function shown(value: unknown): string {
  if (typeof value === "string") return JSON.stringify(value.slice(0, 40));
  if (typeof value === "number" || value === null || value === undefined) return String(value);
  if (Array.isArray(value) || ArrayBuffer.isView(value)) return "a list";
  return typeof value === "object" ? "a record" : `a ${typeof value}`;
}

/** Larger numbers have no square, and nearly every statistic needs squares. */
const largestNumber = 1e153;

/**
 * Checks a numeric column and copies it into a typed array.
 * @throws InputError when it is not a column, is shorter than `least`, or holds a value that is not
 *   a finite number of at most 1e153 in size; the message names the column and the first such index
 */
export function numbers(column: Numbers, where: string, least = 1): Float64Array {
  if (column === null || typeof column !== "object" || typeof column.length !== "number") {
    throw new InputError({ expected: "a column of numbers", got: shown(column), where });
  }
  if (column.length < least) {
    throw new InputError({ expected: `at least ${least} values`, got: `${column.length}`, where });
  }
  const copy = new Float64Array(column.length);
  for (let i = 0; i < copy.length; i++) {
    const value = column[i];
    if (typeof value !== "number" || !Number.isFinite(value)) {
      throw new InputError({
        expected: "a finite number",
        got: shown(value),
        where: `${where}, index ${i}`,
      });
    }
    if (Math.abs(value) > largestNumber) {
      throw new InputError({
        expected: `a number of at most ${largestNumber} in size, because its square is needed`,
        got: `${value}`,
        where: `${where}, index ${i}`,
      });
    }
    copy[i] = value;
  }
  return copy;
}

/** Checks a label column, as many as `count`: text, or whole numbers, which become text. */
export function labels(column: Labels | Numbers, where: string, count: number): string[] {
  if (column === null || typeof column !== "object" || typeof column.length !== "number") {
    throw new InputError({ expected: "a column of labels", got: shown(column), where });
  }
  sameLength(column.length, count, where);
  const copy: string[] = [];
  for (let i = 0; i < column.length; i++) {
    const value = column[i];
    if (typeof value !== "string" && !Number.isSafeInteger(value)) {
      throw new InputError({
        expected: "a label, text or a whole number",
        got: shown(value),
        where: `${where}, index ${i}`,
      });
    }
    copy.push(String(value));
  }
  return copy;
}

/**
 * Checks that a record of columns has no column that the function does not know.
 * @returns the same record
 * @throws InputError when it is no record, or for an unknown column, with the nearest known one
 */
export function namedColumns<T extends object>(
  columns: T,
  names: readonly (keyof T & string)[],
  where: string,
): T {
  const list = names.join(", ");
  if (columns === null || typeof columns !== "object" || "length" in columns) {
    throw new InputError({ expected: `a record of ${list}`, got: shown(columns), where });
  }
  const known: readonly string[] = names;
  for (const name of Object.keys(columns)) {
    if (known.includes(name)) continue;
    const near = nearestName(name, known);
    const expected = near === undefined ? `columns named ${list}` : `a column called ${near}`;
    throw new InputError({ expected, got: JSON.stringify(name), where });
  }
  return columns;
}

/** Two columns that belong together have one length. */
export function sameLength(length: number, wanted: number, where: string): void {
  if (length !== wanted) {
    throw new InputError({ expected: `${wanted} values`, got: `${length}`, where });
  }
}

/** A confidence level is a fraction strictly between 0 and 1, not a percentage. */
export function confidenceLevel(level: number, where: string): number {
  if (typeof level !== "number" || !(level > 0 && level < 1)) {
    throw new InputError({
      expected: "a confidence level between 0 and 1, such as 0.95",
      got: shown(level),
      where: `${where}, level`,
    });
  }
  return level;
}

/** An option that is one of a few words. */
export function oneOf<T extends string>(value: T, words: readonly T[], where: string): T {
  if (!words.includes(value)) {
    const expected = words.map((word) => `"${word}"`).join(" or ");
    throw new InputError({ expected, got: shown(value), where });
  }
  return value;
}

/** A number of things: whole, from `least` up. */
export function wholeNumber(value: number, where: string, least = 1): number {
  if (!Number.isInteger(value) || value < least) {
    throw new InputError({
      expected: `a whole number from ${least} up`,
      got: shown(value),
      where,
    });
  }
  return value;
}

/**
 * The seed of random draws: it must be given, so that a result can be drawn again.
 * @throws InputError when it is missing or not a whole number from 0 up
 */
export function requiredSeed(seed: number, where: string): number {
  if (Number.isSafeInteger(seed) && seed >= 0) return seed;
  const expected = "a whole number from 0 up that fixes the draws";
  throw new InputError({ expected, got: shown(seed), where: `${where}, seed` });
}

/** A finite number that is not below 0. */
export function nonNegative(value: number, where: string): number {
  if (typeof value !== "number" || !Number.isFinite(value) || value < 0) {
    throw new InputError({ expected: "a number from 0 up", got: shown(value), where });
  }
  return value;
}

import { InputError } from "../errors.js";

/** Freezes a record made of plain objects and arrays, all the way down. */
export function deepFrozen<T>(record: T): T {
  if (record === null || typeof record !== "object" || Object.isFrozen(record)) return record;
  for (const part of Object.values(record)) deepFrozen(part);
  return Object.freeze(record);
}

/** A value in a few words, for a message. */
export function valueInWords(value: unknown): string {
  if (typeof value === "string") return JSON.stringify(value.slice(0, 40));
  if (Array.isArray(value)) return "a list";
  return value !== null && typeof value === "object" ? "a record" : String(value);
}

/** Throws the InputError for a value that is not what was expected. */
export function refuse(expected: string, got: unknown, where: string): never {
  throw new InputError({ expected, got: valueInWords(got), where });
}

/** Text with something in it. */
export function text(value: unknown, where: string): string {
  if (typeof value !== "string" || value.trim() === "")
    refuse("a text that is not empty", value, where);
  return value as string;
}

/** Ids name anchors and files, so they keep to letters, digits, dot, dash and underscore. */
export function identifier(value: unknown, where: string): string {
  if (typeof value !== "string" || !/^[A-Za-z0-9][A-Za-z0-9._-]{0,119}$/.test(value)) {
    refuse("an id of letters, digits, '.', '-' or '_', at most 120 long", value, where);
  }
  return value as string;
}

/** A caption or an alternative text: a sentence, so that it stands alone under a figure. */
export function sentence(value: unknown, where: string): string {
  const words = text(value, where).trim();
  if (!/^[\p{Lu}\p{N}"“(]/u.test(words) || !/[.!?]["”)]?$/.test(words)) {
    refuse("a sentence that starts with a capital and ends with a full stop", value, where);
  }
  return words;
}

/** A number that is neither NaN nor infinite. */
export function finite(value: unknown, where: string): number {
  if (typeof value !== "number" || !Number.isFinite(value)) refuse("a finite number", value, where);
  return value as number;
}

/** A whole number, 0 or more. */
export function count(value: unknown, where: string): number {
  if (typeof value !== "number" || !Number.isInteger(value) || value < 0) {
    refuse("a whole number, 0 or more", value, where);
  }
  return value as number;
}

/**
 * A plain JSON copy of charts' traces and layouts: typed arrays become lists; a number that is not
 * finite is refused, because JSON would turn it into an empty place silently.
 */
export function plainJson(value: unknown, where: string): unknown {
  if (value === null || typeof value === "string" || typeof value === "boolean") return value;
  if (typeof value === "number") return finite(value, where);
  if (Array.isArray(value)) return value.map((item, i) => plainJson(item, `${where}, index ${i}`));
  if (ArrayBuffer.isView(value)) {
    return Array.from(value as Float64Array, (item, i) => finite(item, `${where}, index ${i}`));
  }
  if (typeof value === "object") return plainRecord(value as Record<string, unknown>, where);
  return refuse("plain JSON", value, where);
}

function plainRecord(record: Record<string, unknown>, where: string): Record<string, unknown> {
  const entries = Object.entries(record).filter(([, value]) => value !== undefined);
  return Object.fromEntries(
    entries.map(([key, value]) => [key, plainJson(value, `${where}.${key}`)]),
  );
}

/** A JSON object whose values are not known yet. */
export type Json = Record<string, unknown>;

/** Whether a value is a JSON object, and not a list. */
export function isRecord(value: unknown): value is Json {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** The objects in a list; nothing where there is no list. */
export function recordsIn(value: unknown): Json[] {
  return Array.isArray(value) ? value.filter(isRecord) : [];
}

/** The texts in a list; nothing where there is no list. */
export function textsIn(value: unknown): string[] {
  return Array.isArray(value) ? value.filter((part) => typeof part === "string") : [];
}

/** A text, or an empty one where there is none. */
export function textOr(value: unknown, fallback = ""): string {
  return typeof value === "string" ? value : fallback;
}

/** A number, or the one that stands for it where there is none. */
export function numberOr(value: unknown, fallback: number): number {
  return typeof value === "number" ? value : fallback;
}

/** The texts of a record by their keys. */
export function textPairs(value: unknown): Record<string, string> {
  if (!isRecord(value)) return {};
  const pairs = Object.entries(value).filter((pair): pair is [string, string] => {
    return typeof pair[1] === "string";
  });
  return Object.fromEntries(pairs);
}

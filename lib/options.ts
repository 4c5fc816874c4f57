import { itemAt } from "./entry.js";
import { InputError } from "./errors.js";

/**
 * Refuses an options object that holds an option the function does not know: an option that is
 * ignored silently would change a result without anyone noticing.
 * @param options the object as it was passed; a function called without options passes undefined
 * @param names every option the function knows
 * @param where the function, such as "summariseGrip"
 * @throws InputError that names the unknown option and the nearest known one
 */
export function knownOptions(options: unknown, names: readonly string[], where: string): void {
  if (options === undefined) return;
  if (typeof options !== "object" || options === null || Array.isArray(options)) {
    const expected = `an object of options (${names.join(", ")})`;
    throw new InputError({ expected, got: wordFor(options), where });
  }
  for (const name of Object.keys(options)) {
    if (names.includes(name)) continue;
    const near = nearestName(name, names);
    const expected =
      near === undefined ? `options named ${names.join(", ")}` : `an option called ${near}`;
    throw new InputError({ expected, got: JSON.stringify(name), where: `${where}, options` });
  }
}

function wordFor(value: unknown): string {
  if (Array.isArray(value)) return "a list";
  if (typeof value === "function") return "a function";
  return typeof value === "string" ? JSON.stringify(value.slice(0, 40)) : String(value);
}

/** The name that differs in the fewest letters from a word, if it is near enough to be meant. */
export function nearestName(word: string, names: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Math.max(2, Math.floor(word.length / 2)) + 1;
  for (const name of names) {
    const steps = name.startsWith(word) && word.length > 1 ? 1 : editDistance(word, name);
    if (steps < least) {
      least = steps;
      best = name;
    }
  }
  return best;
}

/** Insertions, deletions and replacements that turn one word into the other (Levenshtein 1966). */
export function editDistance(a: string, b: string): number {
  // A hostile name of a million letters would take for ever; no option is that long.
  if (Math.max(a.length, b.length) > 100) return Math.max(a.length, b.length);
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const replaced = itemAt(row, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(replaced, itemAt(row, j) + 1, itemAt(next, j - 1) + 1));
    }
    row = next;
  }
  return itemAt(row, b.length);
}

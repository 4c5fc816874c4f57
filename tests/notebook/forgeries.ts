import { readFileSync } from "node:fs";
import { type Notebook, parseNotebook } from "../../lib/notebook/nbformat.js";
import { type RandomStream, randomStream } from "../../lib/num/random.js";

type Json = Record<string, unknown>;
type Shown = { output_type: string; data: Json };

/** A record in which one visible digit, word or place was changed. */
export interface Forgery {
  readonly notebook: Notebook;
  /** What was changed, for the message of a test. */
  readonly what: string;
}

export function readRecord(path: string): Notebook {
  return parseNotebook(readFileSync(path, "utf8"));
}

/** Makes forgeries of one record, a new kind, form and place each time. */
export function forgeries(record: Notebook, count: number, seed: number): Forgery[] {
  const random = randomStream(seed);
  const made: Forgery[] = [];
  for (let tries = 0; made.length < count && tries < 50 * count; tries++) {
    const forgery = random.uniform() < 0.2 ? misplaced(record, random) : altered(record, random);
    if (forgery) made.push(forgery);
  }
  return made;
}

function outputsOf(notebook: Notebook): { cell: number; output: number; shown: Shown }[] {
  return notebook.cells.flatMap((cell, i) =>
    cell.cell_type !== "code"
      ? []
      : cell.outputs.flatMap((output, j) =>
          "data" in output ? [{ cell: i, output: j, shown: output as unknown as Shown }] : [],
        ),
  );
}

function pick<T>(list: readonly T[], random: RandomStream): T {
  return list[random.below(list.length)]!;
}

/** The record with the outputs of some cells replaced. */
function withOutputs(notebook: Notebook, change: (lists: unknown[][]) => void): Notebook {
  const copy = structuredClone(notebook) as unknown as { cells: { outputs?: unknown[] }[] };
  const lists = copy.cells.map((cell) => cell.outputs ?? []);
  change(lists);
  for (const [i, cell] of copy.cells.entries()) if (cell.outputs) cell.outputs = lists[i]!;
  return copy as unknown as Notebook;
}

/** One output in another cell, two exchanged, one gone, or one shown twice. */
function misplaced(notebook: Notebook, random: RandomStream): Forgery | undefined {
  const all = outputsOf(notebook);
  const [one, two] = [pick(all, random), pick(all, random)];
  if (JSON.stringify(one.shown) === JSON.stringify(two.shown)) return undefined;
  const kind = random.below(4);
  const what = ["exchanged", "moved", "removed", "shown twice"][kind]!;
  if (kind === 1 && one.cell === two.cell) return undefined;
  const forged = withOutputs(notebook, (lists) => {
    if (kind === 0) {
      lists[one.cell]![one.output] = two.shown;
      lists[two.cell]![two.output] = one.shown;
      return;
    }
    if (kind !== 3) lists[one.cell]!.splice(one.output, 1);
    if (kind !== 2) lists[two.cell]!.push(one.shown);
  });
  return { notebook: forged, what: `output ${one.cell}/${one.output} ${what} (${two.cell})` };
}

/** One digit or letter of one form of one output is another. */
function altered(notebook: Notebook, random: RandomStream): Forgery | undefined {
  const { cell, output, shown } = pick(outputsOf(notebook), random);
  const form = pick(Object.keys(shown.data), random);
  const changed = changedForm(shown.data[form], form, random);
  if (!changed) return undefined;
  const forged = withOutputs(notebook, (lists) => {
    lists[cell]![output] = { ...shown, data: { ...shown.data, [form]: changed.value } };
  });
  return { notebook: forged, what: `${form} of output ${cell}/${output}: ${changed.what}` };
}

interface Changed {
  readonly value: unknown;
  readonly what: string;
}

function changedForm(value: unknown, form: string, random: RandomStream): Changed | undefined {
  if (typeof value === "string") return changedText(value, form, random);
  if (typeof value === "number") return changedNumber(value, random);
  if (Array.isArray(value)) {
    const places = value.map((_, i) => i).filter((i) => isChangeable(value[i]));
    if (places.length === 0) return undefined;
    const place = pick(places, random);
    const part = changedForm(value[place], form, random);
    return part && { ...part, value: value.map((item, i) => (i === place ? part.value : item)) };
  }
  if (value === null || typeof value !== "object") return undefined;
  const record = value as Json;
  const keys = Object.keys(record).filter((key) => isChangeable(record[key]));
  if (keys.length === 0) return undefined;
  const key = pick(keys, random);
  const part = changedForm(record[key], form, random);
  return part && { value: { ...record, [key]: part.value }, what: `${key}: ${part.what}` };
}

function isChangeable(value: unknown): boolean {
  if (typeof value === "string") return /[\p{L}\d]/u.test(value);
  return typeof value === "number" || (value !== null && typeof value === "object");
}

/** One of the first four digits of a number, which every page shows, is another. */
function changedNumber(value: number, random: RandomStream): Changed | undefined {
  const text = String(value);
  const places = [...text.matchAll(/\d/g)].map(({ index }) => index);
  const first = places.findIndex((i) => text[i] !== "0");
  const seen = places.slice(Math.max(0, first), Math.max(0, first) + 4);
  const exponent = text.indexOf("e");
  const usable = seen.filter((i) => exponent < 0 || i < exponent);
  if (usable.length === 0) return undefined;
  const changed = Number(withOtherDigit(text, pick(usable, random), random));
  return changed === value ? undefined : { value: changed, what: `${value} → ${changed}` };
}

function withOtherDigit(text: string, at: number, random: RandomStream): string {
  const other = (Number(text[at]) + 1 + random.below(9)) % 10;
  return `${text.slice(0, at)}${other}${text.slice(at + 1)}`;
}

/** A digit or a letter that a reader sees: in markup, one of the text between the tags. */
function changedText(text: string, form: string, random: RandomStream): Changed | undefined {
  const hidden = /html|svg/.test(form) ? /<style[\s\S]*?<\/style>|<[^>]*>|&\w+;|&#\w+;/g : /&\w+;/g;
  const masked = text.replace(hidden, (part) => " ".repeat(part.length));
  const places = [...masked.matchAll(/[A-Za-z0-9]/g)].map(({ index }) => index);
  if (places.length === 0) return undefined;
  const at = pick(places, random);
  const isDigit = /\d/.test(text[at]!);
  const changed = isDigit
    ? withOtherDigit(text, at, random)
    : `${text.slice(0, at)}${text[at] === "x" ? "y" : "x"}${text.slice(at + 1)}`;
  const around = (whole: string) => whole.slice(Math.max(0, at - 10), at + 10);
  return { value: changed, what: `“${around(text)}” → “${around(changed)}”` };
}

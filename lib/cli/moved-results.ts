import type { Comparison } from "../notebook/compare.js";
import { numbersApart } from "../notebook/compare-data.js";
import type { Judgement } from "../notebook/judgement.js";
import { printable } from "./terminal-text.js";

type Json = Record<string, unknown>;

/** Every result that moved, as sentences: `rebuild`, `watch` and `verify` print the same ones. */
export function movedResults({ judgements }: Pick<Comparison, "judgements">): string[] {
  return judgements
    .filter(({ verdict }) => verdict !== "same")
    .map((judgement) => `  ${judgementSentence(judgement)}`);
}

/** "Lead-hand grip at address: change: 2.61 → 2.58 kgf (cell 7, different)". */
function judgementSentence(judgement: Judgement): string {
  const { kind, id, cell, verdict, difference, largest, form } = judgement;
  const place = `(cell ${cell.number}, ${verdict}${toleranceText(judgement)})`;
  if (verdict === "missing") return `${named(judgement)} is no longer shown ${place}`;
  if (verdict === "new") return `${named(judgement)} is not in the record ${place}`;
  if (form !== undefined) return printable(`${named(judgement)}: ${difference} ${place}`);
  if (kind === "finding") return `${findingMove(judgement)} ${place}`;
  if (difference !== undefined) {
    return printable(`${kind} ${id}: ${inWords(kind, difference)} ${place}`);
  }
  return `${kind} ${id}: numbers differ by at most ${largest?.toPrecision(2)} ${place}`;
}

/** ", tolerance 0.05 kgf" where the author of a finding lets it move. */
function toleranceText({ tolerance, rerun }: Judgement): string {
  if (tolerance === undefined) return "";
  const unit = (rerun as Json | undefined)?.unit;
  return `, tolerance ${tolerance}${typeof unit === "string" && unit ? ` ${unit}` : ""}`;
}

function named({ kind, id, recorded, rerun }: Judgement): string {
  const title = ((recorded ?? rerun) as Json | undefined)?.title;
  return printable(
    kind === "finding" && typeof title === "string" ? `finding ${id} (${title})` : `${kind} ${id}`,
  );
}

function findingMove({ id, recorded, rerun, difference, crossing }: Judgement): string {
  const [before, after] = [recorded, rerun] as [Json, Json];
  const unit = typeof after.unit === "string" && after.unit ? ` ${after.unit}` : "";
  const [then, now] = apart(before.value, after.value);
  const title = typeof after.title === "string" ? after.title : id;
  const limits = intervalMove(before, after);
  const moved = then === now ? `${now}${unit}` : `${then} → ${now}${unit}`;
  const named = [...fieldMoves(before, after), ...(crossing ? [`its interval ${crossing}`] : [])];
  const isQuiet = then === now && !limits && named.length === 0;
  const other = isQuiet && difference ? [inWords("finding", difference)] : [];
  return printable([`${title}: ${moved}${limits}`, ...named, ...other].join("; "));
}

/** What a change of rule, golfers or visits did to a finding beside its numbers, in clauses. */
function fieldMoves(before: Json, after: Json): string[] {
  const pairs: [string, unknown, unknown][] = [
    ["rule", before.rule, after.rule],
    ["method", before.method, after.method],
    ["n", countText(before.count), countText(after.count)],
    ["unit", before.unit, after.unit],
  ];
  const moves = pairs
    .filter(([, then, now]) => then !== now && typeof then === "string" && typeof now === "string")
    .map(([name, then, now]) => `${name}: ${then || "none"} → ${now || "none"}`);
  if (before.planned === true && after.planned === false) moves.push("no longer as planned");
  if (before.planned === false && after.planned === true) moves.push("now as planned");
  return moves;
}

function countText(count: unknown): unknown {
  const { n, of } = (count ?? {}) as Json;
  return typeof n === "number" ? `${n} ${of}` : undefined;
}

/** What the fields of outputs are called where a person reads them. */
const fieldNames: Readonly<Record<string, string>> = {
  leaveOneOut: "range when one is left out",
  source: "source rows",
  adjustedFor: "adjustment",
  references: "reference values",
  warnings: "warnings",
  statement: "statement",
  finding: "finding behind it",
  strongest: "strongest statement that the data allow",
  support: "support",
  reason: "reason",
  bound: "bound",
  data: "drawn values",
  layout: "axes and labels",
  caption: "caption",
  alt: "description",
  columns: "columns",
};

/** "data[0].y[3]: 22.5 → 22.2" as a reader says it: "drawn values: first difference 22.5 → 22.2". */
function inWords(kind: string, difference: string): string {
  const found = /^(\w+)([.[][^ ]*)?: (.*)$/s.exec(difference);
  const [, field = "", path = "", what = ""] = found ?? [];
  const row = kind === "table" && field === "rows" ? /^\[(\d+)\]\.(.+)$/.exec(path) : null;
  if (row) return `row ${Number(row[1]) + 1}, ${row[2]}: ${what}`;
  const name = fieldNames[field] ?? field;
  if (!found) return difference;
  return path ? `${name}: first difference ${what}` : `${name}: ${what}`;
}

function intervalMove(before: Json, after: Json): string {
  const [lowThen, lowNow] = apart(before.low, after.low);
  const [highThen, highNow] = apart(before.high, after.high);
  if (lowThen === lowNow && highThen === highNow) return "";
  const then = before.low === undefined ? "no interval" : `${lowThen} to ${highThen}`;
  const now = after.low === undefined ? "no interval" : `${lowNow} to ${highNow}`;
  return ` [${then} → ${now}]`;
}

/** Both values as text; "not answered" where a finding has none. */
function apart(before: unknown, after: unknown): [string, string] {
  if (typeof before !== "number" || typeof after !== "number")
    return [valueText(before), valueText(after)];
  // last digits that a sum in another order gives are no move that a reader should see
  const isRounding = Math.abs(after - before) <= 1e-9 * Math.max(Math.abs(before), Math.abs(after));
  return isRounding ? numbersApart(after, after) : numbersApart(before, after);
}

function valueText(value: unknown): string {
  return value === undefined ? "not answered" : String(value);
}

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
  if (difference !== undefined) return printable(`${kind} ${id}: ${difference} ${place}`);
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
  const other = then === now && !limits && difference ? `; ${difference}` : "";
  const called = crossing ? `; its interval ${crossing}` : "";
  return printable(`${title}: ${moved}${limits}${other}${called}`);
}

function intervalMove(before: Json, after: Json): string {
  const [lowThen, lowNow] = apart(before.low, after.low);
  const [highThen, highNow] = apart(before.high, after.high);
  if (lowThen === lowNow && highThen === highNow) return "";
  return ` [${lowThen} to ${highThen} → ${lowNow} to ${highNow}]`;
}

/** Both values as text; "none" where a value is missing. */
function apart(before: unknown, after: unknown): [string, string] {
  if (typeof before !== "number" || typeof after !== "number")
    return [String(before ?? "none"), String(after ?? "none")];
  return numbersApart(before, after);
}

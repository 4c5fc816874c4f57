import type { Judgement } from "../notebook/compare.js";
import { type LedgerEntry, printable } from "./ledger.js";

type Json = Record<string, unknown>;

/** Verdicts for a terminal: what moved as sentences, then a line of counts for each notebook. */
export function verdictText(entries: readonly LedgerEntry[], quiet: boolean): string {
  const rows: string[] = [];
  for (const { notebook, comparison } of entries) {
    if (quiet && comparison.agrees) continue;
    const counts = Object.entries(comparison.counts)
      .filter(([, count]) => count > 0)
      .map(([verdict, count]) => `${count} ${verdict}`);
    rows.push(`${notebook}: ${counts.join(", ") || "shows nothing"}`);
    for (const judgement of comparison.judgements) {
      if (judgement.verdict !== "same") rows.push(`  ${judgementSentence(judgement)}`);
    }
  }
  if (!quiet) rows.push(closing(entries));
  return rows.length === 0 ? "" : `${rows.join("\n")}\n`;
}

function closing(entries: readonly LedgerEntry[]): string {
  const apart = entries.filter(({ comparison }) => !comparison.agrees).length;
  if (entries.length === 0) return "Nothing could be compared.";
  return apart === 0
    ? "Everything agrees with the record."
    : `${apart} of ${entries.length} notebooks do not agree with their record.`;
}

/** "Lead-hand grip at address: change: 2.61 → 2.58 kgf (cell 7, different)". */
export function judgementSentence(judgement: Judgement): string {
  const { kind, id, cell, verdict, difference, largest } = judgement;
  const place = `(cell ${cell.number}, ${verdict})`;
  if (verdict === "missing") return `${named(judgement)} is no longer shown ${place}`;
  if (verdict === "new") return `${named(judgement)} is not in the record ${place}`;
  if (kind === "finding") return `${findingMove(judgement)} ${place}`;
  if (difference !== undefined) return printable(`${kind} ${id}: ${difference} ${place}`);
  return `${kind} ${id}: numbers differ by at most ${largest?.toPrecision(2)} ${place}`;
}

function named({ kind, id, recorded, rerun }: Judgement): string {
  const says = ((recorded ?? rerun) as Json | undefined)?.says;
  return printable(
    kind === "finding" && typeof says === "string" ? `finding ${id} (${says})` : `${kind} ${id}`,
  );
}

function findingMove({ id, recorded, rerun, difference, crossing }: Judgement): string {
  const [before, after] = [recorded, rerun] as [Json, Json];
  const unit = typeof after.unit === "string" && after.unit ? ` ${after.unit}` : "";
  const [then, now] = apart(before.value, after.value);
  const says = typeof after.says === "string" ? after.says : id;
  const limits = intervalMove(before, after);
  const moved = then === now ? `${now}${unit}` : `${then} → ${now}${unit}`;
  const other = then === now && !limits && difference ? `; ${difference}` : "";
  const called = crossing ? `; its interval ${crossing}` : "";
  return printable(`${says} ${moved}${limits}${other}${called}`);
}

function intervalMove(before: Json, after: Json): string {
  const [lowThen, lowNow] = apart(before.low, after.low);
  const [highThen, highNow] = apart(before.high, after.high);
  if (lowThen === lowNow && highThen === highNow) return "";
  return ` [${lowThen} to ${highThen} → ${lowNow} to ${highNow}]`;
}

/** Two numbers with as many digits as it takes to tell them apart, at least three. */
function apart(before: unknown, after: unknown): [string, string] {
  if (typeof before !== "number" || typeof after !== "number")
    return [String(before ?? "none"), String(after ?? "none")];
  for (let digits = 3; digits < 17; digits++) {
    const [a, b] = [before.toPrecision(digits), after.toPrecision(digits)];
    if (a !== b || before === after) return [short(a), short(b)];
  }
  return [String(before), String(after)];
}

function short(text: string): string {
  return text.includes("e") ? text : String(Number(text));
}

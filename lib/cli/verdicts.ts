import type { Comparison } from "../notebook/compare.js";
import type { Judgement, Verdict } from "../notebook/judgement.js";
import type { Verified } from "../workspace/verification.js";
import { printable, verdictWord } from "./ledger.js";

type Json = Record<string, unknown>;

/** Verdicts for a terminal: what moved as sentences, then a line of counts for each notebook. */
export function verdictText(
  verified: readonly Verified[],
  { quiet, from }: { readonly quiet: boolean; readonly from?: string | undefined },
): string {
  const rows: string[] = [];
  for (const one of verified) {
    if (quiet && one.passes) continue;
    const beside = [...one.data, ...one.prose, ...one.moves, ...one.warnings];
    rows.push(`${one.notebook}: ${countsText(one.comparison)}`);
    rows.push(...one.forms.map((judgement) => `  ${formSentence(judgement)}`));
    rows.push(...beside.map((clause) => `  ${printable(clause)}`), ...moves(one.comparison));
    if (!quiet) rows.push(...typedText(one.typed));
    if (one.itself?.agrees === false) {
      rows.push("  The notebook is not deterministic; a second run differs:", ...moves(one.itself));
    }
    if (one.notice?.advice) rows.push(`  ${one.notebook}: ${one.notice.advice}`);
  }
  if (!quiet) rows.push(closing(verified, from));
  return rows.length === 0 ? "" : `${rows.join("\n")}\n`;
}

/** "Typed by hand, not checked: cell intro (24 golfers, 6 weeks)". */
function typedText(typed: Verified["typed"]): string[] {
  if (typed.length === 0) return [];
  const cells = typed.map(({ cell, numbers }) => `cell ${cell.id} (${numbers.join(", ")})`);
  return [`  Typed by hand, not checked: ${printable(cells.join("; "))}`];
}

function countsText({ counts }: Comparison): string {
  const parts = Object.entries(counts)
    .filter(([, count]) => count > 0)
    .map(([verdict, count]) => `${count} ${verdictWord(verdict as Verdict)}`);
  return parts.join(", ") || "shows nothing";
}

function moves({ judgements }: Comparison): string[] {
  return judgements
    .filter(({ verdict }) => verdict !== "same")
    .map((judgement) => `  ${judgementSentence(judgement)}`);
}

function closing(verified: readonly Verified[], from: string | undefined): string {
  if (verified.length === 0) return "Nothing could be compared.";
  const record = from === undefined ? "the record" : `the record at ${from}`;
  const apart = verified.filter(({ passes }) => !passes).length;
  if (apart > 0) return `${apart} of ${verified.length} notebooks do not agree with ${record}.`;
  const reported = verified.some(({ comparison }) => !comparison.agrees);
  return reported
    ? `The notebooks' lists of changes report every result that moved since ${record}.`
    : `Everything agrees with ${record}.`;
}

/** "finding primary: its HTML reads “6.4 kgf”, its data “2.4 kgf” (cell 7, in the record)". */
function formSentence({ kind, id, cell, difference }: Judgement): string {
  return printable(`${kind} ${id}: ${difference} (cell ${cell.number}, in the record)`);
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

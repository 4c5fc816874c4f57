import type { Comparison } from "../notebook/compare.js";
import type { Judgement, Verdict } from "../notebook/judgement.js";
import type { Verified } from "../workspace/verification.js";
import { movedResults } from "./moved-results.js";
import { printable, verdictWord } from "./terminal-text.js";

/** Verdicts for a terminal: what moved as sentences, then a line of counts for each notebook. */
export function verdictText(
  verified: readonly Verified[],
  { quiet, from }: { readonly quiet: boolean; readonly from?: string | undefined },
): string {
  const rows: string[] = [];
  for (const one of verified) {
    if (quiet && one.passes) continue;
    const beside = [...one.data, ...one.prose, ...one.frame, ...one.moves, ...one.warnings];
    rows.push(`${one.notebook}: ${countsText(one.comparison)}`);
    rows.push(...one.forms.map((judgement) => `  ${formSentence(judgement)}`));
    rows.push(...beside.map((clause) => `  ${printable(clause)}`), ...movedResults(one.comparison));
    if (!quiet) rows.push(...typedText(one.typed));
    if (one.itself?.agrees === false) {
      rows.push(
        "  The notebook is not deterministic; a second run differs:",
        ...movedResults(one.itself),
      );
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

import type { Judgement, Verdict } from "../notebook/judgement.js";
import type { RebuiltNotebook } from "../workspace/rebuild-engine.js";
import { movedResults } from "./moved-results.js";
import { printable, verdictWord } from "./terminal-text.js";

type Json = Record<string, unknown>;

/** One line of a ledger: the finding as a sentence and how it compares with the record. */
export interface LedgerLine {
  /** Path of the notebook. */
  readonly notebook: string;
  /** Id of the finding. */
  readonly id: string;
  /** The finding as a sentence. */
  readonly sentence: string;
  /** How it compares with the record. */
  readonly status: string;
}

/** The findings of all notebooks as sentences, each with how it compares with the record. */
export function ledgerLines(entries: readonly RebuiltNotebook[]): LedgerLine[] {
  return entries.flatMap(({ notebook, comparison, unchanged, edits }) =>
    comparison.judgements
      .filter(({ kind }) => kind === "finding")
      .map((judgement) => ({
        notebook,
        id: judgement.id,
        sentence: sentenceOf(judgement.rerun ?? judgement.recorded),
        status: unchanged ? "unchanged" : status(judgement, edits.length > 0),
      })),
  );
}

/** The ledger for a terminal. */
export function ledgerText(entries: readonly RebuiltNotebook[], colour = false): string {
  const lines = ledgerLines(entries);
  if (entries.every(({ comparison }) => comparison.judgements.length === 0)) return "";
  const width = Math.max(0, ...lines.map(({ status }) => status.length));
  const rows: string[] = [];
  let notebook = "";
  for (const line of lines) {
    if (line.notebook !== notebook) rows.push("", line.notebook);
    notebook = line.notebook;
    rows.push(`  ${painted(line.status.padEnd(width), colour)}  ${line.sentence}`);
  }
  const blocks = [rows.slice(1), movedText(entries), [summary(entries)]];
  const shown = blocks.filter((block) => block.length > 0).map((block) => block.join("\n"));
  return `${shown.join("\n\n")}\n`;
}

/** What differs from the record, notebook by notebook; results that are new are not repeated. */
function movedText(entries: readonly RebuiltNotebook[]): string[] {
  return entries.flatMap(({ notebook, comparison, unchanged }) => {
    const judgements = comparison.judgements.filter(({ verdict }) => verdict !== "new");
    const moved = unchanged ? [] : movedResults({ judgements });
    return moved.length > 0 ? [`What moved in ${notebook}:`, ...moved] : [];
  });
}

function summary(entries: readonly RebuiltNotebook[]): string {
  const tally = new Map<string, number>();
  for (const { comparison, unchanged, edits } of entries) {
    for (const { verdict } of comparison.judgements) {
      const word = unchanged ? "unchanged" : stateWord(verdict, edits.length > 0);
      tally.set(word, (tally.get(word) ?? 0) + 1);
    }
  }
  const parts = [...tally].map(([word, count]) => `${count} ${word}`);
  return `Findings, figures, tables and texts: ${parts.join(", ")}.`;
}

/** A result that an edit moved is no failure to reproduce; one that moved by itself is. */
function stateWord(verdict: Verdict, isEdited: boolean): string {
  if (verdict !== "different" && verdict !== "missing") return verdictWord(verdict);
  if (!isEdited) return "not reproduced";
  return verdict === "missing" ? "gone after an edit" : "changed by an edit";
}

function status({ verdict }: Judgement, isEdited: boolean): string {
  return stateWord(verdict, isEdited);
}

/** The text of a finding comes from a notebook: control characters must not reach a terminal. */
function sentenceOf(finding: unknown): string {
  const sentence = (finding as Json | undefined)?.sentence;
  return printable(typeof sentence === "string" ? sentence : "(no sentence)");
}

function painted(status: string, colour: boolean): string {
  if (!colour) return status;
  const code = /^(?:reproduced|unchanged)/.test(status)
    ? 32
    : /^(?:new|within|changed|gone)/.test(status)
      ? 33
      : 31;
  return `\u001b[${code}m${status}\u001b[0m`;
}

import type { Judgement, Verdict } from "../notebook/judgement.js";
import type { RebuiltNotebook } from "../workspace/rebuild-engine.js";

type Json = Record<string, unknown>;

/** One line of a ledger: the finding as a sentence and how it compares with the record. */
export interface LedgerLine {
  readonly notebook: string;
  readonly id: string;
  readonly sentence: string;
  readonly status: string;
}

/** The findings of all notebooks as sentences, each with how it compares with the record. */
export function ledgerLines(entries: readonly RebuiltNotebook[]): LedgerLine[] {
  return entries.flatMap(({ notebook, comparison, unchanged }) =>
    comparison.judgements
      .filter(({ kind }) => kind === "finding")
      .map((judgement) => ({
        notebook,
        id: judgement.id,
        sentence: sentenceOf(judgement.rerun ?? judgement.recorded),
        status: unchanged ? "unchanged" : status(judgement),
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
  if (rows.length > 0) rows.push("");
  return `${[...rows.slice(1), summary(entries)].join("\n")}\n`;
}

function summary(entries: readonly RebuiltNotebook[]): string {
  const tally = new Map<string, number>();
  for (const { comparison, unchanged } of entries) {
    for (const { verdict } of comparison.judgements) {
      const word = unchanged ? "unchanged" : verdictWord(verdict);
      tally.set(word, (tally.get(word) ?? 0) + 1);
    }
  }
  const parts = [...tally].map(([word, count]) => `${count} ${word}`);
  return `Findings, figures, tables and texts: ${parts.join(", ")}.`;
}

/** A verdict as people read it, here and in the pages of the report. */
export function verdictWord(verdict: Verdict): string {
  return verdict === "same" ? "reproduced" : verdict;
}

function status({ verdict, recorded }: Judgement): string {
  if (verdict !== "different") return verdictWord(verdict);
  const value = (recorded as Json | undefined)?.value;
  return typeof value === "number" ? `different (was ${Number(value.toPrecision(6))})` : verdict;
}

/** The text of a finding comes from a notebook: control characters must not reach a terminal. */
function sentenceOf(finding: unknown): string {
  const sentence = (finding as Json | undefined)?.sentence;
  return printable(typeof sentence === "string" ? sentence : "(no sentence)");
}

export function printable(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is removed
  return text.replace(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]+/g, " ");
}

function painted(status: string, colour: boolean): string {
  if (!colour) return status;
  const code = /^(?:reproduced|unchanged)/.test(status)
    ? 32
    : /^(?:new|within)/.test(status)
      ? 33
      : 31;
  return `\u001b[${code}m${status}\u001b[0m`;
}

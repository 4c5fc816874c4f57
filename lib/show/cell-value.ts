import type { Answer } from "../analysis/study-answer.js";
import { markup } from "../markup.js";
import type { Estimate } from "../stats/estimate.js";
import type { Study } from "../study/study.js";
import { answerFinding, singlesOf } from "./answer-finding.js";
import { findingSentence } from "./finding-words.js";
import { aligned, fitTable, isFit, type ShownTable } from "./fit-summary.js";
import { intervalText, probabilityText, significantText, valueText } from "./wording.js";

/** The forms of a value that a cell ends with, by media type. */
export interface CellValueForms {
  /** Media type of plain text, and the text. */
  readonly "text/plain": string;
  /** Media type of markup, and the markup; it takes the colours of the page around it. */
  readonly "text/html": string;
}

/**
 * How a cell shows a value that it ends with, where plain printing would show the fields of a record:
 * a fit as its coefficients, an estimate with its interval, the result of a method as a table of its
 * values, an answer in a sentence, a study as an account of its files, a long text or list up to a
 * limit with a count.
 * @returns undefined for a value that is printed as it is
 */
export function cellValueForms(value: unknown): CellValueForms | undefined {
  if (isFit(value)) return formsOf(fitTable(value));
  if (isAnswer(value)) return lines(singlesOf(value).map(answerSentence));
  if (isEstimate(value)) return lines([estimateText(value)]);
  if (isStudy(value)) return formsOf(studyTable(value));
  if (isResult(value)) return formsOf(resultTable(value));
  if (typeof value === "string" && value.length > longestText) return lines([shortened(value)]);
  return undefined;
}

const longestText = 20_000;

function shortened(text: string): string {
  return `${text.slice(0, longestText)}… (${text.length - longestText} more characters)`;
}

function lines(texts: readonly string[]): CellValueForms {
  const html = texts.map((text) => markup`<div style="white-space: pre-wrap">${text}</div>`);
  return { "text/plain": texts.join("\n"), "text/html": String(markup`${html}`) };
}

/** "2.4 (95 % CI 0.5 to 4.2), SE 0.9, p = 0.012" */
function estimateText({ value, interval, se, p }: Estimate): string {
  const measured = { value, ...interval };
  const range = interval ? ` (${intervalText(measured)})` : "";
  const spread = se === undefined ? "" : `, SE ${significantText(se)}`;
  return `${valueText(measured, "")}${range}${spread}${p === undefined ? "" : `, ${probabilityText(p)}`}`;
}

/** A record of `tautline/stats` that says how an estimate was made. */
interface Result {
  readonly kind: string;
  readonly method: string;
}

function isResult(value: unknown): value is Result & Record<string, unknown> {
  return (
    isRecord(value) &&
    typeof value.kind === "string" &&
    typeof value.method === "string" &&
    Object.values(value).some(isEstimate)
  );
}

/** The values of a result by the names of its fields; what is a record of its own is named. */
function resultTable(result: Result & Record<string, unknown>): ShownTable {
  const { kind, method, warnings, ...fields } = result;
  const rows: string[][] = [];
  const others: string[] = [];
  for (const [field, value] of Object.entries(fields)) {
    const limits = fields[`${field}Interval`];
    if (isEstimate(value)) rows.push([field, estimateText(value)]);
    else if (typeof value === "number") {
      rows.push([field, isLimits(limits) ? limitedText(value, limits) : significantText(value)]);
    } else if (!isLimits(value) || !(field.replace(/Interval$/, "") in fields)) others.push(field);
  }
  const told = Array.isArray(warnings) ? warnings.map((warning) => `Note: ${warning}`) : [];
  const more = others.length > 0 ? [`More in its fields ${others.join(", ")}.`] : [];
  return { title: kind, heads: ["field", "value"], rows, notes: [`${method}.`, ...told, ...more] };
}

type Limits = NonNullable<Estimate["interval"]>;

function isLimits(value: unknown): value is Limits {
  return isRecord(value) && typeof value.low === "number" && typeof value.high === "number";
}

function limitedText(value: number, limits: Limits): string {
  return estimateText({ value, interval: limits });
}

/** The sentence that a finding of this answer would have. */
function answerSentence(answer: Answer): string {
  return findingSentence(answerFinding("", answer));
}

function isAnswer(value: unknown): value is Answer {
  return (
    isRecord(value) && "quantity" in value && Array.isArray(value.parts) && isRecord(value.measure)
  );
}

const estimateFields = ["value", "se", "df", "statistic", "p", "interval"];

/** An estimate has these fields alone; a record with more to say is printed with all of it. */
function isEstimate(value: unknown): value is Estimate {
  if (!isRecord(value) || typeof value.value !== "number") return false;
  const fields = Object.keys(value);
  return (
    (isRecord(value.interval) || typeof value.se === "number") &&
    fields.every((field) => estimateFields.includes(field))
  );
}

function isStudy(value: unknown): value is Study {
  return isRecord(value) && value.kind === "study" && Array.isArray(value.account);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}

function studyTable({ name, title, simulated, account, issues }: Study): ShownTable {
  const rows = account.map(({ file, rows: all, used, setAside }) => [
    file,
    String(all),
    String(used),
    setAside.map(({ reason, rows: left }) => `${left} ${reason}`).join("; "),
  ]);
  const found = issues.length === 1 ? "1 issue" : `${issues.length} issues`;
  return {
    title: `${name}: ${title}${simulated && !/\bsimulated\b/i.test(title) ? " (simulated)" : ""}`,
    heads: ["file", "rows", "used", "set aside"],
    rows,
    notes: [`The check found ${found}.`],
  };
}

function formsOf({ title, heads, rows, notes }: ShownTable): CellValueForms {
  const text = [title, "", ...aligned(heads, rows), ...notes].join("\n");
  const cells = (row: readonly string[], i: number) =>
    markup`<td style="text-align: ${i === 0 ? "left" : "right"}">${row[i] ?? ""}</td>`;
  const head = heads.map((name) => markup`<th scope="col">${name}</th>`);
  const body = rows.map((row) => markup`<tr>${heads.map((_, i) => cells(row, i))}</tr>`);
  const after = notes.map((note) => markup`<div>${note}</div>`);
  const html = markup`<table><caption>${title}</caption><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>${after}`;
  return { "text/plain": text, "text/html": String(html) };
}

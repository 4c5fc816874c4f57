import { type Insert, type Markup, markup, nothing, proseHtml } from "../markup.js";
import { countWords } from "../show/answer-words.js";
import type { Finding, UnansweredFinding } from "../show/finding-record.js";
import { findingValueText, plannedWords } from "../show/finding-words.js";
import {
  companionText,
  countedOf,
  intervalText,
  percentLevel,
  rounderFor,
  valueText,
} from "../show/wording.js";
import { anchorOf, judgementOf, linkTo, type PageContext } from "./context.js";
import { type CordScale, cordSvg, soloCord } from "./cord.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { exceptionHtml, stateOf } from "./result-state.js";

/** A finding with the place it was stated. */
export interface Stated {
  /** The notebook that states it. */
  readonly notebook: Pick<RecordedNotebook, "slug" | "path">;
  /** The cell that states it. */
  readonly cell: Pick<RecordedCell, "number">;
  /** The finding. */
  readonly finding: Finding;
}

/** Value and interval in one: "2.4 kgf 0.5 to 4.2"; the level only where it is not 95 %. */
export function estimateHtml(finding: Finding): Markup {
  const value = markup`<b data-shown="value">${proseHtml(findingValueText(finding))}</b>`;
  if (finding.low === undefined) return value;
  const level = percentLevel(finding.level ?? 0.95);
  const limits = intervalText(finding).replace(`${level} CI `, "");
  const words = level === "95 %" ? limits : `${limits} (${level} CI)`;
  return markup`${value} <span class="limits" data-shown="interval">${proseHtml(words)}</span>`;
}

/** Value and interval in a sentence: "2.4 kgf (95 % CI 0.5 to 4.2)". */
export function estimateWords(finding: Finding): string {
  const value = findingValueText(finding);
  if (finding.low === undefined) return value;
  return `${value} (${intervalText(finding)})`;
}

function listed(items: readonly string[]): string {
  return items.length === 0 ? "none" : items.join(", ");
}

function entry(term: string, html: Insert): Markup {
  return markup`<div><dt>${term}</dt><dd>${html}</dd></div>`;
}

function sourceEntries({ source }: Finding): Markup[] {
  if (!source) return [entry("Rows", "not stated by the cell")];
  const aside = source.setAside.map(
    ({ reason, rows }) =>
      markup`<li>${reason}: ${Number(rows)} row${Number(rows) === 1 ? "" : "s"}</li>`,
  );
  return [
    entry("Files", listed(source.files)),
    entry("Rows used", source.rowsUsed),
    entry("Rows set aside", aside.length ? markup`<ul>${aside}</ul>` : "none"),
    entry(`Participants (${source.participants.length})`, listed(source.participants)),
  ];
}

/** Those without whom the conclusion about zero changes. */
function changing({ leaveOneOut }: Finding): readonly string[] {
  return leaveOneOut?.changesConclusion ?? [];
}

function leftOut({ leaveOneOut }: Finding): string {
  return leaveOneOut?.leaving === "study" ? "study" : "golfer";
}

/** Whether the conclusion stays: that zero lies inside the interval, above or below it. */
function conclusionWords(finding: Finding): string {
  const without = changing(finding);
  // A study's label may hold commas of its own.
  const between = without.some((name) => name.includes(",")) ? "; " : ", ";
  if (without.length > 0) {
    return `the conclusion changes if one of these is left out: ${without.join(between)}`;
  }
  return finding.low === undefined
    ? "without an interval there is no conclusion to change"
    : `the conclusion stays whichever ${leftOut(finding)} is left out`;
}

function leaveOneOutEntry(finding: Finding): Markup {
  const { leaveOneOut, unit, value, low, high } = finding;
  const term = `One ${leftOut(finding)} left out`;
  if (!leaveOneOut) return entry("One golfer left out", "not stated by the cell");
  const total = countedOf(unit);
  const write = (end: number) => proseHtml(valueText({ value: end, low, high }, unit));
  const range =
    total === undefined
      ? markup`the value lies between ${write(leaveOneOut.low)} and ${write(leaveOneOut.high)}`
      : markup`the count lies between ${Number(leaveOneOut.low)} and ${Number(leaveOneOut.high)}, out of ${total - 1}`;
  return entry(
    term,
    markup`${range} (with everybody ${write(value)}); ${conclusionWords(finding)}.`,
  );
}

/** The range when one is left out, only where that changes the conclusion. */
export function changedConclusionHtml(finding: Finding): Markup {
  const { leaveOneOut, low, high, value } = finding;
  if (!leaveOneOut || changing(finding).length === 0) return nothing;
  const write = rounderFor({ value, low, high });
  const range = `${write(leaveOneOut.low)} to ${write(leaveOneOut.high)}`;
  return markup`<small class="leave-one-out">${proseHtml(range)} when one ${leftOut(finding)} is left out; ${conclusionWords(finding)}</small>`;
}

function referenceEntry(finding: Finding): Markup[] {
  const references = finding.references ?? [];
  if (references.length === 0) return [];
  const items = references.map(
    ({ name, value }) => markup`<li>${name}: ${proseHtml(valueText({ value }, finding.unit))}</li>`,
  );
  return [entry("Reference values", markup`<ul>${items}</ul>`)];
}

function planEntry(finding: Finding): Markup[] {
  const words = plannedWords(finding);
  return words === undefined ? [] : [entry("In the plan", words)];
}

/** From a number to its rows, its cell, and what it depends on. */
export function traceHtml(context: PageContext, { notebook, cell, finding }: Stated): Markup {
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  const home = linkTo(context, notebook.slug, anchorOf(notebook, "cell", String(cell.number)));
  const entries = [
    entry("Made by", markup`<a href="${home}">cell ${cell.number}</a> of ${notebook.path}`),
    entry("Method", finding.method),
    ...planEntry(finding),
    ...sourceEntries(finding),
    leaveOneOutEntry(finding),
    ...referenceEntry(finding),
    markup`<div data-run><dt>Last re-run</dt><dd>${stateOf(judged)}</dd></div>`,
    entry("Recorded value", markup`<code data-shown="exact">${finding.value}</code>`),
  ];
  return markup`<details class="trace"><summary>Where this number comes from</summary><dl>${entries}</dl></details>`;
}

/** Names the result that an element shows, for the check in the page. */
export function ofAttributes(
  notebook: Pick<RecordedNotebook, "slug">,
  kind: string,
  id: string,
): Markup {
  return markup`data-of-notebook="${notebook.slug}" data-of-kind="${kind}" data-of-id="${id}"`;
}

/** What n counts and the method, and the value in the companion unit: the small print of a finding. */
export function smallPrint(finding: Finding): Markup {
  const other = companionText(finding, finding.unit);
  const beside = other ? markup`<span data-shown="companion">${proseHtml(other)}</span> · ` : "";
  return markup`<small>${beside}${proseHtml(`n = ${countWords(finding.count)} · ${finding.method}`)}</small>`;
}

/** A finding in its notebook: value and interval large, title above, small print below. */
export function findingHtml(context: PageContext, stated: Stated): Markup {
  const { notebook, finding } = stated;
  const id = anchorOf(notebook, "finding", finding.id);
  const title = finding.title;
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  return markup`<section class="finding" id="${id}" ${ofAttributes(notebook, "finding", finding.id)} aria-label="${title}"><p class="title">${proseHtml(title)}</p><p class="estimate">${estimateHtml(finding)}</p>${soloCord(finding)}<p class="small">${smallPrint(finding)} ${exceptionHtml(judged)}<span class="recomputed"></span></p>${changedConclusionHtml(finding)}${traceHtml(context, stated)}</section>`;
}

/** The key number of a question, in the summary of its fold. */
export function keyNumberHtml(stated: Stated, scale: CordScale | undefined): Markup {
  const { notebook, finding } = stated;
  const drawing = scale ? cordSvg(finding, scale) : nothing;
  return markup`<span class="key-number" ${ofAttributes(notebook, "finding", finding.id)}><span class="words">${proseHtml(finding.title)} <span class="estimate">${estimateHtml(finding)}</span></span>${drawing}</span>`;
}

/** A question without an answer, in its notebook: the reason stands where the number would. */
export function unansweredHtml(
  notebook: Pick<RecordedNotebook, "slug">,
  finding: UnansweredFinding,
): Markup {
  const id = anchorOf(notebook, "finding", finding.id);
  return markup`<section class="finding" id="${id}" ${ofAttributes(notebook, "finding", finding.id)} aria-label="${finding.title}"><p class="title">${proseHtml(finding.title)}</p><p class="unanswered">Not answered. ${proseHtml(finding.unanswered)} <span class="recomputed"></span></p></section>`;
}

import { type Insert, type Markup, markup, nothing, proseHtml } from "../markup.js";
import { supportHeads } from "../show/claim.js";
import type { Claim } from "../show/claim-record.js";
import { boundText } from "../show/claim-words.js";
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
import {
  anchorOf,
  type CheckState,
  checkState,
  type Judged,
  judgementOf,
  linkTo,
  type PageContext,
} from "./context.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { soloStrip } from "./strip.js";

/** A finding with the place it was stated. */
export interface Stated {
  /** The notebook that states it. */
  readonly notebook: Pick<RecordedNotebook, "slug" | "path">;
  /** The cell that states it. */
  readonly cell: Pick<RecordedCell, "number">;
  /** The finding. */
  readonly finding: Finding;
}

const moods: Readonly<Record<CheckState, string>> = {
  reproduced: "good",
  new: "none",
  "changed by an edit": "none",
  "not reproduced": "bad",
};

/** The state of a result in words, with the edits that explain it. */
function stateWords(judged: Judged): string {
  const state = checkState(judged);
  if (judged.verdict === "within tolerance") return "reproduced within tolerance in the last check";
  if (state === "reproduced") return "reproduced in the last check";
  if (state === "new") return "new since the last check";
  if (state === "not reproduced") {
    return judged.verdict === "missing" ? "not reproduced: missing" : "not reproduced: different";
  }
  const what = judged.verdict === "missing" ? "no longer shown" : "changed";
  return `${what} after an edit (${judged.edits.join(", ")})`;
}

/** What the last re-run said of a result, in words with a mark. */
export function verdictBadge(judged: Judged | undefined): Markup {
  if (!judged) return markup`<span class="badge none">not run on this machine yet</span>`;
  return markup`<span class="badge ${moods[checkState(judged)]}">${stateWords(judged)}</span>`;
}

/** "2.6 kgf" with the companion unit in small print. */
export function valueHtml(finding: Finding): Markup {
  const other = companionText(finding, finding.unit);
  const beside = other ? markup` <small data-shown="companion">${proseHtml(other)}</small>` : "";
  return markup`<b data-shown="value">${proseHtml(findingValueText(finding))}</b>${beside}`;
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

function leaveOneOutEntry(finding: Finding): Markup {
  const { leaveOneOut, unit, value, low, high } = finding;
  if (!leaveOneOut) return entry("Leaving one person out", "not stated by the cell");
  const total = countedOf(unit);
  const write = (end: number) => proseHtml(valueText({ value: end, low, high }, unit));
  const range =
    total === undefined
      ? markup`the value lies between ${write(leaveOneOut.low)} and ${write(leaveOneOut.high)}`
      : markup`the count lies between ${Number(leaveOneOut.low)} and ${Number(leaveOneOut.high)}, out of ${total - 1} when one is left out`;
  return entry(
    `Leaving one ${leftOut(finding)} out`,
    markup`${range} (now ${write(value)}); ${conclusionWords(finding)}.`,
  );
}

/** Whether the conclusion stays: that zero lies inside the interval, above or below it. */
function conclusionWords(finding: Finding): string {
  const without = finding.leaveOneOut?.changesConclusion ?? [];
  // A study's label may hold commas of its own.
  const between = without.some((name) => name.includes(",")) ? "; " : ", ";
  if (without.length > 0)
    return `the conclusion changes if one of these is left out: ${without.join(between)}`;
  return finding.low === undefined
    ? "without an interval there is no conclusion to change"
    : `no single ${leftOut(finding)} changes the conclusion`;
}

function leftOut({ leaveOneOut }: Finding): string {
  return leaveOneOut?.leaving === "study" ? "study" : "person";
}

/** The same in short, for the ledger: the range, and whose absence changes the conclusion. */
export function leaveOneOutHtml(finding: Finding): Markup {
  const { leaveOneOut, low, high, value } = finding;
  if (!leaveOneOut) return nothing;
  const write = rounderFor({ value, low, high });
  const changes = leaveOneOut.changesConclusion.length > 0 ? `; ${conclusionWords(finding)}` : "";
  return markup`<small class="leave-one-out">one ${leftOut(finding)} left out: ${proseHtml(`${write(leaveOneOut.low)} to ${write(leaveOneOut.high)}`)}${changes}</small>`;
}

function referenceEntry({ references, unit }: Finding): Markup[] {
  if (!references?.length) return [];
  const items = references.map(
    ({ name, value }) => markup`<li>${name}: ${proseHtml(valueText({ value }, unit))}</li>`,
  );
  return [entry("Reference values", markup`<ul>${items}</ul>`)];
}

function planEntry(finding: Finding): Markup[] {
  const words = plannedWords(finding);
  return words === undefined ? [] : [entry("In the plan", words)];
}

/** From a number to its rows, its cell, and what it depends on. */
function traceHtml(context: PageContext, { notebook, cell, finding }: Stated): Markup {
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  const home = linkTo(context, notebook.slug, anchorOf(notebook, "cell", String(cell.number)));
  const entries = [
    entry("Made by", markup`<a href="${home}">cell ${cell.number}</a> of ${notebook.path}`),
    entry("Method", finding.method),
    ...planEntry(finding),
    ...sourceEntries(finding),
    leaveOneOutEntry(finding),
    ...referenceEntry(finding),
    markup`<div data-run><dt>Last re-run</dt><dd>${judged?.difference ? judged.difference : verdictBadge(judged)}</dd></div>`,
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

/** A finding in the text of its notebook. */
export function findingHtml(context: PageContext, stated: Stated): Markup {
  const { notebook, finding } = stated;
  const id = anchorOf(notebook, "finding", finding.id);
  const other = companionText(finding, finding.unit);
  const beside = other
    ? markup` <small>(<span data-shown="companion">${proseHtml(other)}</span>)</small>`
    : "";
  return markup`<section class="finding" id="${id}" ${ofAttributes(notebook, "finding", finding.id)} aria-label="Finding ${finding.id}"><p><span data-shown="sentence">${proseHtml(finding.sentence)}</span>${beside} <span class="recomputed"></span></p>${soloStrip(finding)}${traceHtml(context, stated)}</section>`;
}

/** A question without an answer, in the text of its notebook: the reason stands in its sentence. */
export function unansweredHtml(
  notebook: Pick<RecordedNotebook, "slug">,
  finding: UnansweredFinding,
): Markup {
  const id = anchorOf(notebook, "finding", finding.id);
  return markup`<section class="finding" id="${id}" ${ofAttributes(notebook, "finding", finding.id)} aria-label="Finding ${finding.id}"><p><span data-shown="sentence">${proseHtml(finding.sentence)}</span> <span class="recomputed"></span></p></section>`;
}

/**
 * A claim with the evidence's answer to it.
 * @param place the claim's own anchor, left out where a page repeats it
 */
export function claimHtml(
  context: PageContext,
  notebook: Pick<RecordedNotebook, "slug">,
  claim: Claim,
  place: Markup = markup` id="${anchorOf(notebook, "claim", claim.id)}"`,
): Markup {
  const target = linkTo(
    context,
    notebook.slug,
    anchorOf(notebook, "finding", String(claim.finding)),
  );
  const mood = String(claim.support).replace(/\s/g, "-");
  const words = plannedWords(claim);
  const plan = words === undefined ? "" : markup` <small>${words}</small>`;
  const checked =
    claim.reason === undefined
      ? markup`What the <a href="${target}">finding</a> supports: <span data-shown="strongest">${proseHtml(claim.strongest)}</span>`
      : markup`The <a href="${target}">finding</a> gives no number: ${proseHtml(claim.reason)}`;
  return markup`<section class="claim ${mood}"${place} ${ofAttributes(notebook, "claim", claim.id)}><p><b><span data-shown="support">${supportHeads[claim.support]}</span>.</b> <q>${proseHtml(claim.statement)}</q>${plan}</p><ul><li>${claim.relation} ${proseHtml(boundText(claim.bound))}</li></ul><p>${checked}</p></section>`;
}

/** The interval in words, with its level, for the ledger. */
export function intervalHtml(finding: Finding): Markup {
  if (finding.low === undefined) return markup`no interval`;
  const words = intervalText(finding);
  const level = percentLevel(finding.level ?? 0.95);
  return markup`<span data-shown="interval">${proseHtml(words.replace(`${level} CI `, ""))}</span> <small>${proseHtml(level)}</small>`;
}

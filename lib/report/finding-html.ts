import type { Claim } from "../show/claim.js";
import type { Finding } from "../show/finding.js";
import { escapeHtml, proseHtml } from "../show/markup.js";
import { companionText, intervalText, percentLevel, valueText } from "../show/wording.js";
import { anchorOf, type Judged, judgementOf, linkTo, type SiteContext } from "./context.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { scaleFor, scaleSvg, stripSvg } from "./strip.js";

/** A finding with the place it was stated. */
export interface Stated {
  readonly notebook: RecordedNotebook;
  readonly cell: RecordedCell;
  readonly finding: Finding;
}

const verdictWords: Readonly<Record<string, { says: string; mood: string }>> = {
  same: { says: "same in the last re-run", mood: "good" },
  "within tolerance": { says: "within tolerance in the last re-run", mood: "good" },
  different: { says: "different in the last re-run", mood: "bad" },
  missing: { says: "missing in the last re-run", mood: "bad" },
  new: { says: "new in the last re-run", mood: "bad" },
};

/** What the last re-run said of a result, in words with a mark. */
export function verdictBadge(judged: Judged | undefined): string {
  if (!judged) return '<span class="badge none">not re-run yet</span>';
  const { says, mood } = verdictWords[judged.verdict] ?? { says: judged.verdict, mood: "bad" };
  return `<span class="badge ${mood}">${escapeHtml(says)}</span>`;
}

/** "2.6 kgf" with the companion unit in small print. */
export function valueHtml(finding: Finding): string {
  const other = companionText(finding, finding.unit);
  const beside = other ? ` <small data-shown="companion">${proseHtml(other)}</small>` : "";
  return `<b data-shown="value">${proseHtml(valueText(finding, finding.unit))}</b>${beside}`;
}

/** A strip of its own for one finding, with its axis and its words for those who do not see it. */
function soloStrip(finding: Finding): string {
  const scale = scaleFor([finding]);
  const unit = finding.unit === "" ? "" : ` <span class="unit">${escapeHtml(finding.unit)}</span>`;
  return `<div class="solo">${stripSvg(finding, scale)}${scaleSvg(scale)}${unit}</div>`;
}

function listed(items: readonly string[]): string {
  return items.length === 0 ? "none" : items.map(escapeHtml).join(", ");
}

function entry(term: string, html: string): string {
  return `<div><dt>${term}</dt><dd>${html}</dd></div>`;
}

function sourceEntries({ source }: Finding): string[] {
  if (!source) return [entry("Rows", "not stated by the cell")];
  const aside = source.setAside.map(
    ({ reason, rows }) =>
      `<li>${escapeHtml(reason)}: ${Number(rows)} row${Number(rows) === 1 ? "" : "s"}</li>`,
  );
  return [
    entry("Files", listed(source.files)),
    entry("Rows used", escapeHtml(String(source.rowsUsed))),
    entry("Rows set aside", aside.length ? `<ul>${aside.join("")}</ul>` : "none"),
    entry(`Participants (${source.participants.length})`, listed(source.participants)),
  ];
}

function fragilityEntry({ fragility, unit, value, low, high }: Finding): string {
  if (!fragility) return entry("Leaving one person out", "not stated by the cell");
  const write = (end: number) => proseHtml(valueText({ value: end, low, high }, unit));
  const range = `the value lies between ${write(fragility.low)} and ${write(fragility.high)} (now ${write(value)})`;
  const turns = fragility.turns.length
    ? `; the verdict turns without ${listed(fragility.turns)}`
    : "; no single person turns the verdict";
  return entry("Leaving one person out", `${range}${turns}.`);
}

function yardstickEntry({ versus, unit }: Finding): string[] {
  if (!versus?.length) return [];
  const items = versus.map(
    ({ says, value }) => `<li>${escapeHtml(says)}: ${proseHtml(valueText({ value }, unit))}</li>`,
  );
  return [entry("Read against", `<ul>${items.join("")}</ul>`)];
}

/** From a number to its rows, its cell, and what it hangs on. */
function traceHtml(context: SiteContext, { notebook, cell, finding }: Stated): string {
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  const home = linkTo(context, notebook.slug, anchorOf(notebook, "cell", String(cell.number)));
  const entries = [
    entry("Made by", `<a href="${home}">cell ${cell.number}</a> of ${escapeHtml(notebook.path)}`),
    entry("Method", escapeHtml(finding.method)),
    ...sourceEntries(finding),
    fragilityEntry(finding),
    ...yardstickEntry(finding),
    entry("Last re-run", judged?.difference ? escapeHtml(judged.difference) : verdictBadge(judged)),
    entry("Recorded value", `<code data-shown="exact">${finding.value}</code>`),
  ];
  return `<details class="trace"><summary>Where this number comes from</summary><dl>${entries.join("")}</dl></details>`;
}

/** Names the result that an element shows, for the check in the page. */
export function ofAttributes(notebook: RecordedNotebook, kind: string, id: string): string {
  return `data-of-notebook="${notebook.slug}" data-of-kind="${kind}" data-of-id="${escapeHtml(id)}"`;
}

/** A finding in the text of its notebook. */
export function findingHtml(context: SiteContext, stated: Stated): string {
  const { notebook, finding } = stated;
  const id = anchorOf(notebook, "finding", finding.id);
  const other = companionText(finding, finding.unit);
  const beside = other
    ? ` <small>(<span data-shown="companion">${proseHtml(other)}</span>)</small>`
    : "";
  return `<section class="finding" id="${id}" ${ofAttributes(notebook, "finding", finding.id)} aria-label="Finding ${escapeHtml(finding.id)}"><p><span data-shown="sentence">${proseHtml(finding.sentence)}</span>${beside} <span class="recomputed"></span></p>${soloStrip(finding)}${traceHtml(context, stated)}</section>`;
}

/** A claim with the evidence's answer to it. */
export function claimHtml(context: SiteContext, notebook: RecordedNotebook, claim: Claim): string {
  const heads = {
    supported: "Supported",
    contradicted: "Contradicted",
    "not settled": "Not settled",
  } as Record<string, string>;
  const target = linkTo(
    context,
    notebook.slug,
    anchorOf(notebook, "finding", String(claim.finding)),
  );
  const mood = String(claim.support).replace(/\s/g, "-");
  const needs = (claim.conditions ?? []).map(
    ({ needs, support }) => `<li>${proseHtml(String(needs))}: ${escapeHtml(support)}</li>`,
  );
  return `<section class="claim ${escapeHtml(mood)}" id="${anchorOf(notebook, "claim", claim.id)}" ${ofAttributes(notebook, "claim", claim.id)}><p><b><span data-shown="support">${escapeHtml(heads[claim.support] ?? claim.support)}</span>.</b> <q>${proseHtml(String(claim.says))}</q></p><ul>${needs.join("")}</ul><p>What the <a href="${target}">finding</a> supports: <span data-shown="strongest">${proseHtml(String(claim.strongest))}</span></p></section>`;
}

/** The interval in words, with its level, for the ledger. */
export function intervalHtml(finding: Finding): string {
  if (finding.low === undefined) return "no interval";
  const words = intervalText(finding);
  const level = percentLevel(finding.level ?? 0.95);
  return `<span data-shown="interval">${proseHtml(words.replace(`${level} interval `, ""))}</span> <small>${proseHtml(level)}</small>`;
}

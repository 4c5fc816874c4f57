import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { paragraphsHtml } from "../show/prose.js";
import { tableHtml } from "../show/table.js";
import type { Table } from "../show/table-record.js";
import { conclusionsHtml, inOrderOfSupport } from "./conclusions.js";
import { anchorOf, type SiteContext } from "./context.js";
import { figureSection, type RecordedFigure } from "./figure-html.js";
import { findingHtml, type Stated, unansweredHtml } from "./finding-html.js";
import { conclusionsIn } from "./ledger.js";
import { ledgerHtml } from "./ledger-rows.js";
import {
  choiceHtml,
  exerciseHtml,
  learnerHtml,
  practiceHtml,
  termsListHtml,
} from "./lesson-html.js";
import { markdownHtml } from "./markdown.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { problemText, type Shown } from "./recorded-outputs.js";
import { simulationHtml } from "./simulation-html.js";

/** Tables with more rows are folded. */
const longTable = 10;

function shownHtml(
  context: SiteContext,
  notebook: RecordedNotebook,
  cell: RecordedCell,
  shown: Shown,
): Markup {
  switch (shown.kind) {
    case "finding":
      return findingHtml(context, { notebook, cell, finding: shown.finding });
    case "unanswered":
      return unansweredHtml(notebook, shown.finding);
    case "claim":
      return nothing; // a cell's claims stand together in a table
    case "figure":
      return figureSection(context, notebook, shown);
    case "table": {
      const id = anchorOf(notebook, "table", String(shown.table.id));
      const label = shown.table.caption;
      const table = tableHtml(shown.table);
      const rows = shown.table.rows.length;
      if (rows === 0) return markup`<p class="moved" id="${id}">${proseHtml(label)} None.</p>`;
      const inside =
        rows > longTable
          ? markup`<details class="long-table"><summary>Table of ${rows} rows: ${label}</summary>${table}</details>`
          : table;
      return markup`<div class="wide result" id="${id}" role="region" tabindex="0" aria-label="${label}">${inside}</div>`;
    }
    case "prose":
      return markup`<div data-prose>${paragraphsHtml(shown.prose.text)}</div>`;
    case "simulation": {
      const id = anchorOf(notebook, "simulation", shown.simulation.id);
      return simulationHtml(shown.simulation, id, { live: context.recomputes });
    }
    case "exercise":
      return exerciseHtml(notebook, shown.exercise, !context.unable.has(notebook.slug));
    case "learner":
      return learnerHtml(notebook, shown.learner);
    case "practice":
      return practiceHtml(notebook, shown.practice);
    case "terms":
      return termsListHtml(shown.terms);
    case "question":
      return choiceHtml(notebook, shown.question);
    case "markdown":
      return markdownHtml(shown.text, `${notebook.slug}-${cell.number}`);
    case "image":
      return markup`<img class="result" src="data:${shown.mime};base64,${shown.base64}" alt="Picture made by cell ${cell.number}">`;
    case "unreadable": {
      const problem = problemText(shown.of, shown.problem);
      return markup`<pre class="error">${`This output cannot be shown. In ${problem}.`}</pre>`;
    }
    case "error":
      return markup`<pre class="error">${shown.text}</pre>`;
    case "text":
      return textHtml(shown.text, shown.stream);
  }
}

/** Text that a cell printed; a display without layout of its own reads as a paragraph. */
function textHtml(text: string, stream: string | undefined): Markup {
  if (text.trim() === "") return nothing;
  if (stream === undefined && !/\n/.test(text.trim())) return markup`<p>${proseHtml(text)}</p>`;
  if (stream === undefined && !/ {2,}|\t/.test(text)) return paragraphsHtml(text);
  if (stream === undefined) {
    return markup`<details class="returned"><summary>What the cell returned</summary><pre class="printed" tabindex="0">${text}</pre></details>`;
  }
  const printed = markup`<pre class="printed${stream === "stderr" ? " error" : ""}" tabindex="0">${text}</pre>`;
  const lines = text.trim().split("\n").length;
  if (stream === "stderr" || lines <= 6) return printed;
  return markup`<details class="printed-text"><summary>Printed by the cell: ${lines} lines</summary>${printed}</details>`;
}

/** The code of a cell, folded. */
export function codeHtml(cell: RecordedCell): Markup {
  const lines = cell.source.split("\n").length;
  return markup`<details class="code"><summary>Code of cell ${cell.number} <small>${lines} line${lines === 1 ? "" : "s"}</small></summary><pre tabindex="0"><code>${cell.source}</code></pre></details>`;
}

/** Findings that stand together in one ledger: two or more in a row. */
function runsOf(shown: readonly Shown[]): Shown[][] {
  const runs: Shown[][] = [];
  for (const one of shown) {
    const last = runs.at(-1);
    if (last && last[0]?.kind === one.kind && (one.kind === "finding" || one.kind === "claim")) {
      last.push(one);
    } else runs.push([one]);
  }
  return runs;
}

function findingsOf(
  notebook: RecordedNotebook,
  cell: RecordedCell,
  run: readonly Shown[],
): Stated[] {
  return run.flatMap((one) =>
    one.kind === "finding" ? [{ notebook, cell, finding: one.finding }] : [],
  );
}

/** Whether a table of the same cell holds this finding's value already. */
function isInTable(tables: readonly Table[], { finding }: Stated): boolean {
  const near = (value: unknown) =>
    typeof value === "number" &&
    Math.abs(value - finding.value) <= 1e-9 * Math.abs(finding.value) &&
    finding.value !== 0;
  return tables.some(({ rows }) => rows.some((row) => Object.values(row).some(near)));
}

function runHtml(page: PageParts, cell: RecordedCell, run: readonly Shown[]): Markup {
  const { context, notebook } = page;
  const tables = cell.shown.flatMap((one) => (one.kind === "table" ? [one.table] : []));
  const stated = findingsOf(notebook, cell, run);
  const [only] = stated;
  if (only && stated.length === run.length) {
    const label = `Findings of cell ${cell.number}`;
    const repeated = stated.every((one) => isInTable(tables, one));
    if (stated.length > 1 && repeated) {
      return markup`<details class="repeated"><summary>The same results as ${stated.length} single findings</summary>${ledgerHtml(context, stated, label, "home")}</details>`;
    }
    if (stated.length > 1) return ledgerHtml(context, stated, label, "home");
    return findingHtml(context, only);
  }
  const claims = run.flatMap((one) => (one.kind === "claim" ? [one.claim.id] : []));
  if (claims.length > 0) {
    const conclusions = conclusionsIn(notebook).filter(({ claim }) => claims.includes(claim.id));
    return conclusionsHtml(
      context,
      inOrderOfSupport(conclusions),
      `Conclusions of cell ${cell.number}`,
      "home",
    );
  }
  return markup`${run.map((one) => outputHtml(page, cell, one))}`;
}

/** The figure that stands at the top of the page is named, not drawn, in its cell. */
function outputHtml(
  { context, notebook, first }: PageParts,
  cell: RecordedCell,
  shown: Shown,
): Markup {
  if (shown.kind === "figure" && shown.figure === first?.figure) {
    const place = `#${anchorOf(notebook, "figure", shown.figure.id)}`;
    return markup`<p class="moved"><a href="${place}">Figure at the top of this page</a>: ${proseHtml(shown.figure.caption)}</p>`;
  }
  return shownHtml(context, notebook, cell, shown);
}

/** What the parts of a notebook's page share. */
export interface PageParts {
  /** Everything that the pages are made from. */
  readonly context: SiteContext;
  /** The notebook of the page. */
  readonly notebook: RecordedNotebook;
  /** The figure at the top of the page. */
  readonly first: RecordedFigure | undefined;
}

/** What a cell shows, in order. */
export function cellResults(page: PageParts, cell: RecordedCell): Markup {
  return markup`${runsOf(cell.shown).map((run) => runHtml(page, cell, run))}`;
}

/** A code cell: what it shows, then its code. */
export function cellHtml(page: PageParts, cell: RecordedCell): Markup {
  const id = anchorOf(page.notebook, "cell", String(cell.number));
  return markup`<div class="cell" id="${id}">${cellResults(page, cell)}${codeHtml(cell)}</div>`;
}

import { joined, type Markup, markup, nothing } from "../markup.js";
import type { Terms } from "../show/word-outputs.js";
import { studyAnswerHtml } from "./answer-sentences.js";
import { cellHtml } from "./cell-html.js";
import {
  isCheck,
  linkTo,
  type SiteContext,
  type SitePage,
  studyGroups,
  studyPageName,
} from "./context.js";
import { figureBeside, figureSection } from "./figure-html.js";
import { withFirstUses } from "./first-use.js";
import { keyFinding, onlyUnanswered, statedIn } from "./ledger.js";
import { headingAnchor, markdownHtml } from "./markdown.js";
import {
  isFolded,
  isOnlyCode,
  type NotebookSection,
  sectionHtml,
  sectionsOf,
} from "./notebook-sections.js";
import { recomputeButton, recomputePanel } from "./recompute-panel.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { dayWords, stateLine } from "./result-state.js";
import { sideList } from "./study-page.js";

/** Terms that a list on the page defines need no link further down. */
export function explained({ terms }: Terms, seen: Set<string>): void {
  for (const one of terms) seen.add(String(one?.term));
}

/** A text cell; the page has the title of the notebook already. */
export function proseCell(
  context: SiteContext,
  notebook: RecordedNotebook,
  cell: RecordedCell,
  seen: Set<string>,
): Markup {
  const source = cell.source.replace(/^#\s+.+$/m, (line) =>
    line.slice(1).trim() === notebook.title ? "" : line,
  );
  const html = markdownHtml(source, `${notebook.slug}-${cell.number}`);
  const link = (anchor: string) => linkTo(context, "glossary", anchor);
  return markup`<div class="prose">${withFirstUses(html, seen, link)}</div>`;
}

/** Versions of the notebook, folded. */
export function changesHtml(notebook: RecordedNotebook): Markup {
  if (notebook.changes.length === 0) return nothing;
  const items = notebook.changes.map(
    ({ version, date, what }) => markup`<li>${version}, ${dayWords(date)}: ${what}</li>`,
  );
  return markup`<details><summary>Changes to this notebook</summary><ul>${items}</ul></details>`;
}

function eyebrowOf(context: SiteContext, notebook: RecordedNotebook): Markup | undefined {
  const study = studyGroups(context).find(({ notebooks }) => notebooks.includes(notebook))?.study;
  if (isCheck(notebook)) return markup`Checks of the library`;
  if (!study) return undefined;
  return markup`<a href="${linkTo(context, studyPageName(study))}">${study.title}</a>`;
}

/** Headings of the prose, as links. */
function contentsOf(notebook: RecordedNotebook): Markup[] {
  const code = new Set(
    sectionsOf(notebook).flatMap((section) =>
      section.heading && isOnlyCode(section) ? [section.heading.cell] : [],
    ),
  );
  const headings = notebook.cells.flatMap((cell) =>
    cell.kind === "prose"
      ? [...cell.source.matchAll(/^##\s+(.+)$/gm)].map(([, words = ""]) => ({ cell, words }))
      : [],
  );
  return headings.map(({ cell, words }) => {
    const place = headingAnchor(`${notebook.slug}-${cell.number}`, words);
    const name = code.has(cell.number) ? markup` class="only-code"` : nothing;
    return markup`<a${name} href="#${place}">${words.replace(/[*_`]/g, "")}</a>`;
  });
}

function sideHtml(context: SiteContext, notebook: RecordedNotebook): Markup {
  const code = markup`<p class="scripted"><button type="button" data-act="unfold" aria-pressed="false">Show code</button></p>`;
  const all = isFolded(context, notebook)
    ? markup`<p class="scripted"><button type="button" data-act="open-parts" aria-pressed="false">Open every section</button></p>`
    : nothing;
  const about = [notebook.version && `Version ${notebook.version}`, notebook.path].filter(
    (part) => part !== "",
  );
  const button = context.oneFile ? nothing : recomputeButton(context, [notebook]);
  return markup`${button}${all}${code}${sideList("On this page", notebook.title, contentsOf(notebook))}<div class="about">${about.map((words) => markup`<p>${words}</p>`)}${changesHtml(notebook)}</div>`;
}

/** The page of one notebook: its question, answer and figure, then its cells with their code folded. */
export function notebookPage(context: SiteContext, notebook: RecordedNotebook): SitePage {
  const key = keyFinding(statedIn(notebook));
  const first = figureBeside(notebook, key?.cell.number);
  const page = { context, notebook, first };
  const seen = new Set<string>();
  const cellOf = (cell: RecordedCell) => {
    for (const one of cell.shown) if (one.kind === "terms") explained(one.terms, seen);
    return cell.kind === "prose" ? proseCell(context, notebook, cell, seen) : cellHtml(page, cell);
  };
  const cellsOf = (cells: readonly RecordedCell[]) => joined(cells.map(cellOf), "\n");
  const folded = isFolded(context, notebook);
  const sectionOf = (section: NotebookSection) =>
    sectionHtml(notebook, section, key, cellsOf(section.cells));
  const content = folded
    ? joined(sectionsOf(notebook).map(sectionOf), "\n")
    : cellsOf(notebook.cells);
  const panel = context.oneFile
    ? nothing
    : recomputePanel(context, [notebook], ["finding", "claim", "figure", "table", "prose"]);
  const state = stateLine(context, [notebook]);
  const picture = first ? figureSection(context, notebook, first) : nothing;
  return {
    name: notebook.slug,
    title: notebook.title,
    section: isCheck(notebook) ? "methods" : "study",
    eyebrow: eyebrowOf(context, notebook),
    html: markup`${studyAnswerHtml(key, onlyUnanswered(notebook))}${state}${panel}${picture}${content}`,
    side: sideHtml(context, notebook),
  };
}

import { escapeHtml, proseHtml } from "../show/markup.js";
import { tableHtml } from "../show/table.js";
import type { Terms } from "../show/terms.js";
import { anchorOf, linkTo, type SiteContext, type SitePage } from "./context.js";
import { figureSection } from "./figure-html.js";
import { claimHtml, findingHtml } from "./finding-html.js";
import { withFirstUses } from "./first-use.js";
import { exerciseHtml, practiceHtml, studentHtml, termsListHtml } from "./lesson-html.js";
import { markdownHtml } from "./markdown.js";
import { recomputePanel } from "./recompute-panel.js";
import type { RecordedCell, RecordedNotebook, Shown } from "./recorded.js";
import { simulationHtml } from "./simulation-html.js";

function shownHtml(
  context: SiteContext,
  notebook: RecordedNotebook,
  cell: RecordedCell,
  shown: Shown,
): string {
  switch (shown.kind) {
    case "finding":
      return findingHtml(context, { notebook, cell, finding: shown.finding });
    case "claim":
      return claimHtml(context, notebook, shown.claim);
    case "figure": {
      const svg = shown.svg ?? context.drawings.get(drawingKey(notebook, shown.figure.id)) ?? "";
      return figureSection(context, notebook, shown.figure, svg);
    }
    case "table": {
      const id = anchorOf(notebook, "table", String(shown.table.id));
      const label = escapeHtml(String(shown.table.caption));
      return `<div class="wide result" id="${id}" role="region" tabindex="0" aria-label="${label}">${tableHtml(shown.table)}</div>`;
    }
    case "simulation": {
      const id = anchorOf(notebook, "simulation", shown.simulation.id);
      return simulationHtml(shown.simulation, id, context.recomputes);
    }
    case "exercise":
      return exerciseHtml(notebook, shown.exercise);
    case "student":
      return studentHtml(notebook, shown.student);
    case "practice":
      return practiceHtml(notebook, shown.practice);
    case "terms":
      return termsListHtml(shown.terms);
    case "markdown":
      return markdownHtml(shown.text, `${notebook.slug}-${cell.number}`);
    case "image":
      return `<img class="result" src="data:${shown.mime};base64,${shown.base64}" alt="Picture made by cell ${cell.number}">`;
    case "error":
      return `<pre class="error">${escapeHtml(shown.text)}</pre>`;
    case "text":
      return textHtml(shown.text, shown.stream);
  }
}

/** Text that a cell printed; a display without layout of its own reads as a paragraph. */
function textHtml(text: string, stream: string | undefined): string {
  if (text.trim() === "") return "";
  if (stream === undefined && !/\n/.test(text.trim())) return `<p>${proseHtml(text)}</p>`;
  if (stream === undefined && !/ {2,}|\t/.test(text)) {
    return text
      .split(/\n\s*\n/)
      .map((part) => `<p>${proseHtml(part)}</p>`)
      .join("");
  }
  return `<pre class="printed${stream === "stderr" ? " error" : ""}" tabindex="0">${escapeHtml(text)}</pre>`;
}

/** The name under which a figure without a recorded drawing is drawn for the page. */
export function drawingKey(notebook: Pick<RecordedNotebook, "slug">, id: string): string {
  return `${notebook.slug}--${id}`;
}

function codeHtml(cell: RecordedCell): string {
  const lines = cell.source.split("\n").length;
  return `<details class="code"><summary>Code of cell ${cell.number} <small>${lines} line${lines === 1 ? "" : "s"}</small></summary><pre tabindex="0"><code>${escapeHtml(cell.source)}</code></pre></details>`;
}

/** Terms that a list on the page defines need no link further down. */
function explained({ terms }: Terms, seen: Set<string>): void {
  for (const one of terms) seen.add(String(one?.term));
}

function proseCell(
  context: SiteContext,
  notebook: RecordedNotebook,
  cell: RecordedCell,
  seen: Set<string>,
): string {
  const source = cell.source.replace(/^#\s+.+$/m, (line) =>
    line.slice(1).trim() === notebook.title ? "" : line,
  );
  const html = markdownHtml(source, `${notebook.slug}-${cell.number}`);
  const link = (anchor: string) => linkTo(context, "glossary", anchor);
  return `<div class="prose">${withFirstUses(html, seen, link)}</div>`;
}

/** Tags of a lesson's cells: a worked solution is folded away, the student's own cell is a form here. */
const worked = "worked";
const answer = "answer";

function cellHtml(context: SiteContext, notebook: RecordedNotebook, cell: RecordedCell): string {
  const id = anchorOf(notebook, "cell", String(cell.number));
  if (notebook.lesson && cell.tags.includes(answer)) return `<div class="cell" id="${id}"></div>`;
  const shown = cell.shown.map((one) => shownHtml(context, notebook, cell, one)).join("");
  if (notebook.lesson && cell.tags.includes(worked)) {
    return `<div class="cell" id="${id}"><details class="worked"><summary>Worked solution, for after trying</summary><pre tabindex="0"><code>${escapeHtml(cell.source)}</code></pre>${shown}</details></div>`;
  }
  return `<div class="cell" id="${id}">${shown}${codeHtml(cell)}</div>`;
}

function changesHtml(notebook: RecordedNotebook): string {
  if (notebook.changes.length === 0) return "";
  const items = notebook.changes.map(
    ({ version, date, what }) =>
      `<li>${escapeHtml(version)}, ${escapeHtml(date)}: ${escapeHtml(what)}</li>`,
  );
  return `<details><summary>Changes to this notebook</summary><ul>${items.join("")}</ul></details>`;
}

/** The file's name as a word of the menu: "6-grip-and-speed" reads "Grip and speed". */
function menuName(slug: string): string {
  const words =
    slug
      .replace(/^\d+[-_. ]+/, "")
      .replace(/[-_]+/g, " ")
      .trim() || slug;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The page of one notebook: its prose, what its cells showed, their code folded away. */
export function notebookPage(context: SiteContext, notebook: RecordedNotebook): SitePage {
  const about = [
    notebook.study && `Study <b>${escapeHtml(notebook.study)}</b>`,
    notebook.version && `version ${escapeHtml(notebook.version)}`,
    escapeHtml(notebook.path),
  ].filter(Boolean);
  const seen = new Set<string>();
  const cells = notebook.cells.map((cell) => {
    for (const one of cell.shown) if (one.kind === "terms") explained(one.terms, seen);
    return cell.kind === "prose"
      ? proseCell(context, notebook, cell, seen)
      : cellHtml(context, notebook, cell);
  });
  const buttons = `<p class="tools"><button type="button" data-act="unfold">Unfold all code</button></p>`;
  const panel = context.oneFile
    ? ""
    : recomputePanel(context, [notebook], ["finding", "claim", "figure", "table"]);
  return {
    name: notebook.slug,
    title: notebook.title,
    menu: menuName(notebook.slug.replace(/^learn-/, "")),
    ...(notebook.lesson && { group: "Lessons" }),
    html: `<p class="about">${about.join(" · ")}</p>${panel}${buttons}${cells.join("\n")}${changesHtml(notebook)}`,
  };
}

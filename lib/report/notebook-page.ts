import { posix } from "node:path";
import { joined, type Markup, markup, nothing, proseHtml } from "../markup.js";
import { paragraphsHtml } from "../show/prose.js";
import { tableHtml } from "../show/table.js";
import type { Terms } from "../show/terms.js";
import { anchorOf, linkTo, type SiteContext, type SitePage } from "./context.js";
import { figureSection } from "./figure-html.js";
import { claimHtml, findingHtml, unansweredHtml } from "./finding-html.js";
import { withFirstUses } from "./first-use.js";
import { exerciseHtml, learnerHtml, practiceHtml, termsListHtml } from "./lesson-html.js";
import { markdownHtml } from "./markdown.js";
import { recomputePanel } from "./recompute-panel.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";
import { problemText, type Shown } from "./recorded-outputs.js";
import { simulationHtml } from "./simulation-html.js";

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
      return claimHtml(context, notebook, shown.claim);
    case "figure": {
      const svg = shown.svg ?? context.drawings.get(drawingKey(notebook, shown.figure.id)) ?? "";
      return figureSection(context, notebook, shown.figure, svg);
    }
    case "table": {
      const id = anchorOf(notebook, "table", String(shown.table.id));
      const label = shown.table.caption;
      return markup`<div class="wide result" id="${id}" role="region" tabindex="0" aria-label="${label}">${tableHtml(shown.table)}</div>`;
    }
    case "prose":
      return markup`<div data-prose>${paragraphsHtml(shown.prose.text)}</div>`;
    case "simulation": {
      const id = anchorOf(notebook, "simulation", shown.simulation.id);
      return simulationHtml(shown.simulation, id, context.recomputes);
    }
    case "exercise":
      return exerciseHtml(notebook, shown.exercise);
    case "learner":
      return learnerHtml(notebook, shown.learner);
    case "practice":
      return practiceHtml(notebook, shown.practice);
    case "terms":
      return termsListHtml(shown.terms);
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
  return markup`<pre class="printed${stream === "stderr" ? " error" : ""}" tabindex="0">${text}</pre>`;
}

/** The name under which a figure without a recorded drawing is drawn for the page. */
export function drawingKey(notebook: Pick<RecordedNotebook, "slug">, id: string): string {
  return `${notebook.slug}--${id}`;
}

function codeHtml(cell: RecordedCell): Markup {
  const lines = cell.source.split("\n").length;
  return markup`<details class="code"><summary>Code of cell ${cell.number} <small>${lines} line${lines === 1 ? "" : "s"}</small></summary><pre tabindex="0"><code>${cell.source}</code></pre></details>`;
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
): Markup {
  const source = cell.source.replace(/^#\s+.+$/m, (line) =>
    line.slice(1).trim() === notebook.title ? "" : line,
  );
  const html = markdownHtml(source, `${notebook.slug}-${cell.number}`);
  const link = (anchor: string) => linkTo(context, "glossary", anchor);
  return markup`<div class="prose">${withFirstUses(html, seen, link)}</div>`;
}

/** Tags of a lesson's cells: a worked solution is folded away, the student's own cell is a form here. */
const worked = "worked";
const answer = "answer";

function cellHtml(context: SiteContext, notebook: RecordedNotebook, cell: RecordedCell): Markup {
  const id = anchorOf(notebook, "cell", String(cell.number));
  if (notebook.lesson && cell.tags.includes(answer))
    return markup`<div class="cell" id="${id}"></div>`;
  const shown = cell.shown.map((one) => shownHtml(context, notebook, cell, one));
  if (notebook.lesson && cell.tags.includes(worked)) {
    return markup`<div class="cell" id="${id}"><details class="worked"><summary>Worked solution, for after trying</summary><pre tabindex="0"><code>${cell.source}</code></pre>${shown}</details></div>`;
  }
  return markup`<div class="cell" id="${id}">${shown}${codeHtml(cell)}</div>`;
}

function changesHtml(notebook: RecordedNotebook): Markup {
  if (notebook.changes.length === 0) return nothing;
  const items = notebook.changes.map(
    ({ version, date, what }) => markup`<li>${version}, ${date}: ${what}</li>`,
  );
  return markup`<details><summary>Changes to this notebook</summary><ul>${items}</ul></details>`;
}

/** The file's name as a word of the menu: "6-grip-and-speed" reads "Grip and speed". */
function menuName(path: string): string {
  const name = posix.basename(path, ".ipynb");
  const words =
    name
      .replace(/^\d+[-_. ]+/, "")
      .replace(/[-_]+/g, " ")
      .trim() || name;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The page of one notebook: its prose, what its cells showed, their code folded away. */
export function notebookPage(context: SiteContext, notebook: RecordedNotebook): SitePage {
  const about = [
    notebook.study && markup`Study <b>${notebook.study}</b>`,
    notebook.version && `version ${notebook.version}`,
    notebook.path,
  ].filter((part) => part !== "");
  const seen = new Set<string>();
  const cells = notebook.cells.map((cell) => {
    for (const one of cell.shown) if (one.kind === "terms") explained(one.terms, seen);
    return cell.kind === "prose"
      ? proseCell(context, notebook, cell, seen)
      : cellHtml(context, notebook, cell);
  });
  const buttons = markup`<p class="tools"><button type="button" data-act="unfold">Unfold all code</button></p>`;
  const panel = context.oneFile
    ? ""
    : recomputePanel(context, [notebook], ["finding", "claim", "figure", "table", "prose"]);
  return {
    name: notebook.slug,
    title: notebook.title,
    menu: menuName(notebook.path),
    ...(notebook.lesson && { group: "Lessons" }),
    html: markup`<p class="about">${joined(about, " · ")}</p>${panel}${buttons}${joined(cells, "\n")}${changesHtml(notebook)}`,
  };
}

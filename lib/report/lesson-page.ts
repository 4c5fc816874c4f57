import { present } from "../entry.js";
import { joined, type Markup, markup, nothing } from "../markup.js";
import type { Learner } from "../show/lesson-outputs.js";
import { cellResults, codeHtml, type PageParts } from "./cell-html.js";
import { anchorOf, type SiteContext, type SitePage } from "./context.js";
import { choiceHtml, handInHtml, learnerHtml } from "./lesson-html.js";
import { lessonNavigation, nextLesson } from "./lesson-navigation.js";
import { changesHtml, explained, proseCell } from "./notebook-page.js";
import { recomputeButton, recomputePanel } from "./recompute-panel.js";
import { type RecordedCell, type RecordedNotebook, shownOf } from "./recorded.js";
import type { Shown } from "./recorded-outputs.js";
import { simulationHtml } from "./simulation-html.js";

/** Cells of a notebook that the page has in another form: a field for the answer, the solution in words. */
const notShown = ["answer", "worked"];

/** The questions that are answered by playing with a simulation. */
function tasksOf(notebook: RecordedNotebook, simulation: string): Markup {
  const asked = shownOf(notebook, "question").flatMap(({ shown: { question } }) =>
    question.plays === simulation ? [markup`<li>${choiceHtml(notebook, question)}</li>`] : [],
  );
  return asked.length === 0 ? nothing : markup`<ol class="tasks">${asked}</ol>`;
}

function isTask(shown: Shown): boolean {
  return shown.kind === "question" && shown.question.plays !== undefined;
}

/** Where the reader's code is asked for: before the first golfers that it draws. */
function codeForm(notebook: RecordedNotebook, cell: RecordedCell): Markup {
  const [first] = shownOf(notebook, "practice");
  const learner: Learner | undefined = shownOf(notebook, "learner").at(-1)?.shown.learner;
  return learner && first?.cell === cell ? learnerHtml(notebook, learner) : nothing;
}

function resultsHtml(page: PageParts, cell: RecordedCell): Markup {
  const { notebook, context } = page;
  const parts = cell.shown.map((shown) => {
    if (shown.kind !== "simulation") return cellResults(page, { ...cell, shown: [shown] });
    const { simulation } = shown;
    const id = anchorOf(notebook, "simulation", simulation.id);
    const tasks = tasksOf(notebook, simulation.id);
    return simulationHtml(simulation, id, { live: context.recomputes, tasks });
  });
  return markup`${parts}`;
}

/** What a cell shows to a student; nothing where the page has it in another place. */
function lessonCell(page: PageParts, cell: RecordedCell): Markup {
  const { notebook } = page;
  const id = anchorOf(notebook, "cell", String(cell.number));
  const hidden = cell.tags.some((tag) => notShown.includes(tag));
  const shown = hidden ? [] : cell.shown.filter((one) => one.kind !== "learner" && !isTask(one));
  const special = shown.some(({ kind }) => kind === "simulation");
  const results = special
    ? resultsHtml(page, { ...cell, shown })
    : cellResults(page, { ...cell, shown });
  const last = shownOf(notebook, "exercise").at(-1)?.cell === cell;
  return markup`<div class="cell" id="${id}">${codeForm(notebook, cell)}${results}${last ? handInHtml() : nothing}</div>`;
}

/** Code, file, versions and the re-run of the lesson's results, in one fold at the end. */
function forTeachers(context: SiteContext, notebook: RecordedNotebook): Markup {
  const button = context.oneFile ? nothing : recomputeButton(context, [notebook]);
  const panel = context.oneFile
    ? nothing
    : recomputePanel(context, [notebook], ["finding", "figure", "table", "prose"]);
  const code = notebook.cells.filter(({ kind }) => kind === "code").map(codeHtml);
  const about = [notebook.version && `Version ${notebook.version}`, notebook.path].filter(Boolean);
  return markup`<details class="for-teachers"><summary>For teachers: code and recomputation</summary><p>${about.join(" · ")}</p>${changesHtml(notebook)}${button}${panel}<div class="with-code">${code}</div></details>`;
}

/**
 * The page of a lesson as a student reads it: an opening question, the idea, something to play with,
 * exercises. Code, file names and recomputation stand in one fold at the end.
 */
export function lessonPage(context: SiteContext, notebook: RecordedNotebook): SitePage {
  const { number, minutes } = present(notebook.lesson);
  const page: PageParts = { context, notebook, first: undefined };
  const seen = new Set<string>();
  const cells = notebook.cells.map((cell) => {
    for (const one of cell.shown) if (one.kind === "terms") explained(one.terms, seen);
    return cell.kind === "prose"
      ? proseCell(context, notebook, cell, seen)
      : lessonCell(page, cell);
  });
  const time = Number.isFinite(minutes) ? ` · about ${minutes} minutes` : "";
  return {
    name: notebook.slug,
    title: notebook.title.replace(/^\d+\s+/, ""),
    section: "lessons",
    eyebrow: markup`Lesson ${number}${time}`,
    html: markup`<div class="lesson" data-lesson="${notebook.slug}">${lessonNavigation(context, notebook)}${joined(cells, "\n")}${nextLesson(context, notebook)}${forTeachers(context, notebook)}</div>`,
  };
}

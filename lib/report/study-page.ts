import { joined, type Markup, markup, nothing, proseHtml } from "../markup.js";
import { analysisDone } from "../show/analysis-done.js";
import type { StudyAccount } from "../study/study-account.js";
import { studyAnswerHtml } from "./answer-sentences.js";
import { cautionsHtml } from "./cautions.js";
import { firstConclusionsHtml, inOrderOfSupport } from "./conclusions.js";
import {
  anchorOf,
  linkTo,
  type SiteContext,
  type SitePage,
  type StudyGroup,
  studyPageName,
} from "./context.js";
import { cordKey, isDrawable, scaleFor } from "./cord.js";
import { drawnFigure, figureBeside } from "./figure-html.js";
import { keyNumberHtml, type Stated } from "./finding-html.js";
import { flowHtml } from "./flow.js";
import {
  conclusionsIn,
  keyFinding,
  onlyUnanswered,
  recordedFindings,
  statedIn,
  studyKeyFinding,
  unansweredPrimary,
} from "./ledger.js";
import { ledgerHtml } from "./ledger-rows.js";
import { papersHtml } from "./papers.js";
import { recomputeButton, recomputePanel } from "./recompute-panel.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";
import { stateLine } from "./result-state.js";

function keyPicture(context: SiteContext, group: StudyGroup, key: Stated | undefined): Markup {
  const notebook = group.notebooks.find(({ slug }) => slug === key?.notebook.slug);
  const figure = notebook && figureBeside(notebook, key?.cell.number);
  if (!notebook || !figure) return nothing;
  const place = linkTo(context, notebook.slug, anchorOf(notebook, "figure", figure.figure.id));
  return drawnFigure(
    context,
    notebook,
    figure,
    markup` <a href="${place}">Figure with its numbers</a>`,
  );
}

/** Whether a notebook shows a result: one for questions of the reader's own may still be empty. */
function showsResults({ cells }: RecordedNotebook): boolean {
  return cells.some(({ kind, shown }) => kind !== "prose" && shown.length > 0);
}

/** A number that a notebook states again in a later section is listed once. */
function eachOnce(all: readonly Stated[]): Stated[] {
  const seen = new Set<string>();
  return all.filter(({ finding: { title, value, low, high, unit, method } }) => {
    const content = JSON.stringify([title, value, low, high, unit, method]);
    const isNew = !seen.has(content);
    seen.add(content);
    return isNew;
  });
}

/** The folds of all questions; notebooks without a result are named below them. */
function questionsHtml(context: SiteContext, notebooks: readonly RecordedNotebook[]): Markup {
  const empty = notebooks.filter((notebook) => !showsResults(notebook));
  const links = empty.map(
    ({ slug, title }) => markup`<a href="${linkTo(context, slug)}">${title}</a>`,
  );
  const without =
    links.length > 0
      ? markup`<p><small>Without results so far: ${joined(links, " · ")}</small></p>`
      : nothing;
  return markup`${notebooks.filter(showsResults).map((notebook) => questionHtml(context, notebook))}${without}`;
}

/** Why a question has no number, in the summary of its fold. */
function reasonHtml(notebook: RecordedNotebook): Markup {
  const unanswered = onlyUnanswered(notebook);
  if (!unanswered) return nothing;
  return markup`<span class="key-number"><span class="words">Not answered. ${proseHtml(unanswered.unanswered)}</span></span>`;
}

/** A question's fold: title and key number while closed, every finding when open. */
function questionHtml(context: SiteContext, notebook: RecordedNotebook): Markup {
  const stated = eachOnce(statedIn(notebook));
  const key = keyFinding(stated);
  const scale = key && isDrawable(key.finding) ? scaleFor([key.finding]) : undefined;
  const figures = shownOf(notebook, "figure").length;
  const tables = shownOf(notebook, "table").length;
  const counts = [
    [stated.length, "finding"],
    [figures, "figure"],
    [tables, "table"],
  ] as const;
  const words = counts
    .filter(([count]) => count > 0)
    .map(([count, noun]) => `${count} ${noun}${count === 1 ? "" : "s"}`);
  const link = markup`<p><a href="${linkTo(context, notebook.slug)}">Open the notebook</a> <small>${words.join(", ")}</small></p>`;
  return markup`<details class="question-fold"><summary><span class="q">${notebook.title}</span>${key ? keyNumberHtml(key, scale) : reasonHtml(notebook)}</summary>${link}${ledgerHtml(context, stated, `Findings: ${notebook.title}`, "elsewhere")}</details>`;
}

function dataHtml(context: SiteContext, study: StudyAccount): Markup {
  const rows = study.files.reduce((sum, file) => sum + file.rows, 0);
  const used = study.files.reduce((sum, file) => sum + file.used, 0);
  const files = study.files.filter((file) => file.rows > 0).length;
  const aside = rows - used;
  const counts = `${files} files with ${rows} rows of raw data; ${aside === 0 ? "none" : aside} set aside, each with its reason.`;
  const links = [
    markup`<a href="${linkTo(context, "methods", `methods-${study.name}`)}">Methods and plan</a>`,
    markup`<a href="${linkTo(context, "data-checks")}">Data checks</a>`,
    markup`<a href="${linkTo(context, "versions")}">Versions and hashes</a>`,
  ];
  const papers = context.papers?.get(study.name);
  const paperLinks = papers
    ? markup`<h2 id="${study.name}-papers">Pages and papers to hand on</h2>${papersHtml(study.name, papers)}`
    : nothing;
  return markup`<h2 id="${study.name}-data">Methods and data</h2><p>${proseHtml(counts)} ${joined(links, " · ")}</p>${paperLinks}`;
}

/** What a page of this study is about, above its heading. */
export function studyEyebrow(study: StudyAccount): Markup {
  const invented = study.simulated ? " · simulated data, nobody was tested" : "";
  const title = study.simulated ? study.title.replace(/\s*\(simulated\)$/i, "") : study.title;
  return markup`${title}${invented}`;
}

/** Links to the parts of a page and a heading over them. */
export function sideList(label: string, title: string, items: readonly Markup[]): Markup {
  if (items.length === 0) return nothing;
  return markup`<nav aria-label="${`${label}: ${title}`}"><h2>${label}</h2><ul>${items.map((item) => markup`<li>${item}</li>`)}</ul></nav>`;
}

/** A study's page: question, answer, figure, participants, conclusions, results by question. */
export function studyPage(
  context: SiteContext,
  study: StudyAccount,
  notebooks: readonly RecordedNotebook[],
): SitePage {
  const group = { study, notebooks };
  const key = studyKeyFinding(notebooks);
  const conclusions = inOrderOfSupport(notebooks.flatMap(conclusionsIn));
  const shownFindings = [
    ...conclusions.flatMap(({ finding }) => (finding ? [finding] : [])),
    ...(key ? [key.finding] : []),
  ];
  const name = study.name;
  const done = analysisDone(study.plan, notebooks.flatMap(recordedFindings));
  const table = firstConclusionsHtml(context, conclusions, `Conclusions: ${study.title}`);
  const parts: [string, string, Markup][] = [
    ["people", "Who took part", flowHtml(study.flow, done)],
    ...(conclusions.length > 0
      ? [
          ["conclusions", "Conclusions", markup`${table}${cordKey(shownFindings)}`] as [
            string,
            string,
            Markup,
          ],
        ]
      : []),
    ["questions", "Results by question", questionsHtml(context, notebooks)],
  ];
  const body = parts.map(
    ([id, title, html]) => markup`<h2 id="${name}-${id}">${title}</h2>${html}`,
  );
  const onPage = parts.map(([id, title]) => markup`<a href="#${name}-${id}">${title}</a>`);
  const questions = notebooks
    .filter(showsResults)
    .map(({ slug, title }) => markup`<a href="${linkTo(context, slug)}">${title}</a>`);
  return {
    name: studyPageName(study),
    title: study.question || study.title,
    section: "study",
    eyebrow: studyEyebrow(study),
    html: markup`${studyAnswerHtml(key, unansweredPrimary(notebooks))}${stateLine(context, notebooks)}${recomputePanel(context, notebooks, ["finding", "claim"])}${keyPicture(context, group, key)}${body}${dataHtml(context, study)}${cautionsHtml("Before anyone squeezes or swings", study.cautions)}`,
    side: markup`${recomputeButton(context, notebooks)}${sideList("On this page", study.title, onPage)}${sideList("Questions", study.title, questions)}`,
  };
}

import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { StudyAccount } from "../study/study-account.js";
import {
  type CheckState,
  checkState,
  type Judged,
  linkTo,
  notebooksByStudy,
  type SiteContext,
  type SitePage,
} from "./context.js";
import { claimHtml } from "./finding-html.js";
import { flowHtml } from "./flow.js";
import { ledgerHtml } from "./ledger.js";
import { lessonList, lessonsOf } from "./lessons-page.js";
import { recomputePanel } from "./recompute-panel.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";
import { stripKey } from "./strip.js";

/** The usual cautions of maximal squeezes and fast swings, where a study states none of its own. */
const usualCautions = [
  "Stop a squeeze or a swing at once when it hurts; a stopped trial is recorded as stopped, never as zero.",
  "Do not test a hand or wrist that was operated on in the last three months, and ask about pain, aching or stiffness first.",
  "Breathe out while squeezing: a maximal squeeze with held breath raises blood pressure. People with heart or circulation trouble ask their physician first.",
  "Swing only with nobody near enough to be hit by club, ball or anything the club throws up.",
  "Local rules and the judgement of licensed practitioners come before anything written here.",
];

function cautionsHtml(studies: readonly StudyAccount[]): Markup {
  const own = studies.flatMap((study) => study.cautions);
  const all = [...new Set(own.length ? own : usualCautions)];
  return markup`<aside class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before anyone squeezes or swings</h2><ul>${all.map((words) => markup`<li>${proseHtml(words)}</li>`)}</ul></aside>`;
}

function verdictHtml({ verdict }: SiteContext): Markup {
  if (!verdict) return markup`<p class="verdict">Not yet compared with a re-run.</p>`;
  const all = verdict.notebooks.flatMap(({ judgements, edits }) =>
    judgements.map((one) => ({ ...one, edits })),
  );
  const inState = (state: CheckState) => all.filter((one) => checkState(one) === state);
  const failed = inState("not reproduced");
  const days = [...new Set(verdict.notebooks.map(({ on }) => on))].sort();
  const when = days.length > 1 ? `${days[0]} to ${days.at(-1)}` : (days[0] ?? "");
  const count = `${inState("reproduced").length} of ${all.length} results reproduced (${when})`;
  const rest = markup`${changesHtml("Changed by an edit", inState("changed by an edit"))}${changesHtml("New", inState("new"))}`;
  if (failed.length === 0) {
    return markup`<div class="verdict good"><p><b>Reproduced.</b> ${count}.</p>${rest}</div>`;
  }
  return markup`<div class="verdict bad"><p><b>Not reproduced.</b> ${failed.length} of ${all.length} results came out otherwise, though nothing was edited; ${count}.</p>${changesHtml("Not reproduced", failed)}${rest}</div>`;
}

/** Results in one state, folded where they are many. */
function changesHtml(title: string, results: readonly Judged[]): Markup {
  if (results.length === 0) return nothing;
  const items = results.map(({ kind, id, difference, edits }) => {
    const why = edits.length > 0 ? ` (${edits.join(", ")})` : "";
    return markup`<li>${kind} <b>${id}</b>${difference ? `: ${difference}` : ""}${why}</li>`;
  });
  return markup`<details><summary>${title}: ${results.length}</summary><ul>${items}</ul></details>`;
}

function counted(number: number, what: string): string {
  return number === 0 ? "" : `${number} ${what}${number === 1 ? "" : "s"}`;
}

function contents(
  context: SiteContext,
  title: string,
  notebooks: readonly RecordedNotebook[],
): Markup {
  const items = notebooks.map((notebook) => {
    const findings = shownOf(notebook, "finding").length;
    const figures = shownOf(notebook, "figure").length;
    const counts = [counted(findings, "finding"), counted(figures, "figure")].filter(Boolean);
    return markup`<li><a href="${linkTo(context, notebook.slug)}">${notebook.title}</a> <small>${counts.join(", ")}</small></li>`;
  });
  return markup`<nav aria-label="Notebooks of ${title}"><ol class="contents">${items}</ol></nav>`;
}

function claimsHtml(context: SiteContext, notebooks: readonly RecordedNotebook[]): Markup {
  const claims = notebooks.flatMap((notebook) =>
    shownOf(notebook, "claim").map(({ shown }) =>
      claimHtml(context, notebook, shown.claim, nothing),
    ),
  );
  if (claims.length === 0) return nothing;
  return markup`<h3>What may be said</h3>${claims}`;
}

function studyHtml(
  context: SiteContext,
  name: string,
  notebooks: readonly RecordedNotebook[],
): Markup {
  const study = context.studies.find((one) => one.name === name);
  const title = study?.title ?? "Other notebooks";
  const invented = study?.simulated
    ? markup`<p class="invented">Invented data: a simulator made this study, so that its true effects are known. Nobody was tested.</p>`
    : "";
  const question = study?.question
    ? markup`<p class="question">${proseHtml(study.question)}</p>`
    : "";
  const flow = study ? markup`<h3>The people</h3>${flowHtml(study.flow)}` : "";
  const withFindings = notebooks.filter((notebook) => shownOf(notebook, "finding").length > 0);
  const ledgers = withFindings.map((notebook) => ledgerHtml(context, notebook));
  const ledger = ledgers.length ? markup`<h3>Ledger of findings</h3>${stripKey()}${ledgers}` : "";
  return markup`<section class="study"><h2>${title}</h2>${question}${invented}${contents(context, title, notebooks)}${ledger}${claimsHtml(context, notebooks)}${flow}</section>`;
}

function lessonsSection(context: SiteContext): Markup {
  if (lessonsOf(context).length === 0) return nothing;
  return markup`<section><h2>Lessons</h2><p>Figures to play with and exercises that check themselves, for students.</p>${lessonList(context)}</section>`;
}

/** The first page: verdict, cautions, and study by study its question, findings and people. */
export function indexPage(context: SiteContext): SitePage {
  const groups = notebooksByStudy(context);
  const sections = groups.map(({ study, notebooks }) => studyHtml(context, study, notebooks));
  const shown = groups.flatMap(({ notebooks }) => notebooks);
  const panel = recomputePanel(context, shown, ["finding", "claim"]);
  return {
    name: "index",
    title: "What was measured, and how surely",
    menu: "Overview",
    html: markup`${verdictHtml(context)}${panel}${sections}${lessonsSection(context)}${cautionsHtml(context.studies)}`,
  };
}

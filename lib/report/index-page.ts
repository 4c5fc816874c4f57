import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { StudyAccount } from "../study/study-account.js";
import { studyAnswerHtml } from "./answer-sentences.js";
import { cautionsHtml } from "./cautions.js";
import {
  linkTo,
  type SiteContext,
  type SitePage,
  type StudyGroup,
  studyGroups,
  studyPageName,
} from "./context.js";
import { isDrawable, scaleFor } from "./cord.js";
import { keyNumberHtml } from "./finding-html.js";
import { keyFinding, statedIn, studyKeyFinding, unansweredPrimary } from "./ledger.js";
import { lessonsOf } from "./lessons-page.js";
import type { RecordedNotebook } from "./recorded.js";
import { stateLine } from "./result-state.js";
import { studyEyebrow } from "./study-page.js";

function studyEntry(
  context: SiteContext,
  study: StudyAccount,
  notebooks: readonly RecordedNotebook[],
): Markup {
  const link = linkTo(context, studyPageName(study));
  return markup`<section class="entry"><p class="eyebrow">${studyEyebrow(study)}</p><h2><a href="${link}">${study.question || study.title}</a></h2>${studyAnswerHtml(studyKeyFinding(notebooks), unansweredPrimary(notebooks))}${stateLine(context, notebooks)}</section>`;
}

/** Notebooks about several studies, or about none that has a folder: a question each. */
function otherEntries(context: SiteContext, notebooks: readonly RecordedNotebook[]): Markup {
  if (notebooks.length === 0) return nothing;
  const items = notebooks.map((notebook) => {
    const key = keyFinding(statedIn(notebook));
    const scale = key && isDrawable(key.finding) ? scaleFor([key.finding]) : undefined;
    return markup`<li><a href="${linkTo(context, notebook.slug)}">${notebook.title}</a>${key ? keyNumberHtml(key, scale) : ""}</li>`;
  });
  return markup`<section class="entry"><h2>Across studies</h2><ul class="questions">${items}</ul></section>`;
}

function lessonsEntry(context: SiteContext): Markup {
  const lessons = lessonsOf(context);
  if (lessons.length === 0) return nothing;
  const count = `${lessons.length} lesson${lessons.length === 1 ? "" : "s"}`;
  return markup`<section class="entry"><h2><a href="${linkTo(context, "lessons")}">Lessons</a></h2><p>${count} for students: a model to change, exercises that check themselves.</p></section>`;
}

function groupHtml(context: SiteContext, { study, notebooks }: StudyGroup): Markup {
  return study ? studyEntry(context, study, notebooks) : otherEntries(context, notebooks);
}

/** The first page: every study with its question and its answer. */
export function indexPage(context: SiteContext): SitePage {
  const groups = studyGroups(context);
  const entries = groups.map((group) => groupHtml(context, group));
  const cautions =
    context.studies.length === 0 ? [] : context.studies.flatMap((one) => one.cautions);
  const empty =
    groups.length === 0
      ? markup`<p>${proseHtml("No notebook of a study is recorded.")}</p>`
      : nothing;
  return {
    name: "index",
    title: groups.length === 1 ? "Study" : "Studies",
    section: "study",
    html: markup`${empty}${entries}${lessonsEntry(context)}${cautionsHtml("Before anyone squeezes or swings", cautions)}`,
  };
}

import { present } from "../entry.js";
import { type Markup, markup, proseHtml } from "../markup.js";
import { linkTo, type SiteContext, type SitePage } from "./context.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** The lessons among the notebooks, in their order. */
export function lessonsOf({ notebooks }: Pick<SiteContext, "notebooks">): RecordedNotebook[] {
  return notebooks
    .filter(({ lesson }) => lesson !== undefined)
    .sort((a, b) => present(a.lesson).number - present(b.lesson).number);
}

/** Questions and exercises of a lesson: what its progress counts. */
function tasksIn(notebook: RecordedNotebook): string[] {
  return [
    ...shownOf(notebook, "question").map(({ shown }) => shown.question.id),
    ...shownOf(notebook, "exercise").map(({ shown }) => shown.exercise.id),
  ];
}

/** Where a script writes how many of a lesson's tasks are done. */
export function progressPlace(notebook: RecordedNotebook): Markup {
  return markup`<span class="progress" data-tasks="${tasksIn(notebook).join(" ")}"></span>`;
}

/** The lessons as a list: title, idea, minutes. */
function lessonList(context: SiteContext): Markup {
  const items = lessonsOf(context).map((notebook) => {
    const { slug, title, lesson } = notebook;
    const { idea, minutes } = present(lesson);
    const time = Number.isFinite(minutes) ? markup` <small>about ${minutes} min</small>` : "";
    const words = title.replace(/^\d+\s+/, "");
    return markup`<li value="${present(lesson).number}"><a href="${linkTo(context, slug)}">${words}</a>${time} ${progressPlace(notebook)}<br>${proseHtml(idea)}</li>`;
  });
  return markup`<ol class="contents lessons">${items}</ol>`;
}

/** The way into the lessons; nothing where there are none. */
export function lessonsPage(context: SiteContext): SitePage[] {
  if (lessonsOf(context).length === 0) return [];
  const glossary = linkTo(context, "glossary");
  return [
    {
      name: "lessons",
      title: "Lessons",
      section: "lessons",
      html: markup`<p>For readers who have had one course in statistics. Each lesson has one idea, one figure to change, three exercises that check themselves, and a paragraph on what a coach may say. Everything runs in this page; nothing is sent anywhere. Words are explained where they are first used, and all together in the <a href="${glossary}">glossary</a>.</p>${lessonList(context)}<p>The same lessons are notebooks, in <code>notebooks/learn</code>: there the exercises are answered in cells. <code>npx tautline answers</code> lists the answers for a class, from the students' codes.</p>`,
    },
  ];
}

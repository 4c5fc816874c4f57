import { present } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { linkTo, type SiteContext } from "./context.js";
import { lessonsOf, progressPlace } from "./lessons-page.js";
import type { RecordedNotebook } from "./recorded.js";

function titleOf({ title }: RecordedNotebook): string {
  return title.replace(/^\d+\s+/, "");
}

/** All lessons in a row, with how far the reader is in each. */
export function lessonNavigation(context: SiteContext, current: RecordedNotebook): Markup {
  const items = lessonsOf(context).map((notebook) => {
    const { number } = present(notebook.lesson);
    const here = notebook === current ? markup` aria-current="page"` : nothing;
    return markup`<li><a href="${linkTo(context, notebook.slug)}"${here}><b>${number}</b> <span class="name">${titleOf(notebook)}</span>${progressPlace(notebook)}</a></li>`;
  });
  return markup`<nav class="lesson-row" aria-label="Lessons"><ol>${items}</ol></nav>`;
}

/** The way on to the next lesson. */
export function nextLesson(context: SiteContext, current: RecordedNotebook): Markup {
  const all = lessonsOf(context);
  const next = all[all.indexOf(current) + 1];
  if (!next) return nothing;
  return markup`<p class="next">Next lesson: <a href="${linkTo(context, next.slug)}">${titleOf(next)}</a></p>`;
}

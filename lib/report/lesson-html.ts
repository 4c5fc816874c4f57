import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { Exercise, Learner, Practice } from "../show/lesson-outputs.js";
import { pictureSvg } from "../show/picture-svg.js";
import { practiceMarkup } from "../show/practice-table.js";
import { questionHtml } from "../show/question.js";
import { termsHtml } from "../show/terms.js";
import type { Question, Terms } from "../show/word-outputs.js";
import { anchorOf } from "./context.js";
import type { RecordedNotebook } from "./recorded.js";
import { pictureMarkup } from "./simulation-html.js";

type Page = Pick<RecordedNotebook, "slug">;

/** Where a reader says whose golfers the exercises are about. */
export function learnerHtml(notebook: Page, { code, language }: Learner): Markup {
  const id = `${notebook.slug}-code`;
  return markup`<form class="student" data-code="${code}" data-language="${language}"><label for="${id}">Your code</label> <input id="${id}" name="code" maxlength="60" autocomplete="off" spellcheck="false" value="${code}"> <button type="submit">Apply</button> <span class="hint">With a code of your own, such as a nickname, the exercises have golfers of your own.</span><p role="status"></p></form>`;
}

/** Where a reader makes a file of the answers for the teacher. */
export function handInHtml(): Markup {
  return markup`<div class="hand-in"><button type="button">Hand in</button> <span class="hint">Answers stay in this browser. “Hand in” makes a file for the teacher with code, answers, tries and minutes.</span><p role="status"></p></div>`;
}

/** A learner's golfers as a table that another code fills anew. */
export function practiceHtml(notebook: Page, golfers: Practice): Markup {
  const { set, learner } = golfers;
  const id = anchorOf(notebook, "practice", String(set));
  return markup`<div class="wide result practice" id="${id}" data-set="${set}" data-learner="${learner}" role="region" tabindex="0" aria-label="Practice golfers">${practiceMarkup(golfers)}</div><p class="take-out" data-set="${set}"><button type="button" data-take="copy">Copy the numbers</button> <button type="button" data-take="save">Download as CSV</button> <span role="status"></span></p>`;
}

/**
 * What an exercise asks, and a form for the answer that a script checks.
 * @param runs whether the page can run the notebook's cells, which an exercise made in a cell needs
 */
export function exerciseHtml(notebook: Page, exercise: Exercise, runs: boolean): Markup {
  const { id, prompt, unit, digits, own } = exercise;
  const anchor = anchorOf(notebook, "exercise", id);
  const places = `${digits} decimal${digits === 1 ? "" : "s"}`;
  const wants = unit ? `in ${unit}, to ${places}` : `to ${places}`;
  const field = `${anchor}-answer`;
  if (own && !runs)
    return markup`<section class="exercise" id="${anchor}" aria-labelledby="${anchor}-prompt"><p id="${anchor}-prompt">${proseHtml(prompt)}</p><p><small>Answer ${wants}. This exercise was written in the notebook and is checked there: its cells cannot run in this page.</small></p></section>`;
  return markup`<section class="exercise" id="${anchor}" data-exercise="${id}"${own ? markup` data-notebook="${notebook.slug}"` : ""} aria-labelledby="${anchor}-prompt"><p id="${anchor}-prompt">${proseHtml(prompt)}</p><form class="answer"><label for="${field}">Your answer ${wants}</label> <input id="${field}" name="answer" inputmode="text" autocomplete="off" size="12"> <button type="submit">Check</button><p role="status"></p></form><p class="still"><small>Answer ${wants}. It is checked in the notebook, or here with scripts allowed.</small></p></section>`;
}

/** A question to choose an answer to; the first choice unlocks a simulation where one is named. */
export function choiceHtml(
  notebook: Page,
  { id, asks, options, unlocks, shows, picture }: Question,
): Markup {
  const locked = unlocks === undefined ? "" : anchorOf(notebook, "simulation", unlocks);
  const at = (width: number) =>
    picture ? pictureMarkup(pictureSvg(picture.drawn, picture.alt, width), picture.alt) : nothing;
  const drawn = picture
    ? markup`<div class="opening-picture"><div class="wide-drawing">${at(720)}</div><div class="narrow-drawing">${at(328)}</div></div>`
    : "";
  return markup`<section class="choice" id="${anchorOf(notebook, "question", id)}" data-question="${id}" data-unlocks="${locked}"${shows ? markup` data-shows="${JSON.stringify(shows)}"` : nothing}>${drawn}${questionHtml(asks, options)}</section>`;
}

/** The glossary's terms that a cell explains. */
export function termsListHtml({ terms }: Terms): Markup {
  return markup`<div class="terms">${termsHtml(terms)}</div>`;
}

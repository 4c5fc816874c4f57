import { type Markup, markup, proseHtml } from "../markup.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import { questionSchema } from "./output-schemas.js";
import { pictureSvg } from "./picture-svg.js";
import { identifier, plainJson, sentence, text } from "./record.js";
import { outputRecord } from "./schema.js";
import type { Question, QuestionOption } from "./word-outputs.js";

/** How a reader meets a question: each answer opens its reply, also without scripts. */
export function questionForms({ asks, options, picture }: Question): ReadableForms {
  const drawing = picture
    ? markup`<img src="data:image/svg+xml,${encodeURIComponent(pictureSvg(picture.drawn, picture.alt))}" alt="${picture.alt}">`
    : "";
  return {
    html: String(markup`${drawing}${questionHtml(asks, options)}`),
    plain: [asks, ...options.map(({ says, reply }) => `- ${says} → ${reply}`)].join("\n"),
  };
}

/** A question with its answers, each of which opens its reply. */
export function questionHtml(asks: string, options: readonly QuestionOption[]): Markup {
  const choices = options.map(
    ({ says, reply }) =>
      markup`<details><summary>${proseHtml(says)}</summary><p>${proseHtml(reply)}</p></details>`,
  );
  return markup`<p><b>${proseHtml(asks)}</b></p>${choices}`;
}

/**
 * Asks the reader to choose an answer, and replies to each choice.
 * @param given id, what is asked, options with their replies; `unlocks`: id of a simulation that a
 *   page hides until an answer is chosen, so that the reader predicts first; `shows`: settings that
 *   it then takes; `plays`: id of
 *   a simulation that the reader changes to find the answer; `picture`: what the question is about
 * @throws InputError when a text is missing or there are fewer than two options
 * @example question({ id: "q", asks: "Is this justified?", options: [{ says: "Yes.", reply: "No: n is 3." }, { says: "No.", reply: "Right." }] }).kind // "question"
 */
export function question(given: Omit<Question, "kind">): Question {
  const id = identifier(given.id, "question, id");
  const where = `question ${id}`;
  const record = outputRecord(
    questionSchema,
    {
      kind: "question",
      id,
      asks: sentence(given.asks, `${where}, asks`),
      options: given.options.map(({ says, reply }, i) => ({
        says: text(says, `${where}, option ${i + 1}`),
        reply: sentence(reply, `${where}, reply ${i + 1}`),
      })),
      ...(given.unlocks !== undefined && { unlocks: given.unlocks }),
      ...(given.shows !== undefined && { shows: given.shows }),
      ...(given.plays !== undefined && { plays: given.plays }),
      ...(given.picture !== undefined && {
        picture: plainJson(given.picture, `${where}, picture`),
      }),
    },
    where,
  );
  const { html, plain } = questionForms(record);
  display({
    [mimeTypes.question]: record,
    [mimeTypes.html]: html,
    [mimeTypes.plain]: plain,
  });
  return record;
}

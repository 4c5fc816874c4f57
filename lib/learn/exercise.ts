import { markup, proseHtml } from "../markup.js";
import { display, mimeTypes } from "../show/display.js";
import type { Exercise, Learner, Practice } from "../show/lesson-outputs.js";
import { exerciseSchema, learnerSchema } from "../show/output-schemas.js";
import { deepFrozen, text } from "../show/record.js";
import { outputRecord } from "../show/schema.js";
import { tableHtml, tableText } from "../show/table.js";
import { type AnswerVerdict, unknownSlip } from "./answer.js";
import { exerciseKey, respond, solutionFor } from "./answers.js";
import { learnerCode } from "./practice.js";

/** The code that the recorded run works with. */
export const classCode = "class";

/** What was said to an answer. */
export interface CheckedAnswer {
  /** "workedAnswer" for a worked solution, which does not count as an attempt. */
  readonly kind: "answer" | "workedAnswer";
  /** Id of the exercise. */
  readonly exercise: string;
  /** Code of the learner. */
  readonly learner: string;
  /** Whether the answer is right, wrong, missing or not readable as a number. */
  readonly verdict: AnswerVerdict;
  /** The kind of mistake in a word or two; left out unless the answer is wrong. */
  readonly slip?: string;
  /** The reply to the student, in a sentence. */
  readonly says: string;
}

let current = classCode;
/** Wrong answers given to each exercise, each counted once: a cell that is run again is no new try. */
const wrongAnswers = new Map<string, Set<string>>();

/**
 * Says whose golfers the exercises are about: everybody who writes another code gets other
 * numbers. Without a code the class's own are used.
 * @example learner("class").code // "class"
 */
export function learner(code: string = classCode): Learner {
  const given = typeof code === "string" && code.trim() !== "";
  current = given ? learnerCode(code) : classCode;
  wrongAnswers.clear();
  const record = outputRecord(learnerSchema, { kind: "learner", code: current }, "learner");
  const own = current === classCode;
  const words = own
    ? "These are the class's golfers. Put a code of your own between the quotes and run all cells: your golfers will differ from your neighbour's."
    : `These are the golfers of “${current}”.`;
  display({
    [mimeTypes.learner]: record,
    [mimeTypes.html]: String(markup`<p>${words}</p>`),
    [mimeTypes.plain]: words,
  });
  return record;
}

/**
 * Shows the golfers of a learner as a table.
 * @param golfers what `practice` returned
 * @example practiceTable(practice("cards", "class")).kind // "practice"
 */
export function practiceTable(golfers: Practice): Practice {
  const { set, caption, table } = golfers;
  const shown = { kind: "table" as const, id: `practice-${set}`, caption, ...table };
  display({
    [mimeTypes.practice]: golfers,
    [mimeTypes.html]: String(tableHtml(shown)),
    [mimeTypes.plain]: tableText(shown),
  });
  return golfers;
}

function wants({ unit, digits }: Pick<Exercise, "unit" | "digits">): string {
  const places = `${digits} decimal${digits === 1 ? "" : "s"}`;
  return unit ? `Answer in ${unit}, to ${places}.` : `Answer to ${places}.`;
}

/**
 * Shows what an exercise asks; `answer(id, value)` then checks what the learner found. Asking again
 * begins to count tries anew.
 * @throws InputError when no lesson has an exercise with this id
 * @example exercise("cards-left-out", "What share of the cards is left out?").kind // "exercise"
 */
export function exercise(id: string, prompt: string): Exercise {
  const { set } = exerciseKey(id);
  const { unit, digits } = solutionFor(id, current);
  const words = text(prompt, `exercise ${id}, prompt`).trim();
  wrongAnswers.delete(id);
  const exerciseRecord = {
    kind: "exercise",
    id,
    prompt: words,
    set,
    learner: current,
    unit,
    digits,
  };
  const record = outputRecord(exerciseSchema, exerciseRecord, `exercise ${id}`);
  display({
    [mimeTypes.exercise]: record,
    [mimeTypes.html]: String(
      markup`<p><b>Exercise.</b> ${proseHtml(words)} <i>${wants(record)}</i></p>`,
    ),
    [mimeTypes.plain]: `Exercise. ${words} ${wants(record)}`,
  });
  return record;
}

function show(record: CheckedAnswer, words: string): CheckedAnswer {
  const mark = record.verdict === "right" ? "✓ " : "";
  display({
    [mimeTypes.html]: String(markup`<p role="status">${mark}${proseHtml(words)}</p>`),
    [mimeTypes.plain]: `${mark}${words}`,
  });
  return record;
}

/**
 * Checks an answer to an exercise: right, or what kind of wrong (unit, sign, n − 1, percent of
 * what …), with a hint from the second wrong answer on. The golfers are those of the code that
 * `learner` was given. A wrong or missing answer is explained, never thrown.
 * @param id of the exercise
 * @param value a number, or a text with its unit: "1.4 kgf"
 * @throws InputError when no lesson has an exercise with this id
 * @example answer("cards-left-out").verdict // "no answer"
 */
export function answer(id: string, value?: unknown): CheckedAnswer {
  const tried = wrongAnswers.get(id) ?? new Set<string>();
  // Only numbers and texts can be wrong, and some other values have no text at all.
  const written = typeof value === "number" || typeof value === "string" ? String(value) : "";
  const before = tried.size - (tried.has(written) ? 1 : 0);
  const judged = respond(id, current, value, before);
  if (judged.verdict === "wrong") wrongAnswers.set(id, tried.add(written));
  const record: CheckedAnswer = deepFrozen({
    kind: "answer",
    exercise: id,
    learner: current,
    ...judged,
  });
  return show(record, answerText(record));
}

/** What a reader is told, with the kind of wrong first. */
export function answerText({
  verdict,
  slip,
  says,
}: Pick<CheckedAnswer, "verdict" | "slip" | "says">): string {
  if (verdict !== "wrong" || slip === undefined || slip === unknownSlip) return says;
  return `Not yet: ${slip}. ${says}`;
}

/**
 * Says whether a worked solution solves the exercise; it is no try.
 * @throws InputError when no lesson has an exercise with this id
 * @example workedAnswer("cards-left-out", 0).verdict // "wrong"
 */
export function workedAnswer(id: string, value: unknown): CheckedAnswer {
  const judged = respond(id, current, value, 0);
  const record: CheckedAnswer = deepFrozen({
    kind: "workedAnswer",
    exercise: id,
    learner: current,
    ...judged,
  });
  const words =
    judged.verdict === "right"
      ? "The worked solution in this cell is right for these golfers."
      : `The worked solution does not solve it: ${judged.says}`;
  return show(record, words);
}

import { markup, proseHtml } from "../markup.js";
import { display, mimeTypes } from "../show/display.js";
import { deepFrozen, text } from "../show/record.js";
import { tableHtml, tableText } from "../show/table.js";
import { type AnswerVerdict, unknownSlip } from "./answer.js";
import { exerciseKey, respond, solutionFor } from "./answers.js";
import { type Practice, type PracticeSet, studentCode } from "./practice.js";

/** The code that the recorded run works with. */
export const classCode = "class";

export interface Student {
  readonly kind: "student";
  readonly code: string;
}

/** An exercise as it is shown. */
export interface Exercise {
  readonly kind: "exercise";
  readonly id: string;
  readonly prompt: string;
  readonly set: PracticeSet;
  readonly student: string;
  readonly unit: string;
  readonly digits: number;
}

/** What was said to an answer. */
export interface Check {
  readonly kind: "check";
  readonly exercise: string;
  readonly student: string;
  readonly verdict: AnswerVerdict;
  readonly slip?: string;
  readonly says: string;
}

let current = classCode;
/** Wrong answers given to each exercise, each counted once: a cell that is run again is no new try. */
const wrongAnswers = new Map<string, Set<string>>();

/**
 * Says whose golfers the exercises are about: everybody who writes another code gets other
 * numbers. Without a code the class's own are used.
 * @example student("class").code // "class"
 */
export function student(code: string = classCode): Student {
  const given = typeof code === "string" && code.trim() !== "";
  current = given ? studentCode(code) : classCode;
  wrongAnswers.clear();
  const record: Student = deepFrozen({ kind: "student", code: current });
  const own = current === classCode;
  const words = own
    ? "These are the class's golfers. Put a code of your own between the quotes and run all cells: your golfers will differ from your neighbour's."
    : `These are the golfers of “${current}”.`;
  display({
    [mimeTypes.student]: record,
    [mimeTypes.html]: String(markup`<p>${words}</p>`),
    [mimeTypes.plain]: words,
  });
  return record;
}

/**
 * Shows the golfers of a student as a table.
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

function ask(id: string, prompt: string): Exercise {
  const { set } = exerciseKey(id);
  const { unit, digits } = solutionFor(id, current);
  const words = text(prompt, `exercise ${id}, prompt`).trim();
  wrongAnswers.delete(id);
  const record: Exercise = deepFrozen({
    kind: "exercise",
    id,
    prompt: words,
    set,
    student: current,
    unit,
    digits,
  });
  display({
    [mimeTypes.exercise]: record,
    [mimeTypes.html]: String(
      markup`<p><b>Exercise.</b> ${proseHtml(words)} <i>${wants(record)}</i></p>`,
    ),
    [mimeTypes.plain]: `Exercise. ${words} ${wants(record)}`,
  });
  return record;
}

function show(record: Check, words: string): Check {
  const mark = record.verdict === "right" ? "✓ " : "";
  display({
    [mimeTypes.html]: String(markup`<p role="status">${mark}${proseHtml(words)}</p>`),
    [mimeTypes.plain]: `${mark}${words}`,
  });
  return record;
}

function check(id: string, answer?: unknown): Check {
  const tried = wrongAnswers.get(id) ?? new Set<string>();
  // Only numbers and texts can be wrong, and some other values have no text at all.
  const written = typeof answer === "number" || typeof answer === "string" ? String(answer) : "";
  const before = tried.size - (tried.has(written) ? 1 : 0);
  const judged = respond(id, current, answer, before);
  if (judged.verdict === "wrong") wrongAnswers.set(id, tried.add(written));
  const record: Check = deepFrozen({ kind: "check", exercise: id, student: current, ...judged });
  return show(record, checkText(record));
}

/** What a reader is told, with the kind of wrong first. */
export function checkText({
  verdict,
  slip,
  says,
}: Pick<Check, "verdict" | "slip" | "says">): string {
  if (verdict !== "wrong" || slip === undefined || slip === unknownSlip) return says;
  return `Not yet: ${slip}. ${says}`;
}

function worked(id: string, answer: unknown): Check {
  const judged = respond(id, current, answer, 0);
  const record: Check = deepFrozen({ kind: "check", exercise: id, student: current, ...judged });
  const words =
    judged.verdict === "right"
      ? "The worked solution in this cell is right for these golfers."
      : `The worked solution does not solve it: ${judged.says}`;
  return show(record, words);
}

/** An exercise that checks itself; see `exercise`, `exercise.check` and `exercise.worked`. */
export interface ExerciseMaker {
  /** Shows the prompt of an exercise and begins to count tries anew. */
  (id: string, prompt: string): Exercise;
  /** Says right, or what kind of wrong; from the second wrong answer on with a hint. */
  check(id: string, answer?: unknown): Check;
  /** Says whether a worked solution solves the exercise; it is no try. */
  worked(id: string, answer: unknown): Check;
}

/**
 * An exercise that checks itself. `exercise(id, prompt)` shows what is asked; `exercise.check(id,
 * answer)` says right, or what kind of wrong (unit, sign, n − 1, percent of what …), with a hint
 * from the second wrong answer on. An answer is a number, or a text with its unit: "1.4 kgf". It
 * is judged on the golfers of the code that `student` was given; a wrong or missing one is told,
 * never thrown.
 * @throws InputError when no lesson has an exercise with this id
 * @example exercise.check("cards-left-out").verdict // "no answer"
 */
export const exercise: ExerciseMaker = Object.assign(ask, { check, worked });

import { InputError } from "../errors.js";
import { markup, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import { display, mimeTypes } from "../show/display.js";
import type { Exercise, Learner, Practice, PracticeSet } from "../show/lesson-outputs.js";
import { exerciseSchema, learnerSchema } from "../show/output-schemas.js";
import { practiceMarkup, practiceText } from "../show/practice-table.js";
import { deepFrozen, identifier, text } from "../show/record.js";
import { outputRecord } from "../show/schema.js";
import { stepHtml, stepText, type WorkedStep } from "../show/worked-steps.js";
import type { AnswerVerdict } from "./answer.js";
import { type Reply, reply, solutionFor, solutionOf, taskId, wordsFor } from "./answers.js";
import { learnerLanguage, speak } from "./learner-language.js";
import { learnerCode, practice } from "./practice.js";
import type { Calculated, Solution, TaskWords } from "./solution.js";
import { type TaskId, tasks } from "./tasks.js";
import { type Language, languageOf } from "./words/language.js";
import { replyWords } from "./words/languages.js";

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
  /** The kind of mistake in a word or two; left out where it is not known, or nothing is wrong. */
  readonly slip?: string;
  /** The reply to the student, in a sentence or two. */
  readonly says: string;
  /** The worked solution, a step each, from the second wrong answer on. */
  readonly steps?: readonly WorkedStep[];
}

/** An exercise that a teacher writes in a cell. */
export interface OwnExercise {
  /** Names the exercise; none of the lessons' ids. */
  readonly id: string;
  /** What is asked, as a sentence. */
  readonly question: string;
  /** The golfers that it is about. */
  readonly golfers: PracticeSet;
  /** The right answer on one student's golfers, not rounded. */
  readonly solution: (golfers: Practice) => number;
  /** Unit of the answer; "" for a pure number. */
  readonly unit: string;
  /** Decimal places that are asked for. */
  readonly digits: number;
  /** Known mistakes: the answer that each leads to, its kind and the reply. */
  readonly slips?: (golfers: Practice) => readonly {
    readonly kind: string;
    readonly value: number;
    readonly says: string;
  }[];
  /** Three hints: a question, the idea, the recipe. */
  readonly hints: readonly [question: string, idea: string, recipe: string];
  /** The worked solution, a step each. */
  readonly steps?: (golfers: Practice) => readonly WorkedStep[];
  /** What the number means for these golfers. */
  readonly meaning: (value: number) => string;
}

let current = classCode;

/** Exercises that cells of this notebook have made. */
const own = new Map<string, OwnExercise>();
/** Wrong answers given to each exercise, each counted once: a cell that is run again is no new try. */
const wrongAnswers = new Map<string, Set<string>>();

/**
 * Says whose golfers the exercises are about: each code has golfers of its own. Without a code the
 * golfers of the class are used.
 * @param options `language`: "en", "de" or "es"; an exercise that is not translated speaks English
 * @throws InputError for a code of more than 60 characters or a language that is not there
 * @example learner("class").code // "class"
 */
export function learner(code: string = classCode, options: { language?: string } = {}): Learner {
  knownOptions(options, ["language"], "learner");
  const given = typeof code === "string" && code.trim() !== "";
  const language = languageOf(options.language ?? "en");
  speak(language);
  current = given ? learnerCode(code) : classCode;
  wrongAnswers.clear();
  const record = outputRecord(
    learnerSchema,
    { kind: "learner", code: current, language },
    "learner",
  );
  const isClass = current === classCode;
  const words = isClass
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
  display({
    [mimeTypes.practice]: golfers,
    [mimeTypes.html]: String(practiceMarkup(golfers)),
    [mimeTypes.plain]: practiceText(golfers),
  });
  return golfers;
}

/** The numbers and words of an exercise, of a lesson or of a cell, on the current learner's golfers. */
function solutionHere(id: string): Solution {
  return solutionOn(id, current, learnerLanguage());
}

function solutionOn(id: string, code: string, spoken: Language): Solution {
  const made = own.get(id);
  return made ? ownSolution(made, code) : solutionFor(taskId(id), code, spoken);
}

/** The reply to an answer to an exercise of a lesson, or of a cell that has run before. */
export function respondHere(
  id: string,
  code: string,
  value: unknown,
  given: { readonly wrongBefore: number; readonly language: Language },
): Reply {
  return reply(solutionOn(id, code, given.language), value, given);
}

function ownSolution(made: OwnExercise, code: string): Solution {
  const golfers = practice(made.golfers, code);
  const slips = made.slips?.(golfers) ?? [];
  const calculated: Calculated = {
    value: finite(made.solution(golfers), `exercise ${made.id}, solution`),
    unit: made.unit,
    digits: made.digits,
    slips: Object.fromEntries(slips.map(({ value }, i) => [String(i), value])),
    facts: {},
  };
  const [question, idea, recipe] = made.hints;
  const words: TaskWords = {
    asks: made.question,
    prompt: made.question,
    hints: { question, idea, recipe },
    slips: Object.fromEntries(slips.map(({ kind, says }, i) => [String(i), [kind, says]])),
    steps: () => made.steps?.(golfers) ?? [],
    meaning: ({ value }) => made.meaning(value),
  };
  return solutionOf(calculated, words);
}

function finite(value: number, where: string): number {
  if (Number.isFinite(value)) return value;
  throw new InputError({ expected: "a finite number", got: String(value), where });
}

/**
 * Shows what an exercise asks; `answer(id, value)` then checks what the learner found. Asking again
 * begins to count tries anew.
 * @param given id of an exercise of the lessons, or an exercise of a teacher's own
 * @throws InputError when no lesson has an exercise with this id, or an own one has such an id
 * @example exercise("cards-left-out").kind // "exercise"
 */
export function exercise(given: string | OwnExercise): Exercise {
  const id = typeof given === "string" ? given : registered(given);
  const language = learnerLanguage();
  const { prompt, set } = askedIn(id);
  const { unit, digits } = solutionHere(id);
  wrongAnswers.delete(id);
  const exerciseRecord = {
    kind: "exercise",
    id,
    prompt,
    set,
    learner: current,
    language,
    own: own.has(id),
    unit,
    digits,
  };
  const record = outputRecord(exerciseSchema, exerciseRecord, `exercise ${id}`);
  const words = replyWords(language);
  const wanted = words.wanted(unit, digits);
  display({
    [mimeTypes.exercise]: record,
    [mimeTypes.html]: String(
      markup`<p><b>${words.exercise}</b> ${proseHtml(prompt)} <i>${wanted}</i></p>`,
    ),
    [mimeTypes.plain]: `${words.exercise} ${prompt} ${wanted}`,
  });
  return record;
}

function registered(made: OwnExercise): string {
  const id = identifier(made.id, "exercise, id");
  if (Object.hasOwn(tasks, id))
    throw new InputError({
      expected: "an id that no exercise of the lessons has",
      got: JSON.stringify(id),
      where: "exercise, id",
    });
  own.set(id, made);
  return id;
}

function askedIn(id: string): { readonly prompt: string; readonly set: PracticeSet } {
  const made = own.get(id);
  if (made)
    return { prompt: text(made.question, `exercise ${id}, question`).trim(), set: made.golfers };
  const known: TaskId = taskId(id);
  return { prompt: wordsFor(known, learnerLanguage()).prompt, set: tasks[known].set };
}

function show(record: CheckedAnswer): CheckedAnswer {
  const mark = record.verdict === "right" ? "✓ " : "";
  const { steps = [] } = record;
  const { solution } = replyWords(learnerLanguage());
  const worked = steps.length > 0 ? markup`<p>${solution}</p><ol>${steps.map(stepHtml)}</ol>` : "";
  const lines = steps.map((step, i) => `\n${i + 1}. ${stepText(step)}`);
  display({
    [mimeTypes.html]: String(
      markup`<p role="status">${mark}${proseHtml(record.says)}</p>${worked}`,
    ),
    [mimeTypes.plain]: `${mark}${record.says}${steps.length > 0 ? `\n${solution}` : ""}${lines.join("")}`,
  });
  return record;
}

/**
 * Checks an answer to an exercise: right and what the number means, or what kind of mistake it is
 * (unit, sign, n − 1, percent of what …) with a hint, and from the second wrong answer on the worked
 * solution. The golfers are those of the code that `learner` was given. A wrong or missing answer is
 * explained, never thrown.
 * @param id of the exercise
 * @param value a number, or a text with its unit: "1.4 kgf"
 * @throws InputError when there is no exercise with this id
 * @example answer("cards-left-out").verdict // "no answer"
 */
export function answer(id: string, value?: unknown, ...more: readonly unknown[]): CheckedAnswer {
  const tried = wrongAnswers.get(id) ?? new Set<string>();
  // Only numbers and texts can be wrong, and some other values have no text at all.
  const written = typeof value === "number" || typeof value === "string" ? String(value) : "";
  const before = tried.size - (tried.has(written) ? 1 : 0);
  const judged = more.length > 0 ? twoValues(id, value, more[0]) : judgedHere(id, value, before);
  if (judged.verdict === "wrong") wrongAnswers.set(id, tried.add(written));
  const record: CheckedAnswer = deepFrozen({
    kind: "answer",
    exercise: id,
    learner: current,
    ...judged,
  });
  return show(record);
}

function judgedHere(id: string, value: unknown, wrongBefore: number): Reply {
  return reply(solutionHere(id), value, { wrongBefore, language: learnerLanguage() });
}

/** A decimal comma without quotes arrives as two values. */
function twoValues(id: string, first: unknown, second: unknown): Reply {
  solutionHere(id);
  const says = replyWords(learnerLanguage()).twoValues(String(first), String(second));
  return { verdict: "not read", says };
}

/**
 * Says whether a worked solution solves the exercise; it is no try.
 * @throws InputError when there is no exercise with this id
 * @example workedAnswer("cards-left-out", 0).verdict // "wrong"
 */
export function workedAnswer(id: string, value: unknown): CheckedAnswer {
  const judged = judgedHere(id, value, 0);
  const says =
    judged.verdict === "right"
      ? "The worked solution in this cell is right for these golfers."
      : `The worked solution does not solve it: ${judged.says}`;
  const record: CheckedAnswer = deepFrozen({
    kind: "workedAnswer",
    exercise: id,
    learner: current,
    ...judged,
    says,
  });
  return show(record);
}

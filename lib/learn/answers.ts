import { InputError } from "../errors.js";
import type { WorkedStep } from "../show/worked-steps.js";
import { type Judged, judgeAnswer } from "./answer.js";
import { practice } from "./practice.js";
import type { Calculated, Solution, Task, TaskWords } from "./solution.js";
import { lessonTitles, type TaskId, tasks } from "./tasks.js";
import type { Language } from "./words/language.js";
import { replyWords, taskWords } from "./words/languages.js";

/** Ids of all exercises of the lessons, in the order of the lessons. */
export const taskIds = Object.keys(tasks) as readonly TaskId[];

/** @throws InputError when no lesson has this exercise */
export function taskId(id: string): TaskId {
  const found = taskIds.find((one) => one === id);
  if (found) return found;
  const expected = `an exercise of the lessons: ${taskIds.join(", ")}`;
  throw new InputError({ expected, got: String(id), where: "exercise" });
}

/** The words of an exercise in a language. */
export function wordsFor(id: TaskId, language: Language): TaskWords {
  // The words of a task are checked against its own numbers where they are written.
  return taskWords(language)[id] as TaskWords;
}

/** The solution of an exercise on one learner's golfers. */
export function solutionFor(id: TaskId, learner: string, language: Language = "en"): Solution {
  const { set, solve } = tasks[id] as Task;
  return solutionOf(solve(practice(set, learner)), wordsFor(id, language));
}

/** Numbers and words of an exercise together. */
export function solutionOf(calculated: Calculated, words: TaskWords): Solution {
  const { value, unit, digits, slips } = calculated;
  return {
    value,
    unit,
    digits,
    slips: Object.entries(slips).map(([name, number]) => {
      const [kind = name, says = ""] = words.slips[name] ?? [];
      return { kind, value: number, says };
    }),
    hints: words.hints,
    steps: words.steps(calculated),
    meaning: words.meaning(calculated),
  };
}

/** What a learner is told, with the help that the number of tries gives. */
export interface Reply extends Judged {
  /** The worked solution, from the second wrong answer on. */
  readonly steps?: readonly WorkedStep[];
}

/** Wrong answers after which the worked solution is shown. */
const triesBeforeSolution = 2;

/**
 * What a learner is told: the judgement; after a right answer what the number means; after each
 * wrong one the next hint (a question, the idea, the recipe), and the worked solution from the
 * second wrong answer on.
 */
export function reply(
  solution: Solution,
  answer: unknown,
  { wrongBefore, language }: { readonly wrongBefore: number; readonly language: Language },
): Reply {
  const words = replyWords(language);
  const judged = judgeAnswer(answer, solution, words);
  if (judged.verdict === "right") return { ...judged, says: `${judged.says} ${solution.meaning}` };
  if (judged.verdict !== "wrong") return judged;
  const { question, idea, recipe } = solution.hints;
  const hint = [question, idea][wrongBefore] ?? recipe;
  const says = `${judged.says} ${words.hint} ${hint}`;
  if (wrongBefore + 1 < triesBeforeSolution) return { ...judged, says };
  return { ...judged, says, steps: solution.steps };
}

/** The reply to an answer to an exercise of the lessons. */
export function respond(
  id: string,
  learner: string,
  answer: unknown,
  given: { readonly wrongBefore: number; readonly language: Language },
): Reply {
  return reply(solutionFor(taskId(id), learner, given.language), answer, given);
}

/** One line of the teacher's list. */
export interface AnswerLine {
  /** Code of the learner. */
  readonly learner: string;
  /** Name of the lesson. */
  readonly lesson: string;
  /** Id of the exercise. */
  readonly exercise: string;
  /** What is asked, in a few words. */
  readonly asks: string;
  /** The right answer, in `unit`, rounded to `digits` decimal places. */
  readonly answer: number;
  /** Unit of the answer; "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
}

/** Every answer of one learner, rounded as the exercises ask. */
export function answersOf(learner: string): AnswerLine[] {
  return taskIds.map((id) => {
    const { set, lesson, solve } = tasks[id] as Task;
    const golfers = practice(set, learner);
    const { value, unit, digits } = solve(golfers);
    return {
      learner: golfers.learner,
      lesson: lessonTitles[lesson - 1] ?? String(lesson),
      exercise: id,
      asks: wordsFor(id, "en").asks,
      answer: Number(value.toFixed(digits)),
      unit,
      digits,
    };
  });
}

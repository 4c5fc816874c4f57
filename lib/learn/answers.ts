import { InputError } from "../errors.js";
import { type Judged, judgeAnswer } from "./answer.js";
import { beforeAfterExercises } from "./before-after-exercises.js";
import { crowdsExercises } from "./crowds-exercises.js";
import { lineExercises } from "./line-exercises.js";
import { practice } from "./practice.js";
import { resamplingExercises } from "./resampling-exercises.js";
import type { ExerciseKey, Solution } from "./solution.js";
import { squeezeExercises } from "./squeeze-exercises.js";

/** All exercises of the lessons, in the order of the lessons. */
export const exerciseKeys: readonly ExerciseKey[] = [
  ...squeezeExercises,
  ...lineExercises,
  ...beforeAfterExercises,
  ...resamplingExercises,
  ...crowdsExercises,
];

/** @throws InputError when no lesson has this exercise */
export function exerciseKey(id: string): ExerciseKey {
  const found = exerciseKeys.find((key) => key.id === id);
  if (found) return found;
  const expected = `an exercise of the lessons: ${exerciseKeys.map((key) => key.id).join(", ")}`;
  throw new InputError({ expected, got: String(id), where: "exercise" });
}

/** The solution of an exercise on one learner's golfers. */
export function solutionFor(id: string, learner: string): Solution {
  const key = exerciseKey(id);
  return key.solve(practice(key.set, learner));
}

/** What a learner is told: the judgement, and from the second wrong answer on a hint. */
export function respond(id: string, learner: string, answer: unknown, wrongBefore: number): Judged {
  const solution = solutionFor(id, learner);
  const judged = judgeAnswer(answer, solution);
  if (judged.verdict !== "wrong" || wrongBefore < 1) return judged;
  return { ...judged, says: `${judged.says} Hint: ${solution.hint}` };
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
  return exerciseKeys.map(({ id, lesson, asks, set, solve }) => {
    const golfers = practice(set, learner);
    const { value, unit, digits } = solve(golfers);
    const answer = Number(value.toFixed(digits));
    return { learner: golfers.learner, lesson, exercise: id, asks, answer, unit, digits };
  });
}

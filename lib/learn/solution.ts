import type { Practice, PracticeSet } from "../show/lesson-outputs.js";
import type { WorkedStep } from "../show/worked-steps.js";

/** A known wrong answer: its value on this student's data, and the reply to it. */
export interface Slip {
  /** The kind of mistake in a word or two: "n − 1", "percent of what". */
  readonly kind: string;
  /** The answer that this mistake leads to, in the unit of the exercise. */
  readonly value: number;
  /** What is said to a student who makes it. */
  readonly says: string;
}

/** Three hints, one after each wrong answer. */
export interface Hints {
  /** A question that leads to the idea. */
  readonly question: string;
  /** The idea behind the solution. */
  readonly idea: string;
  /** How it is calculated. */
  readonly recipe: string;
}

/** The right answer on a student's data, the wrong ones that tell something, and how to get there. */
export interface Solution {
  /** The right answer, in `unit`, not rounded. */
  readonly value: number;
  /** "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
  /** Answers that common mistakes lead to. */
  readonly slips: readonly Slip[];
  /** Hints in three steps. */
  readonly hints: Hints;
  /** The worked solution in words, with the student's own numbers, one step each. */
  readonly steps: readonly WorkedStep[];
  /** What the number means for these golfers; said after a right answer. */
  readonly meaning: string;
}

/** What is calculated for an exercise, without words. */
export interface Calculated {
  /** The right answer, in `unit`, not rounded. */
  readonly value: number;
  /** "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
  /** Answers that common mistakes lead to, by the name of the mistake. */
  readonly slips: Readonly<Record<string, number>>;
  /** Numbers on the way to the answer, for the worked solution and the meaning. */
  readonly facts: Readonly<Record<string, number | string | readonly number[]>>;
}

/** One exercise: which golfers it is about and how it is solved on them. */
export interface Task<C extends Calculated = Calculated> {
  /** Number of its lesson. */
  readonly lesson: number;
  /** The golfers that the exercise is about. */
  readonly set: PracticeSet;
  /** The numbers of the solution for one learner's golfers. */
  readonly solve: (golfers: Practice) => C;
}

/** A task whose mistakes and facts keep their names, so that the words can be checked for them. */
export function task<C extends Calculated>(
  lesson: number,
  set: PracticeSet,
  solve: (golfers: Practice) => C,
): Task<C> {
  return { lesson, set, solve };
}

/** The words of one exercise in one language. */
export interface TaskWords<C extends Calculated = Calculated> {
  /** What is asked, in a few words, for the teacher's list. */
  readonly asks: string;
  /** The exercise as the student reads it. */
  readonly prompt: string;
  /** Hints in three steps. */
  readonly hints: Hints;
  /** For each known mistake its kind and the reply. */
  readonly slips: { readonly [Name in keyof C["slips"]]: readonly [kind: string, says: string] };
  /** The worked solution, with the student's own numbers. */
  steps(calculated: C): readonly WorkedStep[];
  /** What the number means for these golfers. */
  meaning(calculated: C): string;
}

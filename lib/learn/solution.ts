import type { Practice, PracticeSet } from "../show/lesson-outputs.js";

/** A known wrong answer: its value on this student's data, and the reply to it. */
export interface Slip {
  /** The kind of wrong in a word or two: "n − 1", "percent of what". */
  readonly kind: string;
  /** The answer that this mistake leads to, in the unit of the exercise. */
  readonly value: number;
  /** What is said to a student who makes it. */
  readonly says: string;
}

/** The right answer on a student's data, and the wrong ones that tell something. */
export interface Solution {
  /** The right answer, in `unit`, not rounded. */
  readonly value: number;
  /** "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
  /** Answers that common mistakes lead to. */
  readonly slips: readonly Slip[];
  /** Said at the second wrong answer. */
  readonly hint: string;
}

/** One exercise: which golfers it is about and how it is solved on them. */
export interface ExerciseKey {
  /** Names the exercise among the lessons. */
  readonly id: string;
  /** Name of its lesson. */
  readonly lesson: string;
  /** The golfers that the exercise is about. */
  readonly set: PracticeSet;
  /** What is asked, in a few words, for the teacher's list. */
  readonly asks: string;
  /** The solution for one learner's golfers. */
  readonly solve: (golfers: Practice) => Solution;
}

/** A known wrong answer in one line. */
export function slip(kind: string, value: number, says: string): Slip {
  return { kind, value, says };
}

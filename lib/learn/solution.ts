/** A wrong answer that is known: what it comes to on this student's data, and what to say of it. */
import type { Practice, PracticeSet } from "../show/lesson-outputs.js";
export interface Slip {
  /** The kind of wrong in a word or two: "n − 1", "percent of what". */
  readonly kind: string;
  readonly value: number;
  readonly says: string;
}

/** The right answer on a student's data, and the wrong ones that tell something. */
export interface Solution {
  readonly value: number;
  /** "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
  readonly slips: readonly Slip[];
  /** Said at the second wrong answer. */
  readonly hint: string;
}

/** One exercise: which golfers it is about and how it is solved on them. */
export interface ExerciseKey {
  readonly id: string;
  readonly lesson: string;
  readonly set: PracticeSet;
  /** What is asked, in a few words, for the teacher's list. */
  readonly asks: string;
  readonly solve: (golfers: Practice) => Solution;
}

export function slip(kind: string, value: number, says: string): Slip {
  return { kind, value, says };
}

import type { Judged } from "../../learn/answer.js";
import type { Played } from "../../learn/model.js";
import type { Practice, PracticeSet, Settings } from "../../show/lesson-outputs.js";

/** What a lesson's page asks the library. */
export type LessonQuestion =
  | {
      readonly ask: "play";
      readonly model: string;
      readonly settings: Settings;
      readonly seed: number;
    }
  | { readonly ask: "practice"; readonly set: PracticeSet; readonly code: string }
  | {
      readonly ask: "check";
      readonly exercise: string;
      readonly code: string;
      readonly answer: string;
      readonly wrongBefore: number;
    };

/** A question with its number: answers come back under the same one. */
export type NumberedQuestion = LessonQuestion & { readonly number: number };

/** What the library says to each kind of question. */
export interface LessonReplies {
  /** Result of a model with the chosen settings and seed. */
  readonly play: Played;
  /** The golfers of a practice set, invented for the learner. */
  readonly practice: Practice;
  /** Whether an answer is right, with the response as a text for the reader. */
  readonly check: Judged & { readonly text: string };
}

/** The reply to a question under its number, or why the library refused it. */
export type LessonAnswer =
  | { readonly number: number; readonly reply: LessonReplies[keyof LessonReplies] }
  | { readonly number: number; readonly fault: string };

/** The part of the library that answers. */
export interface LessonLibrary {
  /** Runs a model of a lesson with these settings; the same seed gives the same result. */
  playAgain(model: string, settings: Settings, seed: number): Played;
  /** Invents the golfers of a practice set; the same learner's code gives the same golfers. */
  practice(set: PracticeSet, code: string): Practice;
  /** Judges an answer to an exercise; after earlier wrong answers it adds a hint. */
  respond(exercise: string, code: string, answer: unknown, wrongBefore: number): Judged;
  /** The response to a judged answer, as a text for the reader. */
  answerText(judged: Judged): string;
}

function replyTo(library: LessonLibrary, question: LessonQuestion) {
  if (question.ask === "play") {
    return library.playAgain(question.model, question.settings, question.seed);
  }
  if (question.ask === "practice") return library.practice(question.set, question.code);
  const { exercise, code, answer, wrongBefore } = question;
  const judged = library.respond(exercise, code, answer, wrongBefore);
  return { ...judged, text: library.answerText(judged) };
}

/** The answer to a question; what the library refuses comes back as its message. */
export function answerTo(library: LessonLibrary, question: NumberedQuestion): LessonAnswer {
  const { number } = question;
  try {
    return { number, reply: replyTo(library, question) };
  } catch (error) {
    return { number, fault: error instanceof Error ? error.message : String(error) };
  }
}

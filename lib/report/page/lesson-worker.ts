import type { Reply } from "../../learn/answers.js";
import type { HandedIn } from "../../learn/hand-in.js";
import type { Played } from "../../learn/model.js";
import type { Language } from "../../learn/words/language.js";
import type { Practice, PracticeSet, Settings } from "../../show/lesson-outputs.js";

/** What a lesson's page asks the library. */
export type LessonQuestion =
  | {
      readonly ask: "play";
      readonly model: string;
      readonly settings: Settings;
      readonly seed: number;
      readonly language: string;
    }
  | { readonly ask: "practice"; readonly set: PracticeSet; readonly code: string }
  | {
      readonly ask: "check";
      readonly exercise: string;
      readonly code: string;
      readonly answer: string;
      readonly wrongBefore: number;
      readonly language: Language;
      /** The notebook whose cell made the exercise; left out for an exercise of the lessons. */
      readonly notebook?: string;
    }
  | { readonly ask: "hand-in"; readonly work: Pick<HandedIn, "code" | "minutes" | "work"> };

/** A question with its number: answers come back under the same one. */
export type NumberedQuestion = LessonQuestion & { readonly number: number };

/** What the library says to each kind of question. */
export interface LessonReplies {
  /** Result of a model with the chosen settings and seed. */
  readonly play: Played;
  /** The golfers of a practice set, invented for the learner. */
  readonly practice: Practice;
  /** Whether an answer is right, with the reply to the reader and the heading of a worked solution. */
  readonly check: Reply & { readonly heading: string };
  /** The student's work as a text. */
  readonly "hand-in": string;
}

/** The reply to a question under its number, or why the library refused it. */
export type LessonAnswer =
  | { readonly number: number; readonly reply: LessonReplies[keyof LessonReplies] }
  | { readonly number: number; readonly fault: string };

/** The part of the library that answers. */
export interface LessonLibrary {
  /** Runs a model of a lesson with these settings; the same seed gives the same result. */
  playAgain(model: string, settings: Settings, seed: number, language: string): Played;
  /** Invents the golfers of a practice set; the same learner's code gives the same golfers. */
  practice(set: PracticeSet, code: string): Practice;
  /** Judges an answer to an exercise; the number of wrong answers before decides on hints. */
  respondHere(
    exercise: string,
    code: string,
    answer: unknown,
    given: { readonly wrongBefore: number; readonly language: Language },
  ): Reply;
  /** The words of the replies in a language. */
  replyWords(language: Language): { readonly solution: string };
  /** A student's work as a text. */
  handedIn(work: Pick<HandedIn, "code" | "minutes" | "work">): string;
}

function replyTo(library: LessonLibrary, question: LessonQuestion) {
  if (question.ask === "play") {
    const { model, settings, seed, language } = question;
    return library.playAgain(model, settings, seed, language);
  }
  if (question.ask === "practice") return library.practice(question.set, question.code);
  if (question.ask === "hand-in") return library.handedIn(question.work);
  const { exercise, code, answer, wrongBefore, language } = question;
  const reply = library.respondHere(exercise, code, answer, { wrongBefore, language });
  return { ...reply, heading: library.replyWords(language).solution };
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

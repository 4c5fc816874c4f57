import type { Term } from "./glossary.js";
import type { Settings } from "./lesson-outputs.js";
import type { Picture } from "./picture.js";

/** A paragraph whose numbers come from results. */
export interface Prose {
  /** Kind of the output. */
  readonly kind: "prose";
  /** The text, shown without markup; a blank line begins a new paragraph. */
  readonly text: string;
}

/** One of the answers to choose from. */
export interface QuestionOption {
  /** The answer, as the reader sees it. */
  readonly says: string;
  /** What is said to a reader who chooses it. */
  readonly reply: string;
}

/** A question without a number: a prediction before a simulation, or whether a claim is justified. */
export interface Question {
  /** Kind of the output. */
  readonly kind: "question";
  /** Unique in the notebook. */
  readonly id: string;
  /** What is asked, as a sentence. */
  readonly asks: string;
  /** The answers to choose from, at least two. */
  readonly options: readonly QuestionOption[];
  /** Id of the simulation that a page reveals and unlocks with the first choice. */
  readonly unlocks?: string;
  /** Settings that this simulation takes with the first choice, so that it answers the question. */
  readonly shows?: Settings;
  /** Id of the simulation that is played with to find the answer. */
  readonly plays?: string;
  /** What the question is about, as a drawing, and what it shows for readers who cannot see it. */
  readonly picture?: { readonly drawn: Picture; readonly alt: string };
}

/** Terms that a notebook explains. */
export interface Terms {
  /** Kind of the output. */
  readonly kind: "terms";
  /** The terms with their meaning. */
  readonly terms: readonly Term[];
}

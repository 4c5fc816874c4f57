import type { Picture } from "../../show/picture.js";
import type { QuestionOption } from "../../show/word-outputs.js";
import type { QuestionId } from "../lesson-questions.js";

/** A question of a lesson in one language. */
export interface QuestionText {
  /** What is asked. */
  readonly asks: string;
  /** The answers to choose from, each with one sentence or two that say why. */
  readonly options: readonly QuestionOption[];
  /** What the question is about, for an opening question. */
  readonly picture?: { readonly drawn: Picture; readonly alt: string };
}

/** The text of lessons in one language, beside their exercises. */
export interface LessonTexts {
  /** Questions, by id. */
  readonly questions: { readonly [Id in QuestionId]: QuestionText };
  /** What stands under a simulation, by the id of the simulation. */
  readonly captions: Readonly<Record<string, string>>;
  /** Text cells in Markdown: by the name of the notebook, then by the id of the cell. */
  readonly cells: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

/** The text of some lessons, by the same names as that of all. */
export interface PartOfLessons {
  /** Questions, by id. */
  readonly questions: Partial<LessonTexts["questions"]>;
  /** What stands under a simulation, by its id. */
  readonly captions: LessonTexts["captions"];
  /** Text cells, by notebook and cell. */
  readonly cells: LessonTexts["cells"];
}

/** An option with its reply. */
export function option(says: string, reply: string): QuestionOption {
  return { says, reply };
}

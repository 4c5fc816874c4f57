import { InputError } from "../errors.js";
import { question } from "../show/question.js";
import type { Question } from "../show/word-outputs.js";
import { learnerLanguage } from "./learner-language.js";
import { type LessonQuestion, lessonQuestions, type QuestionId } from "./lesson-questions.js";
import { lessonTexts } from "./words/languages.js";

function known<Name extends string>(name: string, names: readonly Name[], where: string): Name {
  const found = names.find((one) => one === name);
  if (found) return found;
  throw new InputError({ expected: `one of ${names.join(", ")}`, got: String(name), where });
}

const questionIds = Object.keys(lessonQuestions) as QuestionId[];

/**
 * Asks a question of the lessons, in the language that `learner` was given: before the lesson, before
 * a simulation, while playing with it, or after it.
 * @param id of the question
 * @throws InputError when no lesson has a question with this id
 * @example lessonQuestion("squeeze-predict").unlocks // "one-squeeze"
 */
export function lessonQuestion(id: string): Question {
  const name = known(id, questionIds, "lessonQuestion");
  const { unlocks, shows, plays }: LessonQuestion = lessonQuestions[name];
  const { asks, options, picture } = lessonTexts(learnerLanguage()).questions[name];
  return question({
    id: name,
    asks,
    options,
    ...(unlocks !== undefined && { unlocks }),
    ...(shows !== undefined && { shows }),
    ...(plays !== undefined && { plays }),
    ...(picture !== undefined && { picture }),
  });
}

/**
 * What stands under a simulation of the lessons, in the language that `learner` was given.
 * @param id of the simulation
 * @throws InputError when no lesson has a simulation with this id
 * @example lessonCaption("resampling").slice(0, 17) // "A study resampled"
 */
export function lessonCaption(id: string): string {
  const { captions } = lessonTexts(learnerLanguage());
  return captions[known(id, Object.keys(captions), "lessonCaption")] ?? "";
}

import { InputError } from "../../errors.js";
import type { LessonWords } from "../tasks.js";
import { english, englishLessons, englishModels, englishReplies } from "./english.js";
import { german, germanLessons, germanModels, germanReplies } from "./german.js";
import type { LessonTexts, PartOfLessons } from "./lesson-text.js";
import type { ModelWords } from "./model-words.js";
import type { ReplyWords } from "./reply-words.js";
import { spanish, spanishLessons, spanishModels, spanishReplies } from "./spanish.js";

/** Languages of the exercises. */
export const languages = ["en", "de", "es"] as const;
/** A language of the exercises, by its ISO 639-1 code. */
export type Language = (typeof languages)[number];

/** All words of one language; what is not translated yet speaks English. */
interface LanguageWords {
  readonly tasks: Partial<LessonWords>;
  readonly replies: ReplyWords;
  readonly lessons: PartOfLessons;
  readonly models: Partial<ModelWords>;
}

const wordsOf: Readonly<Record<Language, LanguageWords>> = {
  en: { tasks: english, replies: englishReplies, lessons: englishLessons, models: englishModels },
  de: { tasks: german, replies: germanReplies, lessons: germanLessons, models: germanModels },
  es: { tasks: spanish, replies: spanishReplies, lessons: spanishLessons, models: spanishModels },
};

/** The text of the lessons: in the language where it is there, else in English. */
export function lessonTexts(language: Language): LessonTexts {
  const { questions, captions, cells } = wordsOf[language].lessons;
  return {
    questions: { ...englishLessons.questions, ...questions },
    captions: { ...englishLessons.captions, ...captions },
    cells: { ...englishLessons.cells, ...cells },
  };
}

/** The words of the figures to play with: in the language where they are there, else in English. */
export function modelWords(language: Language): ModelWords {
  return { ...englishModels, ...wordsOf[language].models };
}

/** The words of the exercises: in the language where they are there, else in English. */
export function taskWords(language: Language): LessonWords {
  return { ...english, ...wordsOf[language].tasks };
}

/** What every exercise says in a language. */
export function replyWords(language: Language): ReplyWords {
  return wordsOf[language].replies;
}

/** @throws InputError when there are no words in this language */
export function languageOf(code: unknown): Language {
  const found = languages.find((one) => one === code);
  if (found) return found;
  const expected = `one of ${languages.join(", ")}`;
  throw new InputError({ expected, got: String(code), where: "learner, language" });
}

import { InputError } from "../../errors.js";
import type { LessonWords } from "../tasks.js";
import { english, englishReplies } from "./english.js";
import { german, germanReplies } from "./german.js";
import type { ReplyWords } from "./reply-words.js";
import { spanish, spanishReplies } from "./spanish.js";

/** Languages of the exercises. */
export const languages = ["en", "de", "es"] as const;
/** A language of the exercises, by its ISO 639-1 code. */
export type Language = (typeof languages)[number];

/** The words of each language; an exercise that is not translated yet speaks English. */
const wordsOf: Readonly<
  Record<Language, { readonly tasks: Partial<LessonWords>; readonly replies: ReplyWords }>
> = {
  en: { tasks: english, replies: englishReplies },
  de: { tasks: german, replies: germanReplies },
  es: { tasks: spanish, replies: spanishReplies },
};

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

import type { LessonWords } from "../tasks.js";
import { english, englishLessons, englishReplies } from "./english.js";
import { german, germanLessons, germanReplies } from "./german.js";
import type { Language } from "./language.js";
import type { LessonTexts, PartOfLessons } from "./lesson-text.js";
import type { ReplyWords } from "./reply-words.js";
import { spanish, spanishLessons, spanishReplies } from "./spanish.js";

/** All words of one language; what is not translated yet speaks English. */
interface LanguageWords {
  readonly tasks: Partial<LessonWords>;
  readonly replies: ReplyWords;
  readonly lessons: () => PartOfLessons;
}

const wordsOf: Readonly<Record<Language, LanguageWords>> = {
  en: { tasks: english, replies: englishReplies, lessons: englishLessons },
  de: { tasks: german, replies: germanReplies, lessons: germanLessons },
  es: { tasks: spanish, replies: spanishReplies, lessons: spanishLessons },
};

/** The text of the lessons: in the language where it is there, else in English. */
export function lessonTexts(language: Language): LessonTexts {
  const complete = englishLessons();
  const { questions, captions, cells } = wordsOf[language].lessons();
  return {
    questions: { ...complete.questions, ...questions },
    captions: { ...complete.captions, ...captions },
    cells: { ...complete.cells, ...cells },
  };
}

/** The words of the exercises: in the language where they are there, else in English. */
export function taskWords(language: Language): LessonWords {
  return { ...english, ...wordsOf[language].tasks };
}

/** What every exercise says in a language. */
export function replyWords(language: Language): ReplyWords {
  return wordsOf[language].replies;
}

import { englishModels } from "./english.js";
import { germanModels } from "./german.js";
import type { Language } from "./language.js";
import type { ModelWords } from "./model-words.js";
import { spanishModels } from "./spanish.js";

const others: Readonly<Record<Language, Partial<ModelWords>>> = {
  en: {},
  de: germanModels,
  es: spanishModels,
};

/**
 * The words of the figures to play with: in the language where they are there, else in English. They
 * have a file of their own because an output of a notebook carries them without the exercises.
 */
export function modelWords(language: Language): ModelWords {
  return { ...englishModels, ...others[language] };
}

import type { Language } from "./words/language.js";

let spoken: Language = "en";

/** The language that the notebook's learner reads. */
export function learnerLanguage(): Language {
  return spoken;
}

/** From now on the lessons speak this language. */
export function speak(language: Language): void {
  spoken = language;
}

import { InputError } from "../../errors.js";

/** Languages of the exercises. */
export const languages = ["en", "de", "es"] as const;
/** A language of the exercises, by its ISO 639-1 code. */
export type Language = (typeof languages)[number];

/** @throws InputError when there are no words in this language */
export function languageOf(code: unknown): Language {
  const found = languages.find((one) => one === code);
  if (found) return found;
  const expected = `one of ${languages.join(", ")}`;
  throw new InputError({ expected, got: String(code), where: "learner, language" });
}

import type { Verdict } from "../notebook/judgement.js";

/** A text without characters that could control the terminal. */
export function printable(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is removed
  return text.replace(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]+/g, " ");
}

/** A verdict as people read it, here and in the pages of the report. */
export function verdictWord(verdict: Verdict): string {
  return verdict === "same" ? "reproduced" : verdict;
}

import { InputError } from "../errors.js";

/**
 * What a statistic refused, as a sentence for a reader. Other errors are thrown again.
 * @param subject what the sentence says of the data, without its full stop
 */
export function refusalSentence(error: unknown, subject = "The data are not sufficient"): string {
  if (!(error instanceof InputError)) throw error;
  return `${subject}: expected ${error.expected}, found ${error.got}.`;
}

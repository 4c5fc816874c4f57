import { InputError } from "../errors.js";

/**
 * What a statistic refused, as one sentence for a reader. Other errors are thrown again.
 * @param subject what the sentence says of the data, without its full stop
 */
export function refusalSentence(error: unknown, subject = "The data are not sufficient"): string {
  if (!(error instanceof InputError)) throw error;
  const [needed, present] = [error.expected, error.got].map(inGolfers);
  return `${subject}: the method requires ${needed}, and the data have ${present}.`;
}

/** A statistic knows subjects; the reader knows golfers. */
function inGolfers(text: string): string {
  return text.replace(/\bsubject(s?)\b/g, "golfer$1");
}

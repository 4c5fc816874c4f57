/** A number in a text, as a person wrote it. */
export interface WrittenNumber {
  /** The number with point and plain minus, digits not grouped: "-2.40". */
  readonly digits: string;
  /** As written. */
  readonly text: string;
  /** Where it begins in the text, in characters. */
  readonly start: number;
  /** Where it ends in the text, in characters. */
  readonly end: number;
}

/** Spaces that group digits or stand between number and unit. */
const spaces = "[\\u00a0\\u2009\\u202f]";
const number = new RegExp(
  `[-−–]?(?:\\d+\\.\\d+(?=,[-−–]?\\d*\\.\\d)|(?:\\d{1,3}(?:${spaces}\\d{3})+|\\d+)(?:[.,·]\\d+)*|(?<![\\p{L}\\d)\\].])\\.\\d+)(?:\\s?[×x]\\s?10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?`,
  "gu",
);

/**
 * Every number of a text. A dash behind a digit, a letter or a bracket is no minus. ".014" is a
 * number, and "0.5,4.2" are two.
 */
export function numbersIn(text: string): WrittenNumber[] {
  return [...text.matchAll(number)].map((match) => {
    const [all] = match;
    const before = text[match.index - 1] ?? " ";
    const isRange = /^[-−–]/.test(all) && /[\p{L}\p{N})%]/u.test(before);
    const written = isRange ? all.slice(1) : all;
    const start = match.index + all.length - written.length;
    return { digits: plainDigits(written), text: written, start, end: start + written.length };
  });
}

/** A number with point and plain minus: "−2,4" and "-2.4" are one number. */
function plainDigits(text: string): string {
  return text
    .replace(/[−–]/g, "-")
    .replace(/[\s\u00a0\u2009\u202f]/g, "")
    .replace(/(\d)[,·](\d)/g, "$1.$2")
    .replace(/^(-?)\./, "$10.");
}

/** The texts read as the same number, with the same count of decimals. */
export function sameNumber(one: string, other: string): boolean {
  const [a, b] = [numbersIn(` ${one}`), numbersIn(` ${other}`)];
  if (a.length !== b.length) return false;
  if (a.length === 0) return one.trim() === other.trim();
  return a.every(({ digits }, i) => digits === b[i]?.digits) && relation(one) === relation(other);
}

/** "p < 0.001" and "p = 0.001" are not the same. */
function relation(text: string): string {
  return /[<>≤≥]/.exec(text)?.[0] ?? "=";
}

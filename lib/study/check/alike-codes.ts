import { editDistance } from "../../options.js";

/** Letters and digits that are taken for one another when a code is typed. */
const mistaken: Readonly<Record<string, string>> = { o: "0", i: "1", l: "1" };

/**
 * A code without what people add or leave out when they type it: case, spaces, marks between parts
 * and zeros before a number. "g 07", "G7" and "G-07" have one plain form.
 */
export function plainCode(code: string): string {
  const letters = code
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase();
  return letters.replace(/[^\p{L}\p{N}]+/gu, "").replace(/(^|\D)0+(?=\d)/g, "$1");
}

/** The plain form with letters that look like digits read as digits, where a digit stands beside. */
function lookAlike(code: string): string {
  const plain = plainCode(code);
  const digits = plain.replace(/[oil](?=\d)|(?<=\d)[oil]/g, (letter) => mistaken[letter] ?? letter);
  return plainCode(digits);
}

/** The known code that a strange one is most probably meant to be, if there is exactly one. */
export function alikeCode(value: string, known: readonly string[]): string | undefined {
  const same = known.filter((code) => plainCode(code) === plainCode(value));
  if (same.length === 1) return same[0];
  const looks = known.filter((code) => lookAlike(code) === lookAlike(value));
  if (looks.length === 1) return looks[0];
  if (!/[a-z]{3}/i.test(value)) return undefined;
  const near = known.filter(
    (code) => code.length > 3 && editDistance(code.toLowerCase(), value.trim().toLowerCase()) <= 2,
  );
  return near.length === 1 ? near[0] : undefined;
}

/** How far the numbers of a text may move. */
export interface TextAllowance {
  /**
   * Largest difference of two printed numbers, beside one unit of their last printed place. Left out
   * when the data behind the text are the same: then every digit has to be.
   */
  readonly tolerance?: number | undefined;
  /** Largest difference of two numbers inside the tags of a drawing, in its units of length. */
  readonly coordinates?: number | undefined;
}

/** What two texts come to: the same, rounding apart, or different, with both texts at the first place. */
export interface TextVerdict {
  /** Equal, different only in numbers within the allowance, or different. */
  readonly verdict: "same" | "within tolerance" | "different";
  /** Largest difference of two numbers. */
  readonly largest: number;
  /** The words around the first difference, before and after. */
  readonly reads?: readonly [before: string, after: string];
}

interface Token {
  readonly text: string;
  readonly isNumber: boolean;
  readonly inTag: boolean;
  /** Where the token begins. */
  readonly start: number;
}

const sameText: TextVerdict = { verdict: "same", largest: 0 };

/**
 * Compares two texts word by word, in time proportional to their length. Numbers printed with at
 * least 15 digits may differ by rounding; others as the allowance says; everything else has to be
 * equal to the letter.
 */
export function compareTexts(
  before: string,
  after: string,
  allowance: TextAllowance = {},
): TextVerdict {
  if (before === after) return sameText;
  const start = commonStart(before, after);
  const end = commonEnd(before, after, start);
  const one = tokens(before, start, before.length - end);
  const two = tokens(after, start, after.length - end);
  let largest = 0;
  for (let i = 0; i < Math.max(one.length, two.length); i++) {
    const [a, b] = [one[i], two[i]];
    if (a !== undefined && b !== undefined) {
      if (a.text === b.text) continue;
      const apart = numbersApart(a, b, allowance);
      if (apart !== undefined) {
        largest = Math.max(largest, apart);
        continue;
      }
    }
    const reads = [
      around(before, a?.start ?? before.length - end),
      around(after, b?.start ?? after.length - end),
    ] as const;
    return { verdict: "different", largest, reads };
  }
  return { verdict: "within tolerance", largest };
}

/** The difference of two numbers where the allowance permits it. */
function numbersApart(a: Token, b: Token, allowance: TextAllowance): number | undefined {
  if (!a.isNumber || !b.isNumber) return undefined;
  const [x, y] = [numberOf(a.text), numberOf(b.text)];
  const difference = Math.abs(x - y);
  if (!Number.isFinite(difference)) return undefined;
  const { tolerance } = allowance;
  // Whole numbers count people and name them: they may move only under a tolerance of the author.
  const whole = !/[.e]/i.test(a.text) || !/[.e]/i.test(b.text);
  const printed = tolerance === undefined || (whole && tolerance === 0) ? 0 : 1;
  const places = printed * Math.max(unitOf(a.text), unitOf(b.text));
  const allowed = [
    digitsOf(a.text) >= 15 && digitsOf(b.text) >= 15 ? 1e-14 * Math.abs(x) : 0,
    printed * ((tolerance ?? 0) + places * (1 + 1e-9)),
    a.inTag && b.inTag ? (allowance.coordinates ?? 0) : 0,
  ];
  const most = Math.max(...allowed);
  return most > 0 && difference <= most ? difference : undefined;
}

function numberOf(text: string): number {
  return Number(text.replace("\u2212", "-"));
}

/** The longest number that is compared as one: longer runs of digits are compared letter by letter. */
const longestNumber = 40;

function digitsOf(text: string): number {
  return text.replace(/e.*$/i, "").replace(/\D/g, "").replace(/^0+/, "").length;
}

/** One unit of the last printed place: 0.1 for "2.4". */
function unitOf(text: string): number {
  const [mantissa, exponent = "0"] = text.toLowerCase().split("e");
  const decimals = (mantissa ?? "").split(".")[1]?.length ?? 0;
  return 10 ** (Number(exponent) - decimals);
}

function commonStart(a: string, b: string): number {
  const most = Math.min(a.length, b.length);
  let i = 0;
  while (i < most && a.charCodeAt(i) === b.charCodeAt(i)) i++;
  // A number is compared as a whole: the comparison begins before the word that differs.
  while (i > 0 && isInWord(a.charCodeAt(i - 1))) i--;
  return i;
}

function commonEnd(a: string, b: string, start: number): number {
  const most = Math.min(a.length, b.length) - start;
  let i = 0;
  while (i < most && a.charCodeAt(a.length - 1 - i) === b.charCodeAt(b.length - 1 - i)) i++;
  while (i > 0 && isInWord(a.charCodeAt(a.length - i))) i--;
  return i;
}

const isDigit = (code: number) => code >= 48 && code <= 57;
const isSign = (code: number) => code === 43 || code === 45 || code === 0x2212;
const isLetter = (code: number) =>
  (code >= 65 && code <= 90) || (code >= 97 && code <= 122) || code === 95 || code > 0x2fff;
/** Letters, digits, a point or a sign: what a number or a word can be made of. */
const isInWord = (code: number) =>
  isDigit(code) || isLetter(code) || code === 46 || isSign(code) || (code > 127 && code !== 160);

/** Words, numbers and single other characters between two places of a text. */
function tokens(text: string, from: number, to: number): Token[] {
  const list: Token[] = [];
  let inTag = text.lastIndexOf("<", from - 1) > text.lastIndexOf(">", from - 1);
  let i = from;
  while (i < to) {
    const start = i;
    const numberEnd = endOfNumber(text, i, to, inTag);
    if (numberEnd > i) i = numberEnd;
    else i = Math.max(i + 1, endOfWord(text, i, to, inTag));
    const word = text.slice(start, i);
    if (word === "<") inTag = true;
    if (word === ">") inTag = false;
    list.push({ text: word, isNumber: numberEnd > start, inTag, start });
  }
  return list;
}

/** Where a word ends. In the path of a drawing, "M120" is a letter and a number. */
function endOfWord(text: string, at: number, to: number, inTag: boolean): number {
  let i = at;
  while (i < to && (isLetter(text.charCodeAt(i)) || (!inTag && isDigit(text.charCodeAt(i))))) i++;
  return i;
}

/** Where the number that begins here ends; its own place when none begins here. */
function endOfNumber(text: string, at: number, to: number, inTag: boolean): number {
  let i = at;
  if (isSign(text.charCodeAt(i))) i++;
  const digits = i;
  while (i < to && i - at < longestNumber && isDigit(text.charCodeAt(i))) i++;
  if (i === digits || (i < to && isDigit(text.charCodeAt(i)))) return at;
  if (text.charCodeAt(i) === 46 && isDigit(text.charCodeAt(i + 1))) {
    i++;
    while (i < to && i - at < longestNumber && isDigit(text.charCodeAt(i))) i++;
  }
  const exponent = endOfExponent(text, i, to);
  // "007", "12b" and "2e" are codes of people or cells, not numbers.
  const isCode = text.charCodeAt(digits) === 48 && isDigit(text.charCodeAt(digits + 1));
  const goesOn = !inTag && exponent < to && isLetter(text.charCodeAt(exponent));
  return isCode || goesOn ? at : exponent;
}

function endOfExponent(text: string, at: number, to: number): number {
  if ((text.charCodeAt(at) | 32) !== 101) return at;
  let i = at + 1;
  if (isSign(text.charCodeAt(i))) i++;
  const digits = i;
  while (i < to && i - digits < 4 && isDigit(text.charCodeAt(i))) i++;
  return i === digits ? at : i;
}

/** The words around a place, short enough for a message. */
function around(text: string, place: number): string {
  const from = Math.max(0, text.lastIndexOf(" ", Math.max(0, place - 12)) + 1, place - 24);
  const piece = text.slice(from, place + 36).replace(/\s+/g, " ");
  const before = from > 0 ? "…" : "";
  return `${before}${piece}${place + 36 < text.length ? "…" : ""}`;
}

/** A drawing that stands inside markup as an encoded address, put in its place as text. */
export function withDrawingsDecoded(html: string): string {
  const mark = "data:image/svg+xml;base64,";
  const parts = html.split(mark);
  return parts
    .map((part, i) => {
      if (i === 0) return part;
      const quote = part.search(/["')\s]/);
      const encoded = quote < 0 ? part : part.slice(0, quote);
      return `${decoded(encoded)}${quote < 0 ? "" : part.slice(quote)}`;
    })
    .map((part, i) => (i === 0 ? part : `${mark}${part}`))
    .join("");
}

function decoded(base64: string): string {
  try {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    return new TextDecoder().decode(bytes);
  } catch {
    return base64;
  }
}

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
  /** A person reads or hears it, although it stands in a tag: a tooltip, a description. */
  readonly isSpoken: boolean;
  /** Where the token begins. */
  readonly start: number;
}

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
  if (before === after) return { verdict: "same", largest: 0 };
  const one = tokens(before);
  const two = tokens(after);
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
      around(before, a?.start ?? before.length),
      around(after, b?.start ?? after.length),
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
    // what comes before is equal, so both are in a tag or neither is
    a.inTag && !a.isSpoken ? (allowance.coordinates ?? 0) : 0,
  ];
  const most = Math.max(...allowed);
  return most > 0 && difference <= most ? difference : undefined;
}

function numberOf(text: string): number {
  return Number(text.replaceAll("\u2212", "-"));
}

function digitsOf(text: string): number {
  return text.replace(/e.*/i, "").replace(/\D/g, "").replace(/^0+/, "").length;
}

/** One unit of the last printed place: 0.1 for "2.4". */
function unitOf(text: string): number {
  const [mantissa, exponent = "0"] = text.toLowerCase().split("e");
  const decimals = (mantissa ?? "").split(".")[1]?.length ?? 0;
  return 10 ** (numberOf(exponent) - decimals);
}

const letter = /[\p{L}_]/u;
/** A word outside of tags has digits as well; in the path of a drawing, "M120" is a letter and a number. */
const word = /[\p{L}_\d]+/uy;
const wordInTag = /[\p{L}_]+/uy;
/** Longer runs of digits than these are compared letter by letter. */
const number = /[+\-\u2212]?\d{1,40}(?:\.\d{1,40})?(?:e[+\-\u2212]?\d{1,4})?/iy;

/** Words, numbers and single other characters of a text. */
function tokens(text: string): Token[] {
  const list: Token[] = [];
  let inTag = false;
  let start = 0;
  const attribute = new Attribute();
  while (start < text.length) {
    const digits = numberAt(text, start, inTag);
    const part = digits ?? foundAt(inTag ? wordInTag : word, text, start) ?? text.charAt(start);
    // "a < 2.4" is a text, not a tag
    if (part === "<" && /[\p{L}/!?]/u.test(text.charAt(start + 1))) inTag = true;
    if (part === ">") inTag = false;
    if (inTag) attribute.pass(part);
    const { isSpoken } = attribute;
    list.push({ text: part, isNumber: digits !== undefined, inTag, isSpoken, start });
    start += part.length;
  }
  return list;
}

/** Attributes whose words and numbers reach a reader; the last part of a name such as aria-label. */
const spoken = /^(?:title|alt|label|description|valuetext|placeholder|content|summary|value)$/i;

/** The attribute that the pieces of a tag belong to. */
class Attribute {
  isSpoken = false;
  private name = "";
  private last = "";
  private quote = "";

  pass(part: string): void {
    const isQuote = part === '"' || part === "'";
    if (this.quote !== "") {
      if (part === this.quote) this.end();
    } else if (part === "=") {
      this.isSpoken = spoken.test(this.name);
    } else if (isQuote && this.last === "=") {
      this.quote = part;
    } else if (/^\s$/.test(part) || part === "<") {
      this.end();
    } else {
      this.name = part;
    }
    this.last = part;
  }

  private end(): void {
    this.quote = "";
    this.isSpoken = false;
  }
}

/** What a pattern finds exactly at a place. */
function foundAt(pattern: RegExp, text: string, at: number): string | undefined {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0];
}

/** The number that begins at a place; "007", "12b" and "2e" are codes of people or cells, not numbers. */
function numberAt(text: string, at: number, inTag: boolean): string | undefined {
  const found = foundAt(number, text, at);
  if (found === undefined || /^\D?0\d/.test(found)) return undefined;
  const next = text.charAt(at + found.length);
  const goesOn = /\d/.test(next) || (!inTag && letter.test(next));
  return goesOn ? undefined : found;
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
  const [start = "", ...rest] = html.split(mark);
  const encoded = /^[^"')\s]*/;
  return start + rest.map((part) => mark + part.replace(encoded, decoded)).join("");
}

function decoded(base64: string): string {
  try {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    return new TextDecoder().decode(bytes);
  } catch {
    return base64;
  }
}

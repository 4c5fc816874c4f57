import { type Block, type Draft, type Inline, words } from "./draft.js";
import { numberKey, type RecordedNumber } from "./number-tag.js";
import type { ReturnedUnit } from "./returned-text.js";
import { numbersIn } from "./written-number.js";

/** A word or a number of a text, for finding the same place in another text. */
export interface Token {
  /** A word in small letters, or "#" for a number. */
  readonly word: string;
  /** The number as written, where it is one. */
  readonly inText?: string;
  /** Key of the tag that the number carries. */
  readonly key?: string | undefined;
}

/** Units longer than this are compared by their first tokens only. */
const longestUnit = 600;

/** How often each word occurs. */
export function countsOf(keys: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
}

/** The running texts of a draft as a returned document has them: paragraphs, legends, table rows. */
export function draftUnits({ blocks }: Draft): Inline[][] {
  return blocks.flatMap((block: Block): Inline[][] => {
    if (block.kind === "paragraph") return [block.isReference ? [] : [...block.text]];
    if (block.kind === "figure" || block.kind === "heading") {
      return [words`${block.kind === "figure" ? block.caption : block.text}`];
    }
    const rows = block.rows.map((row) =>
      row.flatMap((cell, i) => (i === 0 ? cell : [...words` | `, ...cell])),
    );
    return [[...block.caption], words`${block.head.join(" | ")}`, ...rows, [...block.notes]];
  });
}

function wordTokens(text: string): Token[] {
  const tokens: Token[] = [];
  let at = 0;
  for (const { start, end, text: inText } of numbersIn(text)) {
    tokens.push(...wordsIn(text.slice(at, start)), { word: "#", inText });
    at = end;
  }
  return [...tokens, ...wordsIn(text.slice(at))];
}

function wordsIn(text: string): Token[] {
  const found = text.toLowerCase().match(/[\p{L}']+|[|()%]/gu) ?? [];
  return found.map((word) => ({ word }));
}

/** A word or a number of the draft. */
export interface DraftToken extends Token {
  /** The tagged number that it is written from. */
  readonly number?: RecordedNumber;
}

/** The words and numbers of one running text of the draft. */
export function draftTokens(pieces: readonly Inline[]): DraftToken[] {
  return pieces.flatMap((piece): DraftToken[] => {
    if (piece.kind === "text") return wordTokens(piece.text);
    if (piece.kind !== "number") return [];
    const { number } = piece;
    if (number.isWord) return wordTokens(number.text);
    const tokens = wordTokens(number.text);
    return tokens.map((token) =>
      token.word === "#" ? { ...token, number, key: numberKey(number) } : token,
    );
  });
}

/** Neighbouring pieces of one kind are one text: a word processor may split a number in two. */
function returnedTokens({ pieces }: ReturnedUnit): Token[] {
  const joined: { text: string; key: string | undefined }[] = [];
  for (const { text, control } of pieces) {
    const key = control && numberKey(control.tag);
    const last = joined.at(-1);
    if (last && last.key === key) last.text += text;
    else joined.push({ text, key });
  }
  return joined.flatMap(({ text, key }) => wordTokens(text).map((token) => ({ ...token, key })));
}

/** A paragraph or table row that came back. */
export interface ReturnedPassage {
  /** The paragraph or row. */
  readonly unit: ReturnedUnit;
  /** Its words and numbers. */
  readonly tokens: readonly Token[];
  /** How often it has each word. */
  readonly counts: ReadonlyMap<string, number>;
  /** Where it stands in its text, from 0 at the beginning to 1 at the end. */
  readonly at: number;
}

/** The passages that came back. */
export function returnedPassages(units: readonly ReturnedUnit[]): ReturnedPassage[] {
  return units.map((unit, i) => {
    const tokens = returnedTokens(unit);
    return { unit, tokens, counts: countsOf(tokens.map(({ word }) => word)), at: i / units.length };
  });
}

/** What the same numbers and the same place count beside a share of words: they decide between rows. */
const weights = { numbers: 0.3, place: 0.1 };

/**
 * The returned passage that shares the most words, if it shares at least half. Between passages of
 * the same words, such as the rows of a table, their numbers, tags and place in the text decide.
 * @param at where the passage stands in the draft, from 0 to 1
 */
export function bestMatch(
  tokens: readonly DraftToken[],
  candidates: readonly ReturnedPassage[],
  at: number,
): ReturnedPassage | undefined {
  const wanted = countsOf(tokens.map(({ word }) => word));
  const numbers = tokens.filter(({ inText }) => inText !== undefined);
  let best: { rank: number; candidate: ReturnedPassage } | undefined;
  for (const candidate of candidates) {
    let shared = 0;
    for (const [word, count] of wanted) {
      shared += Math.min(count, candidate.counts.get(word) ?? 0);
    }
    const length = candidate.tokens.length;
    const share = shared / Math.max(tokens.length, Math.min(length, tokens.length * 2));
    if (share <= 0.5) continue;
    const known = new Set(candidate.tokens.flatMap(({ inText, key }) => [inText, key]));
    const found = numbers.filter(({ inText, key }) => known.has(inText) || (key && known.has(key)));
    const same = found.length / Math.max(numbers.length, 1);
    const rank = share + weights.numbers * same - weights.place * Math.abs(candidate.at - at);
    if (rank > (best?.rank ?? 0)) best = { rank, candidate };
  }
  return best?.candidate;
}

function matches(one: Token, other: Token): boolean {
  if (one.word !== other.word) return false;
  return one.word !== "#" || other.key === undefined || one.key === other.key;
}

/**
 * The longest common subsequence of two lists of tokens, as pairs of places.
 * @see Wagner RA, Fischer MJ (1974) J ACM 21:168–173
 */
export function commonTokens(
  draft: readonly Token[],
  returned: readonly Token[],
): [number, number][] {
  const a = draft.slice(0, longestUnit);
  const b = returned.slice(0, longestUnit);
  const width = b.length + 1;
  const lengths = new Uint16Array((a.length + 1) * width);
  const at = (i: number, j: number) => lengths[i * width + j] ?? 0;
  const same = (i: number, j: number) => {
    const [one, other] = [a[i], b[j]];
    return one !== undefined && other !== undefined && matches(one, other);
  };
  for (let i = a.length - 1; i >= 0; i--) {
    for (let j = b.length - 1; j >= 0; j--) {
      lengths[i * width + j] = same(i, j)
        ? at(i + 1, j + 1) + 1
        : Math.max(at(i + 1, j), at(i, j + 1));
    }
  }
  const pairs: [number, number][] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    if (same(i, j) && at(i, j) === at(i + 1, j + 1) + 1) pairs.push([i++, j++]);
    else if (at(i + 1, j) >= at(i, j + 1)) i++;
    else j++;
  }
  return pairs;
}

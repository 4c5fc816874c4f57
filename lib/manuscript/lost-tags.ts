import type { ComparedNumber } from "./compared-number.js";
import type { Block, Draft, Inline } from "./draft.js";
import { numberKey, type RecordedNumber } from "./number-tag.js";
import type { ReturnedUnit } from "./returned-text.js";
import { numbersIn, sameNumber } from "./written-number.js";

/** A word or a number of a text, for finding the same place in another text. */
interface Token {
  /** A word in small letters, or "#" for a number. */
  readonly word: string;
  /** The number as written, where it is one. */
  readonly said?: string;
  /** Key of the tag that the number carries. */
  readonly key?: string | undefined;
}

/** Units longer than this are compared by their first tokens only. */
const longestUnit = 600;

/**
 * Numbers of the draft whose tags did not come back, found by the text around them. A number whose
 * sentence is gone is not reported: deleting a sentence is the author's right.
 * @param keys of the tags that came back, each as often as it came back
 */
export function lostNumbers(
  draft: Draft,
  units: readonly ReturnedUnit[],
  keys: readonly string[],
): ComparedNumber[] {
  const left = countsOf(draftUnits(draft).flatMap(numbersOfUnit).map(numberKey));
  for (const key of keys) left.set(key, (left.get(key) ?? 0) - 1);
  if ([...left.values()].every((count) => count <= 0)) return [];
  const returned = units.map((unit) => ({ unit, tokens: returnedTokens(unit) }));
  const found: ComparedNumber[] = [];
  for (const pieces of draftUnits(draft)) {
    const lost = numbersOfUnit(pieces).filter((number) => (left.get(numberKey(number)) ?? 0) > 0);
    if (lost.length === 0) continue;
    const tokens = draftTokens(pieces);
    const best = bestMatch(tokens, returned);
    if (best === undefined) continue;
    for (const [number, said] of aligned(tokens, best.tokens)) {
      const key = numberKey(number);
      if ((left.get(key) ?? 0) <= 0) continue;
      left.set(key, (left.get(key) ?? 0) - 1);
      const { id, part, text: recorded } = number;
      const state = sameNumber(said, bare(recorded)) ? "agrees" : "differs";
      const place = best.unit.place;
      found.push({ state, isUntagged: true, id, part, place, said, recorded: bare(recorded) });
    }
  }
  return found;
}

/** "p = 0.031" read as a number alone. */
function bare(text: string): string {
  return numbersIn(` ${text}`)[0]?.text ?? text;
}

function countsOf(keys: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
}

/** The running texts of a draft as a returned document has them: paragraphs and table rows. */
function draftUnits({ blocks }: Draft): Inline[][] {
  return blocks.flatMap((block: Block): Inline[][] => {
    if (block.kind === "paragraph") return [[...block.text]];
    if (block.kind !== "table") return [];
    return block.rows.map((row) =>
      row.flatMap((cell, i) =>
        i === 0 ? cell : [{ kind: "text", text: " | " } as const, ...cell],
      ),
    );
  });
}

/** Numbers that can be found by the text around them; a tagged statement is no number. */
function numbersOfUnit(pieces: readonly Inline[]): RecordedNumber[] {
  return pieces.flatMap((piece) =>
    piece.kind === "number" && !piece.number.isWord ? [piece.number] : [],
  );
}

function wordTokens(text: string): Token[] {
  const tokens: Token[] = [];
  let at = 0;
  for (const { start, end, text: said } of numbersIn(text)) {
    tokens.push(...wordsIn(text.slice(at, start)), { word: "#", said });
    at = end;
  }
  return [...tokens, ...wordsIn(text.slice(at))];
}

function wordsIn(text: string): Token[] {
  const found = text.toLowerCase().match(/[\p{L}']+|[|()%]/gu) ?? [];
  return found.map((word) => ({ word }));
}

interface DraftToken extends Token {
  readonly number?: RecordedNumber;
}

function draftTokens(pieces: readonly Inline[]): DraftToken[] {
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

interface Candidate {
  readonly unit: ReturnedUnit;
  readonly tokens: readonly Token[];
}

/** The returned unit that shares the most words, if it shares at least half. */
function bestMatch(
  tokens: readonly Token[],
  candidates: readonly Candidate[],
): Candidate | undefined {
  const wanted = countsOf(tokens.map(({ word }) => word));
  let best: { share: number; candidate: Candidate } | undefined;
  for (const candidate of candidates) {
    const counts = countsOf(candidate.tokens.map(({ word }) => word));
    let shared = 0;
    for (const [word, count] of wanted) shared += Math.min(count, counts.get(word) ?? 0);
    const share =
      shared / Math.max(tokens.length, Math.min(candidate.tokens.length, tokens.length * 2));
    if (share > (best?.share ?? 0.5)) best = { share, candidate };
  }
  return best?.candidate;
}

/** Numbers of the draft beside the untagged numbers at the same place of the other text. */
function aligned(
  draft: readonly DraftToken[],
  other: readonly Token[],
): [RecordedNumber, string][] {
  const a = draft.slice(0, longestUnit);
  const b = other.slice(0, longestUnit);
  const pairs: [RecordedNumber, string][] = [];
  for (const [i, j] of commonTokens(a, b)) {
    const [number, said] = [a[i]?.number, b[j]?.said];
    if (number && said !== undefined && b[j]?.key === undefined) pairs.push([number, said]);
  }
  return pairs;
}

function matches(one: Token, other: Token): boolean {
  if (one.word !== other.word) return false;
  return one.word !== "#" || other.key === undefined || one.key === other.key;
}

/**
 * The longest common subsequence of two lists of tokens, as pairs of places.
 * @see Wagner RA, Fischer MJ (1974) J ACM 21:168–173
 */
function commonTokens(a: readonly Token[], b: readonly Token[]): [number, number][] {
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

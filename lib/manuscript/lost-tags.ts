import type { ComparedNumber } from "./compared-number.js";
import type { Draft, Inline } from "./draft.js";
import { numberKey, type RecordedNumber } from "./number-tag.js";
import type { ReturnedUnit } from "./returned-text.js";
import {
  bestMatch,
  commonTokens,
  countsOf,
  type DraftToken,
  draftTokens,
  draftUnits,
  returnedPassages,
  type Token,
} from "./same-passage.js";
import { numbersIn, sameNumber } from "./written-number.js";

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
  const returned = returnedPassages(units);
  const found: ComparedNumber[] = [];
  const passages = draftUnits(draft);
  for (const [i, pieces] of passages.entries()) {
    const lost = numbersOfUnit(pieces).filter((number) => (left.get(numberKey(number)) ?? 0) > 0);
    if (lost.length === 0) continue;
    const tokens = draftTokens(pieces);
    const best = bestMatch(tokens, returned, i / passages.length);
    if (best === undefined) continue;
    for (const [number, inText] of aligned(tokens, best.tokens)) {
      const key = numberKey(number);
      if ((left.get(key) ?? 0) <= 0) continue;
      left.set(key, (left.get(key) ?? 0) - 1);
      const { id, part, text: recorded } = number;
      const state = sameNumber(inText, bare(recorded)) ? "agrees" : "differs";
      const place = best.unit.place;
      found.push({ state, isUntagged: true, id, part, place, inText, recorded: bare(recorded) });
    }
  }
  return found;
}

/** "p = 0.031" read as a number alone. */
function bare(text: string): string {
  return numbersIn(` ${text}`)[0]?.text ?? text;
}

/** Numbers that can be found by the text around them; a tagged statement is no number. */
function numbersOfUnit(pieces: readonly Inline[]): RecordedNumber[] {
  return pieces.flatMap((piece) =>
    piece.kind === "number" && !piece.number.isWord ? [piece.number] : [],
  );
}

/** Numbers of the draft beside the untagged numbers at the same place of the other text. */
function aligned(
  draft: readonly DraftToken[],
  other: readonly Token[],
): [RecordedNumber, string][] {
  const pairs: [RecordedNumber, string][] = [];
  for (const [i, j] of commonTokens(draft, other)) {
    const [number, inText] = [draft[i]?.number, other[j]?.inText];
    if (number && inText !== undefined && other[j]?.key === undefined) pairs.push([number, inText]);
  }
  return pairs;
}

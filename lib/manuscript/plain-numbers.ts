import type { ComparedNumber } from "./compared-number.js";
import type { Draft } from "./draft.js";
import type { ReturnedUnit } from "./returned-text.js";
import {
  bestMatch,
  commonTokens,
  type DraftToken,
  draftTokens,
  draftUnits,
  type ReturnedPassage,
  returnedPassages,
  type Token,
} from "./same-passage.js";
import { sameNumber } from "./written-number.js";

/**
 * Numbers that the draft has in its own words, without a tag (sessions completed, largest error of a
 * device, a week in a legend), and that read otherwise in the passage that came back. A passage whose
 * words beside the number changed is the author's own, and is not compared.
 */
export function changedPlainNumbers(
  draft: Draft,
  units: readonly ReturnedUnit[],
): ComparedNumber[] {
  const passages = draftUnits(draft).map(draftTokens);
  const returned = returnedPassages(units);
  const came = new Set(returned.map(({ tokens }) => wordsOf(tokens)));
  const written = new Set(passages.map(wordsOf));
  const candidates = returned.filter(({ tokens }) => !written.has(wordsOf(tokens)));
  return passages.flatMap((tokens, i) => {
    if (!tokens.some(isPlain) || came.has(wordsOf(tokens))) return [];
    const best = bestMatch(tokens, candidates, i / passages.length);
    return best === undefined ? [] : changedIn(tokens, best);
  });
}

function changedIn(draft: readonly DraftToken[], { tokens, unit }: ReturnedPassage) {
  return commonTokens(draft, tokens).flatMap(([i, j]): ComparedNumber[] => {
    const [recorded, inText] = [draft[i]?.inText, tokens[j]?.inText];
    if (recorded === undefined || inText === undefined) return [];
    if (draft[i]?.key !== undefined || tokens[j]?.key !== undefined) return [];
    if (sameNumber(inText, recorded)) return [];
    if (!isSamePlace(draft, i, tokens, j) || isOwnCount(draft, i)) return [];
    const { place } = unit;
    return [
      { state: "differs", isUntagged: true, id: "~text", part: "number", place, inText, recorded },
    ];
  });
}

function isPlain({ inText, key }: Token): boolean {
  return inText !== undefined && key === undefined;
}

/** A text as words and plain numbers; a tagged number is compared by its tag. */
function wordsOf(tokens: readonly Token[]): string {
  return tokens
    .map(({ word, inText, key }) => (key === undefined ? (inText ?? word) : word))
    .join(" ");
}

/** The same words stand before and behind. */
function isSamePlace(a: readonly Token[], i: number, b: readonly Token[], j: number): boolean {
  return a[i - 1]?.word === b[j - 1]?.word && a[i + 1]?.word === b[j + 1]?.word;
}

/** Numbers of tables and figures change as an author adds one, and programs have versions. */
function isOwnCount(tokens: readonly Token[], at: number): boolean {
  if (/\..*\./.test(tokens[at]?.inText ?? "")) return true;
  const before = tokens.slice(0, at).findLast(({ word }) => word !== "#" && word !== "and");
  return /^(?:table|figure)s?$/.test(before?.word ?? "");
}

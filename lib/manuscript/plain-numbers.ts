import type { ComparedNumber } from "./compared-number.js";
import type { Draft } from "./draft.js";
import type { ReturnedUnit } from "./returned-text.js";
import {
  bestMatch,
  commonTokens,
  draftTokens,
  draftUnits,
  returnedTokens,
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
  const returned = units.map((unit) => ({ unit, tokens: returnedTokens(unit) }));
  const unchanged = new Set(returned.map(({ tokens }) => wordsOf(tokens)));
  const passages = draftUnits(draft).map(draftTokens);
  const changed = passages.filter((tokens) => {
    const hasPlain = tokens.some((token) => isPlain(token));
    return hasPlain && !unchanged.has(wordsOf(tokens));
  });
  const own = new Set(passages.map((tokens) => wordsOf(tokens)));
  const candidates = returned.filter(({ tokens }) => !own.has(wordsOf(tokens)));
  return changed.flatMap((tokens) => {
    const best = bestMatch(tokens, candidates);
    if (best === undefined) return [];
    return commonTokens(tokens, best.tokens).flatMap(([i, j]) => {
      const [token, other] = [tokens[i], best.tokens[j]];
      if (token?.inText === undefined || other?.inText === undefined || !isPlain(token)) return [];
      if (other.key !== undefined || !isSamePlace(tokens, i, best.tokens, j)) return [];
      if (isOwnCount(tokens, i) || sameNumber(other.inText, token.inText)) return [];
      return [
        {
          state: "differs" as const,
          isUntagged: true,
          id: "~text",
          part: "number",
          place: best.unit.place,
          inText: other.inText,
          recorded: token.inText,
        },
      ];
    });
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

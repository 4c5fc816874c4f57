import type { Draft, Inline } from "./draft.js";
import { inlinesOf } from "./draft.js";
import { type QuotedNumber, quotedNumbers } from "./quoted-text.js";
import type { ReturnedUnit } from "./returned-text.js";
import type { ManuscriptFacts } from "./study-facts.js";

/** A number with a unit that an author typed, and the findings that it may come from. */
export interface TypedByHand extends Omit<QuotedNumber, "line"> {
  /** Where it stands, in words. */
  readonly place: string;
}

/** Stands for a tagged number, so that the text around it stays apart. */
const tagged = "¤";

/**
 * Numbers with units that carry no tag and that the draft does not have in its own words: what the
 * author wrote in a discussion, say. They are listed with the findings they may come from.
 */
export function numbersTypedByHand(
  { study, questions }: ManuscriptFacts,
  draft: Draft,
  units: readonly ReturnedUnit[],
): TypedByHand[] {
  const quoted = (text: string) => quotedNumbers(study.name, questions, text);
  const ofDraft = draft.blocks.map((block) => inlinesOf(block).map(plainPiece).join(""));
  const known = new Set(quoted(ofDraft.join("\n")).map(({ inText }) => inText));
  const texts = units.map(({ pieces }) =>
    pieces.map(({ text, control }) => (control ? tagged : text.replace(/\n/g, " "))).join(""),
  );
  return quoted(texts.join("\n"))
    .filter(({ inText }) => !known.has(inText))
    .flatMap(({ line, ...number }) => {
      const unit = units[line - 1];
      return unit ? [{ ...number, place: unit.place }] : [];
    });
}

function plainPiece(piece: Inline): string {
  if (piece.kind === "text") return piece.text.replace(/\n/g, " ");
  return piece.kind === "gap" ? piece.asks : tagged;
}

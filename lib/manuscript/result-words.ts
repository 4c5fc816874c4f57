import { lowerFirst } from "../first-letter.js";
import { listWords } from "../show/answer-words.js";
import { withUnit } from "../show/wording.js";
import { cite, type Inline, words } from "./draft.js";
import { sourcesOf } from "./method-references.js";
import type { RecordedNumber } from "./number-tag.js";
import { numbersOf, sideOf } from "./recorded-numbers.js";
import type { QuestionFacts, ResultFacts } from "./study-facts.js";

/** The tagged numbers of one finding, ready to stand in a text. */
export class QuotedResult {
  private readonly numbers: ReadonlyMap<string, RecordedNumber>;

  /** @param study name of the study's folder */
  constructor(
    study: string,
    question: Pick<QuestionFacts, "version">,
    readonly result: ResultFacts,
  ) {
    this.numbers = numbersOf(study, question, result);
  }

  /** One part as a tagged number; nothing where the finding has no such part. */
  part(name: string): Inline[] {
    const number = this.numbers.get(name);
    return number ? [{ kind: "number", number }] : [];
  }

  /** "2.4 kgf" */
  value(): Inline[] {
    const { unit } = this.result;
    return words`${this.part("value")}${withUnit("", unit)}`;
  }

  /** "0.5 to 4.2"; nothing without an interval. */
  limits(): Inline[] {
    return this.hasInterval() ? words`${this.part("low")} to ${this.part("high")}` : [];
  }

  /** "2.4 kgf (95 % CI 0.5 to 4.2; p = 0.013)" */
  estimate(): Inline[] {
    const inside = [
      ...(this.hasInterval() ? [words`${this.part("level")} CI ${this.limits()}`] : []),
      ...(this.result.p === undefined || this.result.p === this.result.value
        ? []
        : [this.part("p")]),
    ];
    if (inside.length === 0) return this.value();
    const joined = inside.flatMap((piece, i) => (i === 0 ? piece : words`; ${piece}`));
    return words`${this.value()} (${joined})`;
  }

  /** "24 golfers" */
  count(): Inline[] {
    return words`${this.part("n")} ${this.result.count.of}`;
  }

  /** Whether the interval includes zero, as a tagged statement. */
  direction(): Inline[] {
    const side = sideOf(this.result);
    if (side === undefined) return [];
    const [piece] = this.part(side);
    if (piece?.kind !== "number") return [];
    const text = side === "includes" ? "includes zero" : "excludes zero";
    return [{ kind: "number", number: { ...piece.number, text } }];
  }

  private hasInterval(): boolean {
    return this.result.low !== undefined && this.result.high !== undefined;
  }
}

/** The method of a finding with the sources that it rests on. */
export function methodWords(method: string): Inline[] {
  const sources = sourcesOf(method);
  const clause = method.replace(/[.;]\s*$/, "");
  return sources.length > 0 ? words`${clause} ${cite(...sources)}` : words`${clause}`;
}

/** A finding as sentences of the results. */
export function resultSentences(quoted: QuotedResult): Inline[][] {
  const { result } = quoted;
  const title = result.title.replace(/[:.]\s*$/, "");
  if (result.value === undefined) {
    return [words`${title}: not answered. ${result.unanswered ?? ""}`];
  }
  return [
    words`${title}: ${quoted.estimate()}, n = ${quoted.count()} (${methodWords(result.method)}).`,
    ...directionSentence(quoted),
    ...result.references.map((_, i) => referenceSentence(quoted, i)),
    ...influenceSentence(result),
  ];
}

/**
 * What the data cannot answer, reason by reason: "Not answered: …, …. The study has no control arm …"
 */
export function unansweredSentences(results: readonly ResultFacts[]): Inline[][] {
  const titles = new Map<string, Set<string>>();
  for (const { title, value, unanswered } of results) {
    if (value !== undefined) continue;
    const reason = unanswered ?? "";
    titles.set(reason, (titles.get(reason) ?? new Set()).add(title.replace(/[:.]\s*$/, "")));
  }
  return [...titles].map(
    ([reason, of]) => words`Not answered: ${[...of].map(lowerFirst).join("; ")}. ${reason}`,
  );
}

function directionSentence(quoted: QuotedResult): Inline[][] {
  const side = sideOf(quoted.result);
  if (side === undefined) return [];
  const rest = side === "includes" ? ": the direction is not settled by these data" : "";
  return [words`The interval ${quoted.direction()}${rest}.`];
}

function referenceSentence(quoted: QuotedResult, i: number): Inline[] {
  const name = quoted.result.references[i]?.name ?? "reference value";
  const value = words`${quoted.part(`reference-${i + 1}`)}${withUnit("", quoted.result.unit)}`;
  return words`Reference value: ${lowerFirst(name)} ${value}.`;
}

function influenceSentence({ changesConclusion, leaving }: ResultFacts): Inline[][] {
  if (changesConclusion.length === 0) return [];
  const who = listWords(changesConclusion);
  const one = leaving === "study" ? "study" : "golfer";
  return [words`The conclusion about zero changes if ${one} ${who} is left out, one at a time.`];
}

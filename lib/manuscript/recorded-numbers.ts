import { fixedText, percentLevel, probabilityText, rounderFor } from "../show/wording.js";
import type { Inline } from "./draft.js";
import { numberKey, type RecordedNumber } from "./number-tag.js";
import type {
  BaselineRow,
  ClaimFacts,
  FlowOfArm,
  ManuscriptFacts,
  QuestionFacts,
  ResultFacts,
} from "./study-facts.js";

/** Where the interval lies: words about direction follow from it. */
export type Side = "above" | "below" | "includes";

/** The side of zero on which the interval lies; undefined without an interval. */
export function sideOf({ low, high }: Pick<ResultFacts, "low" | "high">): Side | undefined {
  if (low === undefined || high === undefined) return undefined;
  if (low > 0) return "above";
  return high < 0 ? "below" : "includes";
}

/** The parts of one finding that a text may quote. */
export function numbersOf(
  study: string,
  { version }: Pick<QuestionFacts, "version">,
  result: ResultFacts,
): ReadonlyMap<string, RecordedNumber> {
  const { id, value, low, high, level, p, unit, count, references } = result;
  const write = value === undefined ? String : rounderFor({ value, low, high });
  const writeValue = result.quantity === "test" ? probabilityText : write;
  const side = sideOf(result);
  const parts: Record<string, { text: string; unit?: string; isWord?: boolean } | undefined> = {
    value: value === undefined ? undefined : { text: writeValue(value), unit },
    low: low === undefined ? undefined : { text: write(low) },
    high: high === undefined ? undefined : { text: write(high), unit },
    level: low === undefined ? undefined : { text: percentLevel(level ?? 0.95) },
    p: p === undefined ? undefined : { text: probabilityText(p) },
    n: { text: String(count.n), unit: count.of },
    ...(side && { [side]: { text: side, isWord: true } }),
  };
  for (const [i, reference] of references.entries()) {
    parts[`reference-${i + 1}`] = { text: write(reference.value), unit };
  }
  return new Map(
    Object.entries(parts).flatMap(([part, printed]) =>
      printed === undefined
        ? []
        : [[part, { study, id, part, version, unit: "", ...printed } satisfies RecordedNumber]],
    ),
  );
}

/** A claim's state as a tagged word. */
export function claimWord(
  study: string,
  { version }: Pick<QuestionFacts, "version">,
  { id, support }: Pick<ClaimFacts, "id" | "support">,
  text: string,
): Inline {
  const part = support.replaceAll(" ", "-");
  return { kind: "number", number: { study, id, part, version, text, unit: "", isWord: true } };
}

/** The flow of one arm as recorded numbers: enrolled, analysed, withdrew, seen-1 … */
export function flowNumbers(
  { name: study, version }: ManuscriptFacts["study"],
  arm: FlowOfArm,
  place: number,
): ReadonlyMap<string, RecordedNumber> {
  const id = `~flow-${place + 1}`;
  const parts: [string, number][] = [
    ["enrolled", arm.enrolled],
    ...arm.seen.map(({ people }, i): [string, number] => [`seen-${i + 1}`, people]),
    ["withdrew", arm.withdrew.reduce((sum, { people }) => sum + people, 0)],
    ...arm.withdrew.map(({ people }, i): [string, number] => [`left-${i + 1}`, people]),
    ["analysed", arm.analysed],
  ];
  return new Map(
    parts.map(([part, count]) => [
      part,
      { study, id, part, version, text: String(count), unit: "" },
    ]),
  );
}

/** One cell of the baseline table as recorded numbers: mean and sd, or count. */
export function baselineNumbers(
  { name: study, version }: ManuscriptFacts["study"],
  cell: BaselineRow["cells"][number],
  place: { readonly row: number; readonly arm: number },
): ReadonlyMap<string, RecordedNumber> {
  if (cell === null) return new Map();
  const id = `~baseline-${place.row + 1}-${place.arm + 1}`;
  const parts: [string, string][] =
    "count" in cell
      ? [["count", String(cell.count)]]
      : [
          ["mean", fixedText(cell.mean, 1)],
          ...(cell.sd === null ? [] : [["sd", fixedText(cell.sd, 1)] as [string, string]]),
          ["n", String(cell.n)],
        ];
  return new Map(parts.map(([part, text]) => [part, { study, id, part, version, text, unit: "" }]));
}

/** The number of golfers in the study. */
export function enrolledNumber({ study }: ManuscriptFacts): Inline {
  const { name, version, flow } = study;
  const number = { study: name, id: "~flow", part: "enrolled", version, unit: "" };
  return { kind: "number", number: { ...number, text: String(flow.enrolled) } };
}

/** Every number that a manuscript of this record may quote, by its key. */
export function recordedNumbers(facts: ManuscriptFacts): ReadonlyMap<string, RecordedNumber> {
  const { study, questions } = facts;
  const enrolled = enrolledNumber(facts);
  const all = [
    ...(enrolled.kind === "number" ? [enrolled.number] : []),
    ...study.flow.arms.flatMap((arm, i) => [...flowNumbers(study, arm, i).values()]),
    ...study.baseline.flatMap(({ cells }, row) =>
      cells.flatMap((cell, arm) => [...baselineNumbers(study, cell, { row, arm }).values()]),
    ),
    ...questions.flatMap((question) =>
      question.results.flatMap((result) => [...numbersOf(study.name, question, result).values()]),
    ),
    ...questions.flatMap((question) =>
      question.claims.flatMap((claim) => {
        const word = claimWord(study.name, question, claim, claim.support);
        return word.kind === "number" ? [word.number] : [];
      }),
    ),
  ];
  return new Map(all.map((number) => [numberKey(number), number]));
}

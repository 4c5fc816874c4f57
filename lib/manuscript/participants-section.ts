import { upperFirst } from "../first-letter.js";
import {
  type Block,
  type DraftTable,
  type Inline,
  type Numbering,
  paragraph,
  words,
} from "./draft.js";
import { baselineNumbers, flowNumbers } from "./recorded-numbers.js";
import type { BaselineRow, ManuscriptFacts } from "./study-facts.js";

/** Who took part: the flow in sentences and as a table, and the golfers at the first visit. */
export function participants(facts: ManuscriptFacts, numbering: Numbering): Block[] {
  const { study } = facts;
  const flow = flowTable(facts, numbering.nextTable());
  const baseline =
    study.baseline.length > 0 ? baselineTable(facts, numbering.nextTable()) : undefined;
  const dates = study.dates
    ? words`Tests took place from ${study.dates.first} to ${study.dates.last}.`
    : [];
  const sentences = study.flow.arms.map((arm, i) => {
    const numbers = flowNumbers(study, arm, i);
    const part = (name: string): Inline[] => {
      const number = numbers.get(name);
      return number ? [{ kind: "number", number }] : [];
    };
    const reasons = arm.withdrew.flatMap(
      ({ reason, after, before }, j) =>
        words`${j === 0 ? "" : "; "}${[lossPlace(after, before), reason].filter(Boolean).join(", ")}: ${part(`left-${j + 1}`)}`,
    );
    const left = arm.withdrew.length > 0 ? words`; ${part("withdrew")} withdrew (${reasons})` : [];
    return words`${arm.title}: ${part("enrolled")} golfers enrolled, ${part("analysed")} ${study.flow.analysedWords}${left}.`;
  });
  const seeBaseline = baseline
    ? ` Table ${baseline.number} describes them at the first visit.`
    : "";
  return [
    paragraph(
      dates,
      ...sentences,
      words`Table ${flow.number} shows the flow of participants.${seeBaseline}`,
    ),
    flow,
    ...(baseline ? [baseline] : []),
  ];
}

/** Where in the course of the study golfers left, in words. */
function lossPlace(after: string | undefined, before: string | undefined): string {
  if (after !== undefined && before !== undefined) return `between ${after} and ${before}`;
  if (before !== undefined) return `before ${before}`;
  return after === undefined ? "" : `after ${after}`;
}

function flowTable({ study }: ManuscriptFacts, number: number): DraftTable {
  const arms = study.flow.arms;
  const lines: [string, (i: number) => string][] = [
    ["Enrolled", () => "enrolled"],
    ...(arms[0]?.seen ?? []).map(({ occasion }, j): [string, () => string] => [
      `Tested: ${occasion}`,
      () => `seen-${j + 1}`,
    ]),
    ["Withdrew", () => "withdrew"],
    [upperFirst(study.flow.analysedWords), () => "analysed"],
  ];
  const numbers = arms.map((arm, i) => flowNumbers(study, arm, i));
  return {
    kind: "table",
    number,
    caption: words`Flow of participants by arm.`,
    head: ["", ...arms.map(({ title }) => title)],
    rows: lines.map(([label, part]) => [
      words`${label}`,
      ...numbers.map((ofArm, i): Inline[] => {
        const found = ofArm.get(part(i));
        return found ? [{ kind: "number", number: found }] : words`–`;
      }),
    ]),
    notes: words`Values are numbers of golfers. Tested: at least one valid trial.`,
  };
}

function baselineTable({ study }: ManuscriptFacts, number: number): DraftTable {
  return {
    kind: "table",
    number,
    caption: words`Participants at the first visit, by arm.`,
    head: ["", ...study.flow.arms.map(({ title }) => title)],
    rows: study.baseline.map((row, i) => [
      words`${row.unit === "" ? row.label : `${row.label}, ${row.unit}`}`,
      ...row.cells.map((cell, arm) => baselineCell(study, cell, { row: i, arm })),
    ]),
    notes: words`Values are mean (standard deviation), n, or numbers of golfers. No test compares the arms at baseline. 1 kgf = 9.80665 N; 1 mph = 0.44704 m/s.`,
  };
}

function baselineCell(
  study: ManuscriptFacts["study"],
  cell: BaselineRow["cells"][number],
  place: { readonly row: number; readonly arm: number },
): Inline[] {
  const numbers = baselineNumbers(study, cell, place);
  const part = (name: string): Inline[] => {
    const number = numbers.get(name);
    return number ? [{ kind: "number", number }] : [];
  };
  if (cell === null) return words`–`;
  if ("count" in cell) return part("count");
  const spread = numbers.has("sd") ? words` (${part("sd")})` : [];
  return words`${part("mean")}${spread}, n = ${part("n")}`;
}

import type { Answer } from "../analysis/study-answer.js";
import { singlesOf } from "./answer-finding.js";
import { answerTitle, countWords } from "./answer-words.js";
import { plannedWords } from "./finding-words.js";
import type { TableColumn, TableRow } from "./table-record.js";
import { decimalsOf, percentLevel } from "./wording.js";

/** What a table shows of an answer. */
export interface AnswerTable {
  /** One row per single answer. */
  readonly rows: readonly TableRow[];
  /** The columns that at least one of the answers fills. */
  readonly columns: readonly TableColumn[];
  /** A sentence that stands above the table. */
  readonly caption: string;
}

function rowOf(answer: Answer): TableRow {
  const { estimate, adjustedP, unanswered } = answer;
  return {
    title: answerTitle(answer),
    value: estimate?.value ?? null,
    low: estimate?.interval?.low ?? null,
    high: estimate?.interval?.high ?? null,
    unit: answer.unit,
    p: estimate?.p ?? null,
    adjusted_p: adjustedP?.p ?? null,
    count: countWords(answer.count),
    plan: plannedWords(answer) ?? null,
    unanswered: unanswered ?? null,
  };
}

/** Decimal places that suit every interval of the answers: those of the widest. */
function digitsFor(answers: readonly Answer[]): number | undefined {
  const places = answers.flatMap(({ estimate }) => {
    const { low, high } = estimate?.interval ?? {};
    const found = estimate && decimalsOf({ value: estimate.value, low, high });
    return found === undefined ? [] : [Math.max(0, found)];
  });
  return places.length === 0 ? undefined : Math.max(...places);
}

/** An answer as a table: a row per single answer, with the p values where there are any. */
export function answerTable(answer: Answer): AnswerTable {
  const singles = singlesOf(answer);
  const rows = singles.map(rowOf);
  const digits = digitsFor(singles);
  const level = singles.find((one) => one.estimate?.interval)?.estimate?.interval?.level;
  const limit = level === undefined ? "CI" : `${percentLevel(level)} CI`;
  const number = digits === undefined ? {} : { digits };
  const method = singles.find((one) => one.adjustedP)?.adjustedP?.method;
  const all: readonly TableColumn[] = [
    { name: "title", label: "Result" },
    { name: "value", label: "Value", ...number },
    { name: "low", label: `${limit}, lower limit`, ...number },
    { name: "high", label: `${limit}, upper limit`, ...number },
    { name: "unit", label: "Unit" },
    { name: "p", label: "p" },
    { name: "adjusted_p", label: `p, adjusted (${method ?? "Holm"})` },
    { name: "count", label: "n" },
    { name: "plan", label: "In the plan" },
    { name: "unanswered", label: "Why there is no value" },
  ];
  const columns = all.filter(({ name }) =>
    rows.some((row) => row[name] !== null && row[name] !== ""),
  );
  const methods = [...new Set(singles.map((one) => one.method))];
  return { rows, columns, caption: `Results by ${methods.join("; ")}.` };
}

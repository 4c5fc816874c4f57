import type { Answer } from "../analysis/study-answer.js";
import { type Markup, markup, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import type { Estimate } from "../stats/estimate.js";
import { answerFinding, rememberAnswer, singleOf } from "./answer-finding.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import {
  type Finding,
  type FindingCount,
  type FindingSubject,
  isAnswered,
  type LeaveOneOut,
  type RecordedFinding,
  type Reference,
  type Source,
} from "./finding-record.js";
import { findingSentence } from "./finding-words.js";
import { recordedFindingSchema } from "./output-schemas.js";
import { finite, identifier, refuse, text } from "./record.js";
import { outputRecord } from "./schema.js";
import { companionText } from "./wording.js";

/** What every finding states, however its numbers are given. */
export interface FindingBase extends FindingSubject {
  /** Unique in the study; names the finding in the record, the page and a re-run. */
  readonly id: string;
  /** Noun phrase that stands alone, outcome first: "Lead-hand grip at address: change". */
  readonly title: string;
  /** Unit of value and limits; "" for a pure number. */
  readonly unit: string;
  /** How many the value rests on, and what is counted: {n: 24, of: "golfers"}. */
  readonly count: FindingCount;
  /** Two-sided p value of the test against zero, where one was made. */
  readonly p?: number | undefined;
  /**
   * Largest absolute difference, in `unit`, that a re-run may show and still count as agreeing; at
   * most a tenth of the interval.
   */
  readonly tolerance?: number | undefined;
  /** The rows that the value rests on. */
  readonly source?: Source | undefined;
  /** Range of the value when one is left out at a time. */
  readonly leaveOneOut?: LeaveOneOut | undefined;
  /** Values to compare it with. */
  readonly references?: readonly Reference[] | undefined;
  /** What a reader must know before leaning on the number, as sentences. */
  readonly warnings?: readonly string[] | undefined;
}

/** A finding in typed-out numbers. */
export interface FindingByValue extends FindingBase {
  /** The value, in `unit`. */
  readonly value: number;
  /** Lower confidence limit, in `unit`. */
  readonly low?: number | undefined;
  /** Upper confidence limit, in `unit`. */
  readonly high?: number | undefined;
  /** Confidence level of the limits as a fraction; 0.95 unless given. */
  readonly level?: number | undefined;
  /** How the value was computed, in a phrase. */
  readonly method: string;
}

/** A finding taken from an estimate as the statistics returned it. */
export interface FindingByEstimate extends FindingBase {
  /** The estimate, in `unit`. */
  readonly estimate: Estimate;
  /** Left out, it is the method of the estimate's interval. */
  readonly method?: string | undefined;
}

/** A finding, its numbers typed out or taken from an estimate. */
export type FindingInput = FindingByValue | FindingByEstimate;

type Values = Pick<Finding, "value" | "low" | "high" | "level">;

function valuesOf(input: FindingInput, where: string): Values {
  if (!("estimate" in input)) return checkedValues(input, where);
  if ("value" in input || "low" in input || "high" in input || "level" in input) {
    refuse("either an estimate or a value with its limits", "both", where);
  }
  const { estimate } = input;
  if (estimate === null || typeof estimate !== "object") {
    refuse("an estimate {value, interval}", estimate, `${where}, estimate`);
  }
  const { value, interval } = estimate;
  return checkedValues(
    { value, low: interval?.low, high: interval?.high, level: interval?.level },
    where,
  );
}

function checkedValues(given: Omit<Partial<FindingByValue>, "id">, where: string): Values {
  const value = finite(given.value, `${where}, value`);
  if (given.low === undefined && given.high === undefined) {
    if (given.level !== undefined) refuse("low and high with a level", "a level alone", where);
    return { value };
  }
  const low = finite(given.low, `${where}, low`);
  const high = finite(given.high, `${where}, high`);
  if (low > high) refuse("low no greater than high", `${low} to ${high}`, where);
  const level = given.level ?? 0.95;
  if (!(level > 0 && level < 1))
    refuse("a level between 0 and 1, such as 0.95", level, `${where}, level`);
  return { value, low, high, level };
}

function methodOf(input: FindingInput, where: string): string {
  const method =
    "estimate" in input ? (input.method ?? input.estimate?.interval?.method) : input.method;
  return text(method, `${where}, method`);
}

const subjectFields = [
  ...["quantity", "measure", "on", "arms", "visits", "adjustedFor", "planned", "rule"],
  ...["p", "tolerance", "source", "leaveOneOut", "references", "warnings"],
] as const;

/** An estimate and a value exclude each other: `valuesOf` says so where both are given. */
const findingFields = [
  ...["id", "title", "unit", "count", "method", "value", "low", "high", "level", "estimate"],
  ...subjectFields,
];

/**
 * A re-run that moves by more than a tenth of the interval is another result: a wider tolerance
 * would let it pass as agreeing.
 */
function checkTolerance(tolerance: number | undefined, { low, high }: Values, where: string): void {
  if (tolerance === undefined || low === undefined || high === undefined) return;
  const most = (high - low) / 10;
  if (tolerance <= most * (1 + 1e-9)) return;
  const width = `a tenth of the interval from ${low} to ${high}`;
  refuse(`a tolerance of at most ${most}, ${width}`, tolerance, `${where}, tolerance`);
}

function findingHtml(finding: RecordedFinding): Markup {
  const other = isAnswered(finding) ? companionText(finding, finding.unit) : undefined;
  const beside = other ? markup` <small>(${proseHtml(other)})</small>` : "";
  return markup`<p data-finding="${finding.id}">${proseHtml(finding.sentence)}${beside}</p>`;
}

/** How a reader meets a finding, from the record alone. */
export function findingForms(record: RecordedFinding): ReadableForms {
  return { html: String(findingHtml(record)), plain: record.sentence };
}

/** The record of a finding in typed-out numbers, before it is checked against its schema. */
function typedFinding(input: FindingInput, where: string): Omit<Finding, "sentence"> {
  if (typeof input.unit !== "string")
    refuse('a unit, "" for a pure number', input.unit, `${where}, unit`);
  const values = valuesOf(input, where);
  checkTolerance(input.tolerance, values, where);
  const given = Object.entries(input).filter(
    ([name, value]) => subjectFields.some((one) => one === name) && value !== undefined,
  );
  return {
    kind: "finding",
    id: input.id,
    title: text(input.title, `${where}, title`).trim(),
    ...values,
    unit: input.unit,
    count: input.count,
    method: methodOf(input, where),
    ...Object.fromEntries(given),
  };
}

/**
 * Checks the record of a finding against its schema, shows it and returns it frozen. The sentence is
 * made last: it is made of fields that the schema has found to be there.
 */
function shown(draft: Omit<RecordedFinding, "sentence">, where: string): RecordedFinding {
  const checked = outputRecord(recordedFindingSchema, { ...draft, sentence: "–" }, where);
  const record = outputRecord(
    recordedFindingSchema,
    { ...checked, sentence: findingSentence(checked) },
    where,
  );
  const forms = findingForms(record);
  display({
    [mimeTypes.finding]: record,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}

/**
 * States one result: a value with its interval, unit, count and method. It returns the frozen
 * record, whose `sentence` is ready to read, and shows it as one output of the cell.
 *
 * Give an id and the answer to a question; everything else comes from the answer. A question that
 * the data cannot answer is shown with the reason. For a number that is not from a study, give a
 * record: `value` with `low` and `high`, or an `estimate` as a statistic returned it; then `level`,
 * the limits and, unless you give one, `method` come from the estimate.
 * @throws InputError when an answer consists of several (see `findings`), a field is missing or
 *   unknown, a number is not finite, the limits are crossed, an estimate and a value are both given,
 *   or the tolerance is wider than a tenth of the interval
 * @example finding({ id: "lead", title: "Lead-hand grip: change", value: 2.641, low: 1.881, high: 3.377, unit: "kgf", count: { n: 24, of: "golfers" }, method: "paired t" }).sentence // "Lead-hand grip: change: 2.6 kgf (95 % CI 1.9 to 3.4), n = 24 golfers, paired t."
 */
export function finding(input: FindingInput): Finding;
/** The answer to a question under an id. */
export function finding(id: string, answer: Answer): RecordedFinding;
export function finding(input: FindingInput | string, answer?: Answer): RecordedFinding {
  if (typeof input === "string") return answerShown(input, singleOf(answer, "finding"));
  if (input === null || typeof input !== "object") refuse("a record", input, "finding");
  knownOptions(input, findingFields, "finding");
  const where = `finding ${identifier(input.id, "finding, id")}`;
  return shown(typedFinding(input, where), where);
}

/** Shows one single answer as a finding. */
export function answerShown(id: string, answer: Answer): RecordedFinding {
  const where = `finding ${identifier(id, "finding, id")}`;
  const record = shown(answerFinding(id, answer), where);
  rememberAnswer(answer, record);
  return record;
}

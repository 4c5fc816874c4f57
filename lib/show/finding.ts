import { type Markup, markup, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import type { Estimate } from "../stats/estimate.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import { findingSchema } from "./output-schemas.js";
import { count, finite, identifier, refuse, text } from "./record.js";
import { outputRecord } from "./schema.js";
import { companionText, intervalText, valueText } from "./wording.js";

/** The rows a finding came from. */
export interface Source {
  /** Files by their paths in the study folder. */
  readonly files: readonly string[];
  /** Rows that the number rests on. */
  readonly rowsUsed: number;
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  /** Codes of the golfers it is about. */
  readonly participants: readonly string[];
}

/** How far the value moves when one is left out at a time, and whose absence changes the conclusion. */
export interface LeaveOneOut {
  /** What is left out: a person unless it says otherwise. */
  readonly leaving?: "person" | "study" | undefined;
  /** Lowest value when one is left out, in the unit of the finding. */
  readonly low: number;
  /** Highest value when one is left out, in the unit of the finding. */
  readonly high: number;
  /** Those without whom the conclusion about zero changes. */
  readonly changesConclusion: readonly string[];
}

/** A value to read a finding against: a smallest worthwhile change, a published result. */
export interface HeldAgainst {
  /** Name of the reference value, such as "mdc95". */
  readonly says: string;
  /** The reference value, in the unit of the finding. */
  readonly value: number;
}

/** What every finding states, however its numbers are given. */
export interface FindingBase {
  /** Unique in the study; names the finding in the record, the page and a re-run. */
  readonly id: string;
  /** The quantity in words, as the sentence begins: "Lead-hand grip at address: change". */
  readonly says: string;
  /** Unit of value and limits; "" for a pure number. */
  readonly unit: string;
  /** Participants (or pairs, or trials) the value rests on. */
  readonly n: number;
  /**
   * Largest absolute difference, in `unit`, that a re-run may show and still count as agreeing; at
   * most a tenth of the interval.
   */
  readonly tolerance?: number | undefined;
  /** The rows that the value rests on. */
  readonly source?: Source | undefined;
  /** Range of the value when one is left out at a time. */
  readonly leaveOneOut?: LeaveOneOut | undefined;
  /** Reference values to compare it with. */
  readonly versus?: readonly HeldAgainst[] | undefined;
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

/** A result as it is recorded: value, limits, and where they come from. */
export interface Finding {
  /** Kind of the output. */
  readonly kind: "finding";
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** The quantity in words, as the sentence begins. */
  readonly says: string;
  /** The value, in `unit`. */
  readonly value: number;
  /** Lower confidence limit, in `unit`. */
  readonly low?: number;
  /** Upper confidence limit, in `unit`. */
  readonly high?: number;
  /** Confidence level of the limits as a fraction. */
  readonly level?: number;
  /** Unit of value and limits; "" for a pure number. */
  readonly unit: string;
  /** Golfers (or pairs, or trials) that the value rests on. */
  readonly n: number;
  /** How the value was computed, in a phrase. */
  readonly method: string;
  /** Largest difference, in `unit`, that a re-run may show and still agree. */
  readonly tolerance?: number;
  /** The whole finding as a sentence, rounded to what the interval justifies. */
  readonly sentence: string;
  /** The rows that the value rests on. */
  readonly source?: Source;
  /** Range of the value when one is left out at a time. */
  readonly leaveOneOut?: LeaveOneOut;
  /** Reference values to compare it with. */
  readonly versus?: readonly HeldAgainst[];
}

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
  const own =
    "estimate" in input ? (input.method ?? input.estimate?.interval?.method) : input.method;
  return text(own, `${where}, method`);
}

/** An estimate and a value exclude each other: `valuesOf` says so where both are given. */
const findingFields = [
  ...["id", "says", "unit", "n", "method", "tolerance", "source", "leaveOneOut", "versus"],
  ...["value", "low", "high", "level", "estimate"],
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

/** The sentence of a finding: words, value with unit, interval with level, n, method. */
export function findingSentence(finding: Omit<Finding, "kind" | "id" | "sentence">): string {
  const { says, unit, n, method } = finding;
  const range = finding.low === undefined ? "" : ` (${intervalText(finding)})`;
  return `${says.trim()} ${valueText(finding, unit)}${range}, n = ${n}, ${method.replace(/\.$/, "")}.`;
}

function findingHtml(finding: Finding): Markup {
  const other = companionText(finding, finding.unit);
  const beside = other ? markup` <small>(${proseHtml(other)})</small>` : "";
  return markup`<p data-finding="${finding.id}">${proseHtml(finding.sentence)}${beside}</p>`;
}

/** How a reader meets a finding, from the record alone. */
export function findingForms(record: Finding): ReadableForms {
  return { html: String(findingHtml(record)), plain: record.sentence };
}

/**
 * States one result: a value with its interval, unit, n and method. It returns the frozen record,
 * whose `sentence` is ready to read, and shows it as one output of the cell.
 *
 * Give `value` with `low` and `high`, or an `estimate` as a statistic returned it; then `level`, the
 * limits and, unless you give one, `method` come from the estimate.
 * @throws InputError when a field is missing or unknown, a number is not finite, the limits are
 *   crossed, an estimate and a value are both given, or the tolerance is wider than a tenth of the
 *   interval
 * @example finding({ id: "lead", says: "Lead-hand grip: change", value: 2.641, low: 1.881, high: 3.377, unit: "kgf", n: 24, method: "paired t" }).sentence // "Lead-hand grip: change 2.6 kgf (95 % interval 1.9 to 3.4), n = 24, paired t."
 */
export function finding(input: FindingInput): Finding {
  if (input === null || typeof input !== "object") refuse("a record", input, "finding");
  knownOptions(input, findingFields, "finding");
  const id = identifier(input.id, "finding, id");
  const where = `finding ${id}`;
  if (typeof input.unit !== "string")
    refuse('a unit, "" for a pure number', input.unit, `${where}, unit`);
  const base = {
    says: text(input.says, `${where}, says`),
    ...valuesOf(input, where),
    unit: input.unit,
    n: count(input.n, `${where}, n`),
    method: methodOf(input, where),
  };
  const { tolerance, source, leaveOneOut, versus } = input;
  checkTolerance(tolerance, base, where);
  const record = outputRecord(
    findingSchema,
    {
      kind: "finding",
      id,
      ...base,
      ...(tolerance !== undefined && { tolerance }),
      sentence: findingSentence(base),
      ...(source !== undefined && { source }),
      ...(leaveOneOut !== undefined && { leaveOneOut }),
      ...(versus !== undefined && { versus }),
    },
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

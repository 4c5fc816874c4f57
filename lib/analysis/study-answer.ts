import type { Estimate } from "../stats/estimate.js";
import { frozen } from "../stats/estimate.js";
import type { SourceRecord } from "../study/tables/source-record.js";

/** What kind of number answers the question; it decides words, direction and mark. */
export type AnswerQuantity = "change" | "difference" | "size" | "relation" | "share" | "test";

/** What the number counts: the noun of n. */
export type Counted =
  | "golfers"
  | "trials"
  | "swings"
  | "visits"
  | "studies"
  | "inputs"
  | "results"
  | "simulated studies";

/** The outcome that an answer is about. */
export interface MeasureName {
  /** Grip or club speed. */
  readonly outcome: "grip" | "speed";
  /** Noun phrase that stands alone: "Lead-hand grip at address". */
  readonly name: string;
  /** Hand by its place on the club; left out for club speed. */
  readonly hand?: "lead" | "trail";
  /** Id of the position. */
  readonly position?: string;
  /** Name of the club; left out for grip. */
  readonly club?: string;
}

/** A visit as a title names it. */
export interface VisitName {
  /** Name as a reader sees it, such as "week 6". */
  readonly title: string;
  /** Week of the visit in the design. */
  readonly week: number;
}

/** A value that a reader compares the estimate with. */
export interface ReferenceValue {
  /** What the estimate is compared with. */
  readonly name:
    | "smallest worthwhile change"
    | "typical error"
    | "minimal detectable change"
    | "gain in proportion to the dose"
    | "published minimal detectable change, healthy adults"
    | "published minimal detectable change, a year apart";
  /** The reference value, in the unit of the estimate. */
  readonly value: number;
  /** Limits of the reference value itself, where it was estimated. */
  readonly low?: number;
  /** Upper limit of the reference value. */
  readonly high?: number;
}

/** What leaving each golfer, or each study, out in turn does to the estimate. */
export interface LeaveOneOutRange {
  /** What is left out in turn. */
  readonly leaving: "person" | "study";
  /** Lowest and highest value, the one from everybody included; in the unit of the estimate. */
  readonly low: number;
  /** Highest value, same unit. */
  readonly high: number;
  /** Those without whom the interval lies on another side of zero. */
  readonly changesConclusion: readonly string[];
}

/** The answer to one question asked of a study. */
export interface Answer {
  /** Name of the function that was asked. */
  readonly kind: string;
  /** What kind of number the estimate is. */
  readonly quantity: AnswerQuantity;
  /** Short name among the answers beside it, for ids: "grip", "w6-grip"; left out when it is alone. */
  readonly part?: string;
  /** Closing words of the title, where the other fields do not tell two answers apart: "BCa bootstrap". */
  readonly aspect?: string;
  /** The outcome that the answer is about. */
  readonly measure: MeasureName;
  /** The outcome that a relation sets beside it: `measure` is predicted from `on`. */
  readonly on?: MeasureName;
  /** Titles of the arms: a difference is first − second; a change within an arm has one. */
  readonly arms?: { readonly first: string; readonly second?: string };
  /** Two groups of golfers whose differences between arms are compared: first − second, by a trait. */
  readonly subgroups?: { readonly trait: string; readonly first: string; readonly second: string };
  /** The visits: a change runs from `before` to `at`. */
  readonly visits?: { readonly before?: VisitName; readonly at: VisitName };
  /** What the comparison is adjusted for, in words: "baseline". */
  readonly adjustedFor: readonly string[];
  /** Left out when the question has no single number: see `parts`, or `unanswered`. */
  readonly estimate?: Estimate;
  /** Unit of the estimate; "" for a pure number. */
  readonly unit: string;
  /** How many, and what is counted. */
  readonly count: { readonly n: number; readonly of: Counted };
  /** True when the plan named this outcome, these visits and this comparison before the data were seen. */
  readonly planned: boolean;
  /** True when the study records a random allocation to the arms: only then may a difference be called an effect. */
  readonly randomised?: boolean;
  /** How several trials became one value, in words. */
  readonly rule: string;
  /** How the estimate was computed, in a phrase. */
  readonly method: string;
  /** The rows that the estimate rests on. */
  readonly source: SourceRecord;
  /** The p value adjusted for the answers beside it: the method, and how many p values it covers. */
  readonly adjustedP?: {
    /** Between 0 and 1. */
    readonly p: number;
    /** "Holm". */
    readonly method: string;
    /** Size of the family. */
    readonly comparisons: number;
  };
  /** Range of the estimate when one is left out at a time. */
  readonly leaveOneOut?: LeaveOneOutRange;
  /** Values that a reader compares the estimate with. */
  readonly references: readonly ReferenceValue[];
  /** What a reader must know before leaning on the number, as sentences. */
  readonly warnings: readonly string[];
  /** Answers of which this one consists, such as one per arm. */
  readonly parts: readonly Answer[];
  /** Why the data cannot answer the question, as one sentence. */
  readonly unanswered?: string;
}

/** The name of a visit of the design. */
export function visitName({ title, week }: VisitName): VisitName {
  return { title, week };
}

/** The fields that every question fills; the others have a plain default. */
export type AnswerFields = Pick<
  Answer,
  "kind" | "quantity" | "measure" | "unit" | "count" | "rule" | "method" | "source"
> &
  Partial<Answer>;

/** An answer with its defaults, frozen. */
export function answer(fields: AnswerFields): Answer {
  return frozen({
    adjustedFor: [],
    planned: false,
    references: [],
    warnings: [],
    parts: [],
    ...fields,
  });
}

/**
 * The answers of an answer: itself where it holds one number, else its parts, down to single numbers.
 */
export function singleAnswers(given: Answer): readonly Answer[] {
  if (given.parts.length === 0) return [given];
  return given.parts.flatMap(singleAnswers);
}

/** The same answer with every single answer in it changed. */
export function mapAnswers(given: Answer, change: (single: Answer) => Answer): Answer {
  if (given.parts.length === 0) return change(given);
  return frozen({ ...given, parts: given.parts.map((part) => mapAnswers(part, change)) });
}

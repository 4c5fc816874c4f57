import type { AnswerQuantity, Counted, MeasureName, VisitName } from "../analysis/study-answer.js";

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

/** A value to compare a finding with: a smallest worthwhile change, a published result. */
export interface Reference {
  /** Name as a reader sees it: "smallest worthwhile change". */
  readonly name: string;
  /** The reference value, in the unit of the finding. */
  readonly value: number;
  /** Lower limit of the reference value itself, where it was estimated. */
  readonly low?: number | undefined;
  /** Upper limit of the reference value. */
  readonly high?: number | undefined;
}

/** How many the value rests on, and what is counted. */
export interface FindingCount {
  /** A whole number. */
  readonly n: number;
  /** The noun of n. */
  readonly of: Counted;
}

/** What a number is about; words, direction and mark are made from it. */
export interface FindingSubject {
  /** Kind of number: a change, a difference, and so on. Left out where none of them fits. */
  readonly quantity?: AnswerQuantity;
  /** The outcome that it is about. */
  readonly measure?: MeasureName;
  /** The outcome that a relation sets beside it. */
  readonly on?: MeasureName;
  /** Titles of the arms: a difference is first − second. */
  readonly arms?: { readonly first: string; readonly second?: string };
  /** The visits: a change runs from `before` to `at`. */
  readonly visits?: { readonly before?: VisitName; readonly at: VisitName };
  /** What the value is adjusted for, in words. */
  readonly adjustedFor?: readonly string[];
  /** Whether the plan named it before the data were seen; left out where that is no question. */
  readonly planned?: boolean;
  /** How several trials became one value, in words. */
  readonly rule?: string;
}

/** A result as it is recorded: value, limits, and where they come from. */
export interface Finding extends FindingSubject {
  /** Kind of the output. */
  readonly kind: "finding";
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** Noun phrase that stands alone, outcome first. */
  readonly title: string;
  /** The value, in `unit`. */
  readonly value: number;
  /** Lower confidence limit, in `unit`. */
  readonly low?: number;
  /** Upper confidence limit, in `unit`. */
  readonly high?: number;
  /** Confidence level of the limits as a fraction. */
  readonly level?: number;
  /** Two-sided p value of the test against zero, where one was made. */
  readonly p?: number;
  /** Unit of value and limits; "" for a pure number. */
  readonly unit: string;
  /** How many the value rests on, and what is counted. */
  readonly count: FindingCount;
  /** How the value was computed, in a phrase. */
  readonly method: string;
  /** Largest difference, in `unit`, that a re-run may show and still agree. */
  readonly tolerance?: number;
  /** The rows that the value rests on. */
  readonly source?: Source;
  /** Range of the value when one is left out at a time. */
  readonly leaveOneOut?: LeaveOneOut;
  /** Values to compare it with. */
  readonly references?: readonly Reference[];
  /** What a reader must know before leaning on the number, as sentences. */
  readonly warnings?: readonly string[];
  /** The whole finding as a sentence, rounded to what the interval justifies. */
  readonly sentence: string;
}

/** A question that the data cannot answer, as it is recorded: why, and no number. */
export interface UnansweredFinding extends FindingSubject {
  /** Kind of the output. */
  readonly kind: "finding";
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** Noun phrase that stands alone, outcome first. */
  readonly title: string;
  /** Unit that an answer would have had. */
  readonly unit: string;
  /** How many there are, and what is counted. */
  readonly count: FindingCount;
  /** How an answer would have been computed. */
  readonly method: string;
  /** Why the data cannot answer, as one sentence. */
  readonly unanswered: string;
  /** Title and reason as a sentence. */
  readonly sentence: string;
}

/** Whatever a finding may record: a number, or why there is none. */
export type RecordedFinding = Finding | UnansweredFinding;

/** Whether a finding has a number. */
export function isAnswered(finding: RecordedFinding): finding is Finding {
  return !("unanswered" in finding);
}

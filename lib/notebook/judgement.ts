import type { CellName, Form, ResultKind } from "./results.js";

export type Verdict = "same" | "within tolerance" | "different" | "missing" | "new";

/** The judgement of one result of a re-run against the record. */
export interface Judgement {
  /** Kind of the result. */
  readonly kind: ResultKind;
  /** Id that its author gave it. */
  readonly id: string;
  /** Cell that shows it. */
  readonly cell: CellName;
  /** How the re-run compares with the record. */
  readonly verdict: Verdict;
  /** What is different, in a clause; left out when nothing is. */
  readonly difference?: string;
  /** The form in which it is different; "place" when it stands elsewhere; left out for the data. */
  readonly form?: Form | "sentence" | "place";
  /** Largest difference of two numbers, in the unit of the finding or as they stand in the figure. */
  readonly largest?: number;
  /** How far the author lets the finding move, in its unit; left out when not at all. */
  readonly tolerance?: number;
  /** A finding whose interval lies on another side of zero than it did. */
  readonly crossing?: "now includes zero" | "no longer includes zero" | "changed sides of zero";
  /** Content in the record; left out when it is new. */
  readonly recorded?: unknown;
  /** Content in the re-run; left out when it is missing. */
  readonly rerun?: unknown;
}

/** A judgement without the result that it is about. */
export type Judged = Omit<Judgement, "kind" | "id" | "cell" | "recorded" | "rerun">;

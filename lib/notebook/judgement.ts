import type { CellName, Form, ResultKind } from "./results.js";

/** Result against record; "missing": only in the record, "new": only in the re-run. */
export type Verdict = "same" | "within tolerance" | "different" | "missing" | "new";

/** The judgement of one result of a re-run against the record. */
export interface Judgement {
  /** The sort of result, such as "finding" or "figure". */
  readonly kind: ResultKind;
  /** Id of the result, or the cell and place of an output without one. */
  readonly id: string;
  /** The cell of the re-run that shows the result; for a missing result, that of the record. */
  readonly cell: CellName;
  /** How the result of the re-run compares with the recorded one. */
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
  /** The data of the recorded result; left out when the result is new. */
  readonly recorded?: unknown;
  /** The data of the result in the re-run; left out when it is missing. */
  readonly rerun?: unknown;
}

/** A judgement without the result that it is about. */
export type Judged = Omit<Judgement, "kind" | "id" | "cell" | "recorded" | "rerun">;

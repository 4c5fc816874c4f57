/** How one number of a manuscript stands to the record. */
export interface ComparedNumber {
  /** Whether it says what the record says; "unknown" where the record has no such number. */
  readonly state: "agrees" | "differs" | "unknown";
  /** The number has no tag any more and was found by the text around it. */
  readonly isUntagged: boolean;
  /** Id of the finding or claim; "~text" for a number that the draft has in its own words. */
  readonly id: string;
  /** Part of it. */
  readonly part: string;
  /** Where it stands, in words. */
  readonly place: string;
  /** The number as the manuscript has it. */
  readonly inText: string;
  /** The number as the record has it; "" where it has none. */
  readonly recorded: string;
}

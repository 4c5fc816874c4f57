/** How one number of a manuscript stands to the record. */
export interface ComparedNumber {
  /** Whether it says what the record says; "unknown" where the record has no such number. */
  readonly state: "agrees" | "differs" | "unknown";
  /** The number has no tag any more and was found by the text around it. */
  readonly isUntagged: boolean;
  /** Id of the finding or claim. */
  readonly id: string;
  /** Part of it. */
  readonly part: string;
  /** Where it stands, in words. */
  readonly place: string;
  /** What the manuscript says. */
  readonly said: string;
  /** What the record says; "" where it has no such number. */
  readonly recorded: string;
}

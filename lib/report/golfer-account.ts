/** One participant's own results, as the golfer's sheet tells them: plain JSON, a code and no name. */
export interface GolferAccount {
  readonly code: string;
  readonly study: string;
  readonly simulated: boolean;
  readonly arm: string;
  readonly visits: readonly string[];
  readonly series: readonly GolferSeries[];
  readonly norm?: GolferNorm | undefined;
  /** Why there is no norm, when there is none. */
  readonly noNorm?: string | undefined;
  readonly cautions: readonly string[];
}

/** One quantity of a golfer over the visits: a hand in a position, or a club. */
export interface GolferSeries {
  /** "Lead hand, at address" or "Speed with the driver". */
  readonly name: string;
  readonly role: "lead" | "trail" | "speed";
  readonly unit: string;
  /** How trials became one value: "mean of the first three trials". */
  readonly rule: string;
  /** Trials and their summary, visit by visit; no value where nothing was measured. */
  readonly visits: readonly { readonly trials: readonly number[]; readonly value: number | null }[];
  readonly change?: GolferChange | undefined;
}

/** The change from the first to the last visit, held against measurement error. */
export interface GolferChange {
  readonly value: number;
  /** What the same person's values differ by without any change, 95 times in 100. */
  readonly detectable: number;
  readonly verdict: "up" | "down" | "within error";
  /** The error holds what visits differ by; without that it is too small, and the sheet says so. */
  readonly betweenVisits: boolean;
  /** Where the error is from. */
  readonly from: string;
}

export interface GolferNorm {
  readonly best: number;
  readonly hand: string;
  readonly group: string;
  readonly middle: number;
  readonly band: string;
  readonly low: number;
  readonly high: number;
  readonly source: string;
  readonly cautions: readonly string[];
}

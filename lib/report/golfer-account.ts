import type { GolferNorm, GolferSeries } from "../study/tables/golfer.js";

export type { GolferNorm, GolferSeries } from "../study/tables/golfer.js";
export type { GolferChange } from "../study/tables/measuring-error.js";

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

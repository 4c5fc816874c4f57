import type { Study } from "./study.js";
import { type GolferNorm, type GolferSeries, golferResults } from "./tables/golfer.js";

/** One participant's own results, as the golfer's sheet shows them: plain JSON, a code and no name. */
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

/** Every participant's own results; by code, never by name. */
export function golferAccounts(study: Study): GolferAccount[] {
  const occasions = [...study.design.occasions].sort((a, b) => a.week - b.week);
  const visits = occasions.map(({ title }) => title);
  const { title, simulated, cautions } = study;
  return golferResults(study).map((golfer) => ({
    ...golfer,
    study: title,
    simulated,
    visits,
    cautions,
  }));
}

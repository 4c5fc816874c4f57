import type { Study } from "./study.js";
import { type GolferNorm, type GolferSeries, golferResults } from "./tables/golfer.js";

/** One participant's own results, as the golfer's sheet shows them: plain JSON, a code and no name. */
export interface GolferAccount {
  /** Code of the golfer. */
  readonly code: string;
  /** Title of the study. */
  readonly study: string;
  /** Whether the data were made by a simulator. */
  readonly simulated: boolean;
  /** Title of the golfer's arm. */
  readonly arm: string;
  /** Titles of the occasions, in their order. */
  readonly visits: readonly string[];
  /** Each quantity over the visits. */
  readonly series: readonly GolferSeries[];
  /** The highest squeeze beside people of the same sex and age. */
  readonly norm?: GolferNorm | undefined;
  /** Why there is no norm, when there is none. */
  readonly noNorm?: string | undefined;
  /** Sentences about safety and limits that are shown with the data. */
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

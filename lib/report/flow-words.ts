import type { AnalysisDone } from "../show/analysis-done.js";
import { listWords } from "../show/answer-words.js";
import type { PeopleFlow, Withdrawal } from "../study/tables/flow.js";

/** Where in the course of the study a golfer was lost: "between week 0 and week 3". */
export function placeWords({ after, before }: Withdrawal): string {
  if (after === undefined) return before === undefined ? "" : `before ${before}`;
  return before === undefined ? `after ${after}` : `between ${after} and ${before}`;
}

/** How many of each arm the primary comparison rests on, and the words for them. */
export interface InComparison {
  /** Golfers by arm, in the order of the flow. */
  readonly people: readonly number[];
  /** "in the primary comparison", or the visits where no comparison is recorded. */
  readonly words: string;
}

/**
 * The golfers behind the recorded primary comparison, arm by arm; without one, those who were
 * measured on the visits that the plan compares.
 */
export function inComparison(flow: PeopleFlow, done: AnalysisDone): InComparison {
  if (done.participants.length === 0) {
    const words = `measured at ${listWords(flow.compared)}`;
    return { people: flow.arms.map(({ atBothVisits }) => atBothVisits), words };
  }
  const codes = new Set(done.participants);
  const people = flow.arms.map(({ participants }) => participants.filter((one) => codes.has(one)));
  return { people: people.map(({ length }) => length), words: "in the primary comparison" };
}

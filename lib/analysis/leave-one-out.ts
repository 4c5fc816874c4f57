import type { Estimate } from "../stats/estimate.js";
import type { LeaveOneOutRange } from "./study-answer.js";

/** Where zero lies: 1 when the whole interval is above it, −1 below, 0 when it is inside. */
function side({ interval }: Estimate): number {
  if (!interval) return 0;
  if (interval.low > 0) return 1;
  return interval.high < 0 ? -1 : 0;
}

/**
 * What leaving each golfer, or each study, out does, from the estimates made without each.
 * @param whole the estimate from everybody
 * @param names codes of the golfers or titles of the studies, in the order of `without`
 * @param without the estimate without each; null where none can be made, which counts as one on
 *   whom the conclusion depends
 */
export function leaveOneOutOf(
  whole: Estimate,
  names: readonly string[],
  without: readonly (Estimate | null)[],
  leaving: LeaveOneOutRange["leaving"] = "person",
): LeaveOneOutRange {
  let [low, high] = [whole.value, whole.value];
  const changesConclusion: string[] = [];
  for (const [i, name] of names.entries()) {
    const estimate = without[i] ?? null;
    if (estimate === null) {
      changesConclusion.push(name);
      continue;
    }
    low = Math.min(low, estimate.value);
    high = Math.max(high, estimate.value);
    if (side(estimate) !== side(whole)) changesConclusion.push(name);
  }
  return { leaving, low, high, changesConclusion };
}

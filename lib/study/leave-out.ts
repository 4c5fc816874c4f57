import { InputError } from "../errors.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { sideOfZero } from "../stats/leave-out.js";
import { textColumn } from "./selection.js";
import type { Study } from "./study.js";
import { withoutParticipant } from "./variants.js";

/** What becomes of an estimate when each participant in turn is left out. */
export interface LeftOut {
  readonly kind: "leftOut";
  /** Participants left out, one at a time. */
  readonly n: number;
  /** Lowest and highest value among the estimates, the whole study's included. */
  readonly low: number;
  readonly high: number;
  /** Participants without whom the verdict is another: zero inside the interval, above it or below. */
  readonly turns: readonly string[];
  /** The estimate without each participant, in the order of the participants file. */
  readonly without: readonly { readonly participant: string; readonly value: number }[];
  /** Participants without whom the estimate cannot be made, and why. */
  readonly impossible: readonly { readonly participant: string; readonly reason: string }[];
}

/**
 * Fragility of a result: makes the estimate again without each participant in turn.
 * @param study from `openStudy`
 * @param estimate computes the estimate from a study; it is called once for the whole study and once
 *   for each participant
 * @returns the range of the value in the estimate's unit, and whose absence turns the verdict
 * @throws whatever `estimate` throws for the whole study; for a study less one person an InputError
 *   is told in `impossible`
 */
export function leaveEachOut(study: Study, estimate: (study: Study) => Estimate): LeftOut {
  const whole = estimate(study);
  const without: { participant: string; value: number }[] = [];
  const turns: string[] = [];
  const impossible: { participant: string; reason: string }[] = [];
  for (const participant of textColumn(study.participants, "participant")) {
    try {
      const one = estimate(withoutParticipant(study, participant));
      without.push({ participant, value: one.value });
      if (sideOfZero(one) !== sideOfZero(whole)) turns.push(participant);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      impossible.push({ participant, reason: error.message });
    }
  }
  const values = [whole.value, ...without.map(({ value }) => value)];
  return frozen({
    kind: "leftOut",
    n: without.length + impossible.length,
    low: Math.min(...values),
    high: Math.max(...values),
    turns,
    without,
    impossible,
  });
}

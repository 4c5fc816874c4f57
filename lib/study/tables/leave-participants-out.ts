import { type Estimate, frozen } from "../../stats/estimate.js";
import { type LeftOut, withoutEach } from "../../stats/leave-one-out.js";
import type { Study } from "../study.js";
import { textColumn } from "./selection.js";
import { withoutParticipant } from "./variants.js";

/** What `leaveParticipantsOut` returns. */
export interface ParticipantsLeftOut extends LeftOut {
  /** Name of this record. */
  readonly kind: "leaveParticipantsOut";
  /** What is left out in turn. */
  readonly leaving: "person";
}

/**
 * Makes an estimate again from the study without each participant in turn.
 * @param study from `openStudy`
 * @param estimate computes the estimate from a study; it is called once for the whole study and once
 *   per participant
 * @returns the range of the value in the estimate's unit, and whose absence changes the conclusion
 *   about zero
 * @throws whatever `estimate` throws for the whole study; an InputError for a study without one
 *   participant is listed in `impossible`
 */
export function leaveParticipantsOut(
  study: Study,
  estimate: (study: Study) => Estimate,
): ParticipantsLeftOut {
  const people = textColumn(study.participants, "participant");
  const without = (id: string) => estimate(withoutParticipant(study, id));
  const found = withoutEach(people, estimate(study), without);
  return frozen({ kind: "leaveParticipantsOut", leaving: "person", ...found } as const);
}

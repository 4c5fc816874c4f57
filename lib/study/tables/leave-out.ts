import type { Estimate } from "../../stats/estimate.js";
import { type WithoutEach, withoutEach } from "../../stats/leave-out.js";
import type { Study } from "../study.js";
import { textColumn } from "./selection.js";
import { withoutParticipant } from "./variants.js";

/**
 * Fragility of a result: makes the estimate again from the study without each participant in turn.
 * @param study from `openStudy`
 * @param estimate computes the estimate from a study; it is called once for the whole study and once
 *   for each participant
 * @returns the range of the value in the estimate's unit, and whose absence turns the verdict
 * @throws whatever `estimate` throws for the whole study; for a study less one person an InputError
 *   is told in `impossible`
 */
export function leaveEachOut(study: Study, estimate: (study: Study) => Estimate): WithoutEach {
  const people = textColumn(study.participants, "participant");
  return withoutEach(people, estimate(study), (id) => estimate(withoutParticipant(study, id)));
}

import { type Reliability, reliability } from "../stats/reliability.js";
import type { Arm } from "../study/package/design.js";
import type { Change } from "./outcome.js";

/** The error of a change of one golfer, from the control arm tested on both visits. */
export interface ChangeError {
  /** The control arm. */
  readonly control: Arm;
  /** The retest of the control arm over the same visits. */
  readonly retest: Reliability;
}

/** The error of a change from the control arm, or why there is none, as a sentence. */
export function changeError(change: Change): ChangeError | { readonly unanswered: string } {
  const control = change.outcome.study.design.arms.find((arm) => arm.control);
  if (!control) {
    return {
      unanswered:
        "Without a control arm tested on the same visits the error of a golfer's change is not known from this study.",
    };
  }
  const rows = change.of(control.id);
  if (rows.length < 3) {
    return {
      unanswered: `The error of a change needs three golfers of ${control.title} measured on both visits; the study has ${rows.length}.`,
    };
  }
  const { level } = change.outcome.study.plan;
  const retest = reliability(
    rows.map(({ before, after }) => [before, after]),
    { level },
  );
  if (retest.typicalError.value > 0) return { control, retest };
  return {
    unanswered: `Every golfer of ${control.title} changed by the same amount, so that the error of a change cannot be estimated.`,
  };
}

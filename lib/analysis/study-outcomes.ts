import { InputError } from "../errors.js";
import { openStudy as openPlainStudy } from "../study/open.js";
import type { Study } from "../study/study.js";
import { withoutParticipant } from "../study/tables/variants.js";
import { type Outcome, outcomeOf } from "./outcome.js";
import type { OutcomeChoice } from "./outcome-choice.js";

/** A study of which outcomes can be asked. */
export interface StudyOutcomes extends Study {
  /**
   * An outcome of the study: one value per golfer and visit.
   * @param quantity "grip" or "speed"
   * @param choice hand, position or club where the design has several; rule, if not the plan's
   */
  outcome(quantity: "grip" | "speed", choice?: OutcomeChoice): Outcome;
  /** The outcome that the plan names as the primary one. */
  readonly primary: Outcome;
  /**
   * The same study without some golfers: every table, every outcome and every set-aside. The account
   * of rows stays, because it says what the files hold.
   * @param participants codes of the golfers as text
   * @throws InputError when a code is not in the participants file
   */
  without(...participants: string[]): StudyOutcomes;
}

/**
 * Reads a study by its name or the path of its folder, ready for questions.
 * @param nameOrPath "winter-block", or a path with a slash
 * @throws InputError when there is no such study, or when something stops it from being read
 * @example openStudy("coach-nine").outcome("speed").rows.length // 18
 * @example openStudy("coach-nine").without("1-3").outcome("speed").rows.length // 16
 */
export function openStudy(nameOrPath: string): StudyOutcomes {
  return withOutcomes(openPlainStudy(nameOrPath));
}

/** The same study with its outcomes. The functions are no data: they do not show in JSON. */
export function withOutcomes(study: Study): StudyOutcomes {
  const made = { ...study } as StudyOutcomes;
  let primary: Outcome | undefined;
  Object.defineProperties(made, {
    outcome: {
      value: (quantity: "grip" | "speed", choice?: OutcomeChoice) =>
        outcomeOf(study, quantity, choice),
    },
    without: {
      value: (...participants: string[]) =>
        withOutcomes(participants.reduce(withoutParticipant, study)),
    },
    primary: {
      get() {
        primary ??= primaryOf(study);
        return primary;
      },
    },
  });
  return Object.freeze(made);
}

function primaryOf(study: Study): Outcome {
  const { primary } = study.plan;
  if (primary?.outcome === "speed") return outcomeOf(study, "speed");
  if (primary?.outcome === "grip") {
    const { hand, position } = primary;
    return outcomeOf(study, "grip", {
      ...(hand !== undefined && { hand }),
      ...(position !== undefined && { position }),
    });
  }
  throw new InputError({
    expected: 'a primary outcome in the plan, "grip" or "speed"',
    got: "none",
    where: `study ${study.name}, primary`,
  });
}

import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { adjustP } from "../stats/multiplicity.js";
import { gripRules } from "../study/tables/rules.js";
import type { Change } from "./outcome.js";
import { outcomeOf } from "./outcome.js";
import { type Answer, answer, mapAnswers, singleAnswers } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/**
 * One question asked in every hand and position that the study measured, over the plan's visits.
 * The p values of the answers that the plan does not name are adjusted together (Holm); the planned
 * one stands outside that family, because it was named before the data were seen.
 * @param study from `openStudy`
 * @param question such as `compareArms`
 * @returns one answer per hand, position and comparison, with its adjusted p
 * @throws InputError when the question is no function, and whatever the question throws
 * @see Holm (1979) Scand J Stat 6:65–70
 * @example byHandAndPosition(openStudy("winter-block"), compareArms).parts.length // 6
 */
export function byHandAndPosition(
  study: StudyOutcomes,
  question: (change: Change) => Answer,
): Answer {
  if (typeof question !== "function") {
    const expected = "a question, such as compareArms";
    throw new InputError({ expected, got: typeof question, where: "byHandAndPosition" });
  }
  const answers = placesOf(study).map(({ hand, position }) => {
    const outcome = outcomeOf(study, "grip", {
      ...(hand !== undefined && { hand }),
      ...(position !== undefined && { position }),
    });
    const name = [hand, position].filter((part) => part !== undefined).join("-");
    const change = outcome.change();
    return mapAnswers(question(change), (one) => ({
      ...one,
      part: one.part === undefined ? name : `${name}-${one.part}`,
    }));
  });
  const adjusted = holm(answers);
  const first = itemAt(answers, 0);
  const { estimate: _, leaveOneOut: __, part: ___, unanswered: ____, ...rest } = first;
  return answer({ ...rest, kind: "byHandAndPosition", planned: false, parts: adjusted });
}

interface Place {
  readonly hand?: "lead" | "trail";
  readonly position?: string;
}

/** Every combination of hand and position in the design; one without either where it has none. */
function placesOf({ design, plan }: StudyOutcomes): Place[] {
  const single = { hands: [undefined], positions: [undefined] };
  const rule = gripRules.find(({ id }) => id === plan.summaries.grip);
  const hands = design.hands.length > 0 && rule?.hands !== "both" ? design.hands : single.hands;
  const positions =
    design.positions.length > 0 ? design.positions.map(({ id }) => id) : single.positions;
  return hands.flatMap((hand) =>
    positions.map((position) => ({
      ...(hand !== undefined && { hand }),
      ...(position !== undefined && { position }),
    })),
  );
}

/** The answers with Holm's p for all that the plan does not name. */
function holm(answers: readonly Answer[]): Answer[] {
  const family = answers
    .flatMap(singleAnswers)
    .filter(({ planned, estimate }) => !planned && estimate?.p !== undefined);
  if (family.length === 0) return [...answers];
  const p = adjustP(
    family.map((one) => one.estimate?.p ?? 1),
    "holm",
  );
  const byAnswer = new Map(family.map((one, i) => [one, itemAt(p, i)]));
  return answers.map((one) =>
    mapAnswers(one, (single) => {
      const found = byAnswer.get(single);
      if (found === undefined) return single;
      return {
        ...single,
        adjustedP: { p: found, method: "Holm", comparisons: family.length },
      };
    }),
  );
}

import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import type { Estimate } from "../stats/estimate.js";
import { compareGroups } from "../stats/groups.js";
import type { ChangeRow } from "./change-rows.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { changeName } from "./outcome-choice.js";
import { type Answer, answer, visitName } from "./study-answer.js";

/**
 * The change of one arm compared with that of an arm of another study, first − second, by Welch's t
 * test. The golfers were not allocated at random to the two studies, so that the difference has other
 * possible causes than the training.
 * @param first change of the study in question
 * @param second change of the other study, in the same unit
 * @param options arms: ids of the arm of each study; its trained arm and the control arm unless given
 * @returns the difference in the unit of the outcome; why there is none in `unanswered`
 * @throws InputError when units differ, or an option or arm is not known
 */
export function compareStudies(
  first: Change,
  second: Change,
  options: { readonly arms?: { readonly first: string; readonly second: string } } = {},
): Answer {
  knownOptions(options, ["arms"], "compareStudies");
  if (first.outcome.unit !== second.outcome.unit) {
    const expected = `a second change in ${first.outcome.unit}`;
    throw new InputError({ expected, got: second.outcome.unit, where: "compareStudies" });
  }
  const arms = {
    first: armOf(first, options.arms?.first, false),
    second: armOf(second, options.arms?.second, true),
  };
  const [own, other] = [first.of(arms.first.id), second.of(arms.second.id)];
  const { outcome } = first;
  const fields = {
    kind: "compareStudies",
    quantity: "difference",
    measure: { ...outcome.measure, name: changeName(outcome.measure.name) },
    arms: {
      first: `${arms.first.title} of ${outcome.study.title}`,
      second: `${arms.second.title} of ${second.outcome.study.title}`,
    },
    visits: { before: visitName(first.before), at: visitName(first.after) },
    unit: outcome.unit,
    count: { n: own.length + other.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "Welch's t of changes, arms of two studies, not randomised",
    source: joined(first.source(own), second.source(other)),
    warnings: [
      "The golfers were not allocated at random to the two studies: the difference can have other causes than the training.",
    ],
  } as const;
  if (own.length < 3 || other.length < 3) {
    const unanswered = `A comparison needs three golfers of each study measured on both visits; the studies have ${own.length} and ${other.length}.`;
    return answer({ ...fields, unanswered });
  }
  const { level } = outcome.study.plan;
  const compared = (out?: ChangeRow): Estimate =>
    compareGroups(changes(own, out), changes(other, out), { level }).difference;
  const whole = compared();
  const without = [...own, ...other].map((row) => compared(row));
  const names = [...own, ...other].map(({ participant }) => participant);
  return answer({ ...fields, estimate: whole, leaveOneOut: leaveOneOutOf(whole, names, without) });
}

/** The changes of some golfers, or of all of them but one. */
function changes(rows: readonly ChangeRow[], out?: ChangeRow): number[] {
  return rows.filter((row) => row !== out).map(({ change }) => change);
}

function armOf({ outcome }: Change, id: string | undefined, control: boolean) {
  const { arms } = outcome.study.design;
  const found = arms.find((arm) =>
    id === undefined ? arms.length === 1 || (arm.control === true) === control : arm.id === id,
  );
  if (found) return found;
  const expected = `an arm of ${outcome.study.name}: ${arms.map((arm) => arm.id).join(", ")}`;
  throw new InputError({ expected, got: id ?? "none", where: "compareStudies, arms" });
}

type Source = ReturnType<Change["source"]>;

function joined(first: Source, second: Source): Source {
  return {
    ...first,
    files: [...first.files, ...second.files],
    rowsUsed: first.rowsUsed + second.rowsUsed,
    setAside: [...first.setAside, ...second.setAside],
    participants: [...first.participants, ...second.participants],
  };
}

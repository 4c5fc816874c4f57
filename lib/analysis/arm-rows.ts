import type { Arm } from "../study/package/design.js";
import type { ChangeRow } from "./change-rows.js";
import type { Change } from "./outcome.js";

/** Two arms that are compared, first − second. */
export interface ArmPair {
  /** The arm that is compared. */
  readonly first: Arm;
  /** The arm that is subtracted. */
  readonly second: Arm;
}

/** Each arm against the control arm; all pairs, the later against the earlier, without one. */
export function armPairs(arms: readonly Arm[]): ArmPair[] {
  const control = arms.find((arm) => arm.control);
  if (control) {
    return arms.filter((arm) => arm !== control).map((first) => ({ first, second: control }));
  }
  return arms.flatMap((second, i) => arms.slice(i + 1).map((first) => ({ first, second })));
}

/** Name of a pair among others: the arm alone where all are compared with the control arm. */
export function pairPart({ first, second }: ArmPair): string {
  return second.control ? first.id : `${first.id}-${second.id}`;
}

/** Why the arms of a change cannot be compared, as a sentence; undefined where they can. */
export function armObstacle(change: Change, least: number): string | undefined {
  const { arms } = change.outcome.study.design;
  if (arms.length < 2) {
    return "The study has one arm and no control: its change includes any change that would have happened without training.";
  }
  const small = arms.filter(({ id }) => change.of(id).length < least);
  if (small.length === 0) return undefined;
  const names = small.map(({ title, id }) => `${title} (${change.of(id).length})`).join(", ");
  const number = least === 2 ? "two" : String(least);
  return `A comparison needs at least ${number} golfers per arm who were measured on both visits; too few in: ${names}.`;
}

/** One column of the rows of a change. */
export function columnOf(
  rows: readonly ChangeRow[],
  name: "before" | "after" | "change",
): number[] {
  return rows.map((row) => row[name]);
}

/** Why the arms cannot be compared with an adjustment for baseline, as a sentence. */
export function comparisonObstacle(change: Change): string | undefined {
  const { arms } = change.outcome.study.design;
  const few = armObstacle(change, 2);
  if (few !== undefined) return few;
  if (change.rows.length <= arms.length + 1) {
    return `A comparison adjusted for baseline needs more than ${arms.length + 1} golfers measured on both visits; the study has ${change.rows.length}.`;
  }
  const varies = arms.some(({ id }) => new Set(change.of(id).map((row) => row.before)).size > 1);
  return varies
    ? undefined
    : "All golfers of an arm started from the same value, so that nothing can be adjusted for.";
}

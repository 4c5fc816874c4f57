import { InputError } from "../errors.js";
import type { Occasion } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import type { OutcomeRow } from "./outcome-rows.js";

/** A golfer measured on both visits. */
export interface ChangeRow {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** In the unit of the outcome. */
  readonly before: number;
  /** In the same unit. */
  readonly after: number;
  /** after − before */
  readonly change: number;
}

/** The golfers of an outcome's rows who were measured on both visits, in the order of the rows. */
export function changeRows(
  rows: readonly OutcomeRow[],
  before: string,
  after: string,
): ChangeRow[] {
  const first = new Map<string, number>();
  for (const { participant, occasion, value } of rows) {
    if (occasion === before) first.set(participant, value);
  }
  return rows.flatMap(({ participant, arm, occasion, value }) => {
    const start = first.get(participant);
    if (occasion !== after || start === undefined) return [];
    return [{ participant, arm, before: start, after: value, change: value - start }];
  });
}

/** The visits that were named, those of the plan, or the first and the last of the design. */
export function changeVisits(
  study: Study,
  before: string | undefined,
  after: string | undefined,
): { before: Occasion; after: Occasion } {
  const { occasions } = study.design;
  const { primary } = study.plan;
  const first = before ?? primary?.before ?? occasions[0]?.id;
  const last = after ?? primary?.after ?? occasions.at(-1)?.id;
  const found = { before: occasionOf(study, first), after: occasionOf(study, last) };
  if (found.before.id !== found.after.id) return found;
  throw new InputError({
    expected: "two different visits",
    got: `${JSON.stringify(found.before.id)} twice`,
    where: "change",
  });
}

function occasionOf(study: Study, id: string | undefined): Occasion {
  const found = study.design.occasions.find((occasion) => occasion.id === id);
  if (found) return found;
  throw new InputError({
    expected: `a visit of the design (${study.design.occasions.map((one) => one.id).join(", ")})`,
    got: JSON.stringify(id) ?? "none",
    where: "change",
  });
}

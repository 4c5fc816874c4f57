import { InputError } from "../errors.js";
import type { Occasion } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import { type Missing, missingFrom } from "../study/tables/missing.js";
import type { SourceRecord } from "../study/tables/source-record.js";
import type { Outcome } from "./outcome.js";

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

/** The change of an outcome between two visits, golfer by golfer; it knows who is missing and why. */
export class Change {
  readonly kind = "change";
  readonly outcome: Outcome;
  readonly before: Occasion;
  readonly after: Occasion;
  /** Golfers measured on both visits, in the order of the participants file. */
  readonly rows: readonly ChangeRow[];
  /** Golfers without a pair, each with the reason. */
  readonly missing: readonly Missing[];
  /** True when outcome, rule and visits are those of the plan. */
  readonly planned: boolean;

  constructor(outcome: Outcome, before?: string, after?: string) {
    const visits = visitsFor(outcome.study, before, after);
    this.outcome = outcome;
    this.before = visits.before;
    this.after = visits.after;
    this.rows = pairsOf(outcome, this.before.id, this.after.id);
    const measured = new Map(
      [this.before.id, this.after.id].map((id) => [id, peopleAt(outcome, id)]),
    );
    this.missing = missingFrom(outcome.study, {
      occasions: [this.before.id, this.after.id],
      has: (participant, occasion) => measured.get(occasion)?.has(participant) === true,
      trials: outcome.quantity === "grip" ? "grip" : "swing",
      where: outcome.where,
    });
    const { primary } = outcome.study.plan;
    this.planned =
      outcome.planned && primary?.before === this.before.id && primary.after === this.after.id;
  }

  /** The rows of one arm. */
  of(arm: string): readonly ChangeRow[] {
    return this.rows.filter((row) => row.arm === arm);
  }

  /** The trials behind the rows of some golfers; of all who have a pair unless said. */
  source(rows: readonly ChangeRow[] = this.rows): SourceRecord {
    const people = rows.map(({ participant }) => participant);
    return this.outcome.source(people, [this.before.id, this.after.id]);
  }
}

function peopleAt(outcome: Outcome, occasion: string): ReadonlySet<string> {
  const rows = outcome.rows.filter((row) => row.occasion === occasion);
  return new Set(rows.map(({ participant }) => participant));
}

function pairsOf(outcome: Outcome, before: string, after: string): ChangeRow[] {
  const first = new Map<string, number>();
  for (const { participant, occasion, value } of outcome.rows) {
    if (occasion === before) first.set(participant, value);
  }
  return outcome.rows.flatMap(({ participant, arm, occasion, value }) => {
    const start = first.get(participant);
    if (occasion !== after || start === undefined) return [];
    return [{ participant, arm, before: start, after: value, change: value - start }];
  });
}

/** The visits that were named, those of the plan, or the first and the last of the design. */
function visitsFor(
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

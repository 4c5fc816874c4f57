import { InputError } from "../errors.js";
import type { Occasion } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import type { SourceRecord } from "../study/tables/source-record.js";
import { joinedSource } from "./joined-source.js";
import type { Outcome } from "./outcome.js";
import { Change } from "./outcome.js";
import { type Answer, visitName } from "./study-answer.js";

/** What a relation can be asked of: an outcome on a visit, or a change. */
export type Related = Outcome | Change;

/** A golfer who has both values. */
export interface RelatedPoint {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** The value that the other is predicted from, in its unit. */
  readonly x: number;
  /** The value that is predicted, in its unit. */
  readonly y: number;
}

/** Two outcomes, or two changes, side by side. */
export interface RelatedRows {
  /** The study of both. */
  readonly study: Study;
  /** Golfers who have both values, in the order of the participants file. */
  readonly points: readonly RelatedPoint[];
  /** Golfers who have one of the two values only. */
  readonly unmatched: readonly string[];
  /** Visit of the values, or the visits of the changes. */
  readonly visits: NonNullable<Answer["visits"]>;
  /** True when changes are related. */
  readonly areChanges: boolean;
  /** The trials behind the values of some golfers. */
  readonly source: (participants: readonly string[]) => SourceRecord;
}

/** The outcome itself, also of a change. */
export function outcomeBehind(related: Related): Outcome {
  return related instanceof Change ? related.outcome : related;
}

/**
 * Sets two outcomes of a visit, or two changes, side by side.
 * @param at id of the visit; the first of the design unless given; not for changes
 * @throws InputError when the two are of different studies, one is a change and the other is not, or
 *   the visit is not in the design
 */
export function relatedRows(y: Related, x: Related, at?: string): RelatedRows {
  const { study } = outcomeBehind(y);
  if (study !== outcomeBehind(x).study) {
    const expected = "two outcomes of one study";
    throw new InputError({ expected, got: "outcomes of two studies", where: "relate" });
  }
  if (y instanceof Change && x instanceof Change) return changes(study, y, x);
  if (y instanceof Change || x instanceof Change) {
    const expected = "two outcomes or two changes";
    throw new InputError({ expected, got: "an outcome and a change", where: "relate" });
  }
  const visit = visitOf(study, at);
  const valuesOf = (outcome: Outcome): Value[] =>
    outcome.rows.filter(({ occasion }) => occasion === visit.id);
  return {
    study,
    ...matched(valuesOf(y), valuesOf(x)),
    visits: { at: visitName(visit) },
    areChanges: false,
    source: (participants) =>
      joinedSource(y.source(participants, [visit.id]), x.source(participants, [visit.id])),
  };
}

function changes(study: Study, y: Change, x: Change): RelatedRows {
  if (y.before.id !== x.before.id || y.after.id !== x.after.id) {
    const got = `${y.before.id} to ${y.after.id}, and ${x.before.id} to ${x.after.id}`;
    const expected = "two changes between the same visits";
    throw new InputError({ expected, got, where: "relate" });
  }
  const valuesOf = ({ rows }: Change): Value[] =>
    rows.map(({ participant, arm, change }) => ({ participant, arm, value: change }));
  const occasions = [y.before.id, y.after.id];
  return {
    study,
    ...matched(valuesOf(y), valuesOf(x)),
    visits: { before: visitName(y.before), at: visitName(y.after) },
    areChanges: true,
    source: (participants) =>
      joinedSource(
        y.outcome.source(participants, occasions),
        x.outcome.source(participants, occasions),
      ),
  };
}

type Value = { readonly participant: string; readonly arm: string; readonly value: number };

function matched(ys: readonly Value[], xs: readonly Value[]) {
  const other = new Map(xs.map(({ participant, value }) => [participant, value]));
  const points = ys.flatMap(({ participant, arm, value: y }) => {
    const x = other.get(participant);
    return x === undefined ? [] : [{ participant, arm, x, y }];
  });
  const both = new Set(points.map(({ participant }) => participant));
  const either = new Set([...ys, ...xs].map(({ participant }) => participant));
  return { points, unmatched: [...either].filter((participant) => !both.has(participant)) };
}

/**
 * A visit of the design by its id; the first unless named.
 * @throws InputError when the design has no such visit
 */
export function visitOf({ design }: Study, id?: string): Occasion {
  const wanted = id ?? design.occasions[0]?.id;
  const found = design.occasions.find((occasion) => occasion.id === wanted);
  if (found) return found;
  const known = design.occasions.map((occasion) => occasion.id).join(", ");
  throw new InputError({
    expected: `a visit of the design (${known})`,
    got: JSON.stringify(id) ?? "none",
    where: "at",
  });
}

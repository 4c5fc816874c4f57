import { InputError } from "../errors.js";
import type { Outcome } from "./outcome.js";

/** A golfer's two values on one visit. */
export interface VisitPair {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** Week of the visit in the design. */
  readonly week: number;
  /** The value that the other is predicted from. */
  readonly x: number;
  /** The value that is predicted. */
  readonly y: number;
}

/**
 * Every visit of every golfer with both values, in the order of the participants file.
 * @throws InputError when the two outcomes are of different studies
 */
export function visitPairs(y: Outcome, x: Outcome): VisitPair[] {
  if (y.study !== x.study) {
    const expected = "two outcomes of one study";
    throw new InputError({ expected, got: "outcomes of two studies", where: "relateWithin" });
  }
  const key = (participant: string, occasion: string) => JSON.stringify([participant, occasion]);
  const values = new Map(
    x.rows.map(({ participant, occasion, value }) => [key(participant, occasion), value]),
  );
  return y.rows.flatMap(({ participant, arm, occasion, week, value }) => {
    const other = values.get(key(participant, occasion));
    return other === undefined ? [] : [{ participant, arm, week, x: other, y: value }];
  });
}

/** The rows of each golfer, in the order of the list. */
export function byGolfer<Row extends { readonly participant: string }>(
  rows: readonly Row[],
): Map<string, Row[]> {
  const golfers = new Map<string, Row[]>();
  for (const row of rows) {
    const own = golfers.get(row.participant);
    if (own) own.push(row);
    else golfers.set(row.participant, [row]);
  }
  return golfers;
}

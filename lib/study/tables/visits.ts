import { wholeAt } from "../../entry.js";
import type { Trials } from "../check/trials.js";
import { CodedValues } from "./columns.js";
import { groupRows } from "./groups.js";

/**
 * The trials that took place, ordered by person, occasion, hand and place. Trials that did not count
 * belong to it, for they took place too; rows that could not be read do not.
 */
export interface Visits {
  /** The trials of the file. */
  readonly trials: Trials;
  /** Rows of the file, in that order. */
  readonly order: Int32Array;
  /** Where each person's rows begin in `order`; one more place for the end. */
  readonly personStarts: Int32Array;
}

/** Sorts the trials that took place by person, occasion, hand and place. */
export function visitsOf(trials: Trials, people: number, occasions: number): Visits {
  const { rows, person, occasion, hand, place, places } = trials;
  const errors = rows.fates.reasons.map(({ by }) => by === "error" || by === "mapping");
  const { codes } = rows.fates;
  const happened: Int32Array = errors.includes(true)
    ? Int32Array.from(
        range(rows.rowCount).filter((i) => codes[i] === 0 || !errors[wholeAt(codes, i) - 1]),
      )
    : range(rows.rowCount);
  const pick = (column: Int32Array, count: number) => {
    const picked = new Int32Array(happened.length);
    for (let i = 0; i < picked.length; i++) picked[i] = wholeAt(column, wholeAt(happened, i));
    return new CodedValues(picked, new Array<null>(Math.max(1, count)).fill(null));
  };
  const columns = [
    pick(person, people),
    pick(occasion, occasions),
    pick(hand, 2),
    pick(place, places.length),
  ];
  const groups = groupRows(columns, happened.length);
  const order = groups.order.map((i) => wholeAt(happened, i));
  return { trials, order, personStarts: startsOf(order, person, people) };
}

function range(count: number): Int32Array {
  const rows = new Int32Array(count);
  for (let i = 0; i < count; i++) rows[i] = i;
  return rows;
}

function startsOf(order: Int32Array, person: Int32Array, people: number): Int32Array {
  const starts = new Int32Array(people + 1);
  for (const row of order)
    starts[wholeAt(person, row) + 1] = wholeAt(starts, wholeAt(person, row) + 1) + 1;
  for (let p = 0; p < people; p++) starts[p + 1] = wholeAt(starts, p + 1) + wholeAt(starts, p);
  return starts;
}

/** A person's rows, by occasion, hand and place. */
export function rowsOfPerson({ order, personStarts }: Visits, person: number): Int32Array {
  return order.subarray(wholeAt(personStarts, person), wholeAt(personStarts, person + 1));
}

/** Cuts rows wherever a column's value changes; rows must be ordered by it. */
export function runsBy(rows: Int32Array, key: (row: number) => number): Int32Array[] {
  const runs: Int32Array[] = [];
  let from = 0;
  for (let i = 1; i <= rows.length; i++) {
    if (i < rows.length && key(wholeAt(rows, i)) === key(wholeAt(rows, from))) continue;
    runs.push(rows.subarray(from, i));
    from = i;
  }
  return runs;
}

/** Rows that count, of those that took place. */
export function counted({ rows }: Trials, happened: Int32Array): Int32Array {
  if (rows.fates.reasons.length === 0) return happened;
  return happened.filter((row) => rows.fates.codes[row] === 0);
}

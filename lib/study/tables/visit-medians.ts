import { realAt, wholeAt } from "../../entry.js";
import { medianInPlace } from "../../num/median.js";
import type { Visits } from "./visits.js";

/** Room for the values of one person, used again and again so that a million rows need no more. */
export type Scratch = Float64Array;

/** The median of a column over some rows. */
export function medianOver(column: Float64Array, rows: Int32Array, scratch: Scratch): number {
  for (let i = 0; i < rows.length; i++) scratch[i] = realAt(column, wholeAt(rows, i));
  return medianInPlace(scratch, rows.length);
}

/** Room for the rows of the person with most of them. */
export function scratchFor({ personStarts }: Visits): Scratch {
  let most = 0;
  for (let p = 1; p < personStarts.length; p++)
    most = Math.max(most, wholeAt(personStarts, p) - wholeAt(personStarts, p - 1));
  return new Float64Array(most);
}

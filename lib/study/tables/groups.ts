import { present, realAt, wholeAt } from "../../entry.js";
import type { CodedValues } from "./columns.js";

/** Rows of a table by group: the rows of group g are `order[starts[g]] … order[starts[g + 1] − 1]`. */
export interface Groups {
  /** Number of groups. */
  readonly count: number;
  /** Where the rows of each group begin in `order`; one more place for the end. */
  readonly starts: Int32Array;
  /** Rows of the table, group by group. */
  readonly order: Int32Array;
}

/**
 * Groups rows by several coded columns, in the order of their codes, by counting: linear in rows.
 */
export function groupRows(columns: readonly CodedValues<unknown>[], rowCount: number): Groups {
  const { keys, span } = keysOf(columns, rowCount);
  const { groupOf, count } = span <= 4 * rowCount + 1_000_000 ? dense(keys, span) : sparse(keys);
  const starts = new Int32Array(count + 1);
  for (let i = 0; i < rowCount; i++)
    starts[wholeAt(groupOf, i) + 1] = wholeAt(starts, wholeAt(groupOf, i) + 1) + 1;
  for (let g = 0; g < count; g++) starts[g + 1] = wholeAt(starts, g + 1) + wholeAt(starts, g);
  const next = starts.slice(0, count);
  const order = new Int32Array(rowCount);
  for (let i = 0; i < rowCount; i++) {
    const group = wholeAt(groupOf, i);
    order[wholeAt(next, group)] = i;
    next[group] = wholeAt(next, group) + 1;
  }
  return { count, starts, order };
}

function keysOf(columns: readonly CodedValues<unknown>[], rowCount: number) {
  const keys = new Float64Array(rowCount);
  let span = 1;
  for (const { codes, values } of columns) {
    const width = Math.max(1, values.length);
    span *= width;
    const whole = codes instanceof Int32Array ? codes : Int32Array.from(codes);
    for (let i = 0; i < rowCount; i++) keys[i] = realAt(keys, i) * width + wholeAt(whole, i);
  }
  return { keys, span };
}

function dense(keys: Float64Array, span: number) {
  const places = new Int32Array(span);
  for (let i = 0; i < keys.length; i++) places[realAt(keys, i)] = 1;
  let count = 0;
  for (let key = 0; key < span; key++) if (places[key] === 1) places[key] = count++;
  const groupOf = new Int32Array(keys.length);
  for (let i = 0; i < groupOf.length; i++) groupOf[i] = wholeAt(places, realAt(keys, i));
  return { groupOf, count };
}

function sparse(keys: Float64Array) {
  const sorted = Float64Array.from(new Set(keys)).sort();
  const places = new Map<number, number>();
  for (const key of sorted) places.set(key, places.size);
  return { groupOf: Int32Array.from(keys, (key) => present(places.get(key))), count: places.size };
}

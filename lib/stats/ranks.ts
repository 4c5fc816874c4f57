import { itemAt, wholeAt } from "../entry.js";

/**
 * Midranks: 1 for the smallest value, tied values share the mean of the ranks they take up.
 * Values tie only when they are equal.
 */
export function midranks(x: ArrayLike<number>): Float64Array {
  const order = Uint32Array.from({ length: x.length }, (_, i) => i).sort(
    (i, j) => itemAt(x, i) - itemAt(x, j),
  );
  const ranks = new Float64Array(x.length);
  for (let first = 0; first < order.length; ) {
    let next = first + 1;
    while (next < order.length && x[wholeAt(order, next)] === x[wholeAt(order, first)]) next++;
    for (let k = first; k < next; k++) ranks[wholeAt(order, k)] = (first + next + 1) / 2;
    first = next;
  }
  return ranks;
}

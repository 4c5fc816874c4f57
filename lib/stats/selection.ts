import { realAt } from "../entry.js";

/**
 * Puts the k-th smallest value (from 0) of `values` in its place, nothing larger before it and
 * nothing smaller after it, in time linear in their number on average; sorts only what it must.
 * @see Hoare (1961) Algorithm 65: FIND. Commun ACM 4:321–322
 */
export function placeSmallest(values: Float64Array, k: number): number {
  let from = 0;
  let to = values.length - 1;
  while (from < to) {
    const pivot = medianOfThree(
      realAt(values, from),
      realAt(values, (from + to) >> 1),
      realAt(values, to),
    );
    let i = from;
    let j = to;
    while (i <= j) {
      while (realAt(values, i) < pivot) i++;
      while (realAt(values, j) > pivot) j--;
      if (i <= j) {
        const swapped = realAt(values, i);
        values[i++] = realAt(values, j);
        values[j--] = swapped;
      }
    }
    if (k <= j) to = j;
    else if (k >= i) from = i;
    else break; // between j and i all equal the pivot
  }
  return realAt(values, k);
}

function medianOfThree(a: number, b: number, c: number): number {
  return a < b ? Math.max(a, Math.min(b, c)) : Math.max(b, Math.min(a, c));
}

/**
 * Quantile of R replicates: the (R + 1)p-th smallest, linear between neighbours, the extreme one
 * beyond the ends. Reorders the replicates.
 * @see Davison & Hinkley (1997) Bootstrap Methods and their Application, section 5.2.1
 */
export function replicateQuantile(replicates: Float64Array, p: number): number {
  const last = replicates.length - 1;
  const place = (replicates.length + 1) * p - 1;
  const below = Math.floor(place);
  if (below < 0) return placeSmallest(replicates, 0);
  if (below >= last) return placeSmallest(replicates, last);
  const low = placeSmallest(replicates, below);
  let next = realAt(replicates, below + 1);
  for (let i = below + 2; i <= last; i++) next = Math.min(next, realAt(replicates, i));
  return low + (place - below) * (next - low);
}

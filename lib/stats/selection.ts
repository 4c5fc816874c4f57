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
    const pivot =
      to - from > MANY ? likelyNeighbour(values, from, to, k) : middleOne(values, from, to);
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

/** The median of the first, the middle and the last value. */
function middleOne(values: Float64Array, from: number, to: number): number {
  const a = realAt(values, from);
  const b = realAt(values, (from + to) >> 1);
  const c = realAt(values, to);
  return a < b ? Math.max(a, Math.min(b, c)) : Math.max(b, Math.min(a, c));
}

/** From so many values on, a sample of them shows where the k-th lies. */
const MANY = 600;
/** Values in the sample, taken at equal steps. */
const SAMPLE = 32;

/**
 * A value a little further from the nearer end than the k-th smallest probably is. One pass with it
 * leaves few values beside the k-th, where the median would leave half of them.
 * @see Floyd & Rivest (1975) Commun ACM 18:165–172
 */
function likelyNeighbour(values: Float64Array, from: number, to: number, k: number): number {
  const sample = new Float64Array(SAMPLE);
  const step = (to - from) / (SAMPLE - 1);
  for (let i = 0; i < SAMPLE; i++) sample[i] = realAt(values, from + Math.floor(i * step));
  sample.sort();
  const at = ((k - from) / (to - from)) * (SAMPLE - 1);
  return realAt(sample, at < SAMPLE / 2 ? Math.ceil(at) + 1 : Math.floor(at) - 1);
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
  for (let i = below + 2; i <= last; i++) {
    const value = realAt(replicates, i);
    if (value < next) next = value; // by comparison: Math.min takes three times as long
  }
  return low + (place - below) * (next - low);
}

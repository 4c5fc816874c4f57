/**
 * Sums that keep their digits. Every addition also keeps its own rounding error (Knuth's exact
 * two-sum), so a total is right to the last bit or two whatever the order and the offsets.
 *
 * @see Neumaier (1974) Z Angew Math Mech 54:39–51; Ogita, Rump, Oishi (2005) SIAM J Sci Comput 26:1955–1988
 */
import { itemAt } from "../entry.js";
import { twoProductError } from "./doubled.js";

type Column = ArrayLike<number>;

/** Total of a column; 0 for an empty one. */
export function sum(x: Column): number {
  let total = 0;
  let lost = 0;
  for (let i = 0; i < x.length; i++) {
    const value = itemAt(x, i);
    const next = total + value;
    const back = next - total;
    lost += total - (next - back) + (value - back);
    total = next;
  }
  return total + lost;
}

/** Total of the squares of x − origin, x and origin as they are (no mean is subtracted). */
export function sumOfSquares(x: Column, origin = 0): number {
  let total = 0;
  let lost = 0;
  for (let i = 0; i < x.length; i++) {
    const value = itemAt(x, i) - origin;
    const square = value * value;
    const next = total + square;
    const back = next - total;
    lost += total - (next - back) + (square - back);
    total = next;
  }
  return total + lost;
}

/** Arithmetic mean, by way of the first value so that a large common offset costs no digits. */
export function mean(x: Column): number {
  const origin = itemAt(x, 0);
  return origin + meanFrom(x, origin);
}

/** Mean of x − origin. */
function meanFrom(x: Column, origin: number): number {
  let total = 0;
  let lost = 0;
  for (let i = 0; i < x.length; i++) {
    // both the subtraction and the addition keep what they round away
    const value = itemAt(x, i) - origin;
    const part = value - itemAt(x, i);
    lost += itemAt(x, i) - (value - part) - (origin + part);
    const next = total + value;
    const back = next - total;
    lost += total - (next - back) + (value - back);
    total = next;
  }
  return (total + lost) / x.length;
}

/**
 * Sum of squared deviations from the mean.
 *
 * The deviations are taken from `centre` and the result corrected for what `centre` misses, so a
 * mean that was rounded does no harm: Σ(x − c)² − (Σ(x − c))² / n.
 *
 * @param centre the mean, or a number near it
 * @see Chan, Golub, LeVeque (1983) Am Stat 37:242–247 (the corrected two-pass algorithm)
 */
export function sumOfSquaredDeviations(x: Column, centre = mean(x)): number {
  return sumOfProducts(x, centre, x, centre);
}

/** Sum of products of the deviations of two columns from their means; the centres as above. */
export function sumOfProductDeviations(
  x: Column,
  y: Column,
  xCentre = mean(x),
  yCentre = mean(y),
): number {
  return sumOfProducts(x, xCentre, y, yCentre);
}

function sumOfProducts(x: Column, xCentre: number, y: Column, yCentre: number): number {
  let total = 0;
  let lost = 0;
  let xSum = 0;
  let ySum = 0;
  for (let i = 0; i < x.length; i++) {
    const dx = itemAt(x, i) - xCentre;
    const dy = itemAt(y, i) - yCentre;
    xSum += dx;
    ySum += dy;
    const product = dx * dy;
    const next = total + product;
    const back = next - total;
    lost += total - (next - back) + (product - back) + twoProductError(dx, dy, product);
    total = next;
  }
  return total + (lost - (xSum * ySum) / x.length);
}

/** Sums of squares between and within groups, all taken from one centre near the grand mean. */
export interface GroupSums {
  /** Sum of squares of the group means about the grand mean, weighted by group size. */
  readonly between: number;
  /** Sum of squares of the values about their group's mean. */
  readonly within: number;
  /** Degrees of freedom between groups: groups − 1. */
  readonly dfBetween: number;
  /** Degrees of freedom within groups: values − groups. */
  readonly dfWithin: number;
}

/**
 * One-way sums of squares: between Σ nⱼ(mⱼ − m)², within Σ Σ(x − mⱼ)².
 *
 * Means are carried as distances from the first value, so that groups near 10¹² that differ by
 * tenths keep the digits their data have.
 */
export function groupSums(groups: readonly Column[]): GroupSums {
  const origin = itemAt(itemAt(groups, 0), 0);
  const offsets = groups.map((group) => meanFrom(group, origin));
  const n = groups.reduce((count, group) => count + group.length, 0);
  const grand = sum(offsets.map((offset, j) => offset * itemAt(groups, j).length)) / n;
  const between = sum(offsets.map((offset, j) => itemAt(groups, j).length * (offset - grand) ** 2));
  const within = sum(groups.map((group, j) => withinSum(group, origin, itemAt(offsets, j))));
  return { between, within, dfBetween: groups.length - 1, dfWithin: n - groups.length };
}

function withinSum(group: Column, origin: number, offset: number): number {
  // a loop, because `from` with a function takes far longer
  const shifted = new Float64Array(group.length);
  for (let i = 0; i < shifted.length; i++) shifted[i] = itemAt(group, i) - origin;
  return sumOfSquaredDeviations(shifted, offset);
}

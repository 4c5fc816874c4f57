import { itemAt, realAt } from "../entry.js";

/**
 * Arithmetic with twice the digits: a number is the unevaluated sum of two doubles, high + low.
 * Used where a result must survive cancellation: residuals in iterative refinement.
 *
 * @see Dekker (1971) Numer Math 18:224–242; Ogita, Rump, Oishi (2005) SIAM J Sci Comput 26:1955–1988
 */

const SPLITTER = 134217729; // 2²⁷ + 1, Veltkamp's constant for 53-bit doubles

/** The rounding error of `product` = a · b, exactly (Dekker's product; no overflow below 1e300). */
export function twoProductError(a: number, b: number, product: number): number {
  const aScaled = SPLITTER * a;
  const aHigh = aScaled - (aScaled - a);
  const aLow = a - aHigh;
  const bScaled = SPLITTER * b;
  const bHigh = bScaled - (bScaled - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

/** A vector of doubled numbers. */
export interface DoubledVector {
  /** The leading halves of the values. */
  readonly high: Float64Array;
  /** What rounding cut off from each leading half. */
  readonly low: Float64Array;
}

export function doubledVector(high: Float64Array): DoubledVector {
  return { high, low: new Float64Array(high.length) };
}

/** vector += correction, each pair kept in normal form. */
export function addTo({ high, low }: DoubledVector, correction: ArrayLike<number>): void {
  for (let i = 0; i < high.length; i++) {
    const before = realAt(high, i);
    const change = itemAt(correction, i);
    const total = before + change;
    const back = total - before;
    const rest = realAt(low, i) + (before - (total - back) + (change - back));
    high[i] = total + rest;
    low[i] = total - realAt(high, i) + rest;
  }
}

/** vector −= other. */
export function subtractFrom({ high, low }: DoubledVector, other: DoubledVector): void {
  for (let i = 0; i < high.length; i++) {
    const before = realAt(high, i);
    const change = -realAt(other.high, i);
    const total = before + change;
    const back = total - before;
    low[i] = realAt(low, i) + before - (total - back) + (change - back) - realAt(other.low, i);
    high[i] = total;
  }
}

/** vector −= (factor + factorLow) · column. */
export function subtractMultiple(
  { high, low }: DoubledVector,
  column: Float64Array,
  factor: number,
  factorLow: number,
): void {
  for (let i = 0; i < high.length; i++) {
    const a = realAt(column, i);
    const product = -factor * a;
    const before = realAt(high, i);
    const total = before + product;
    const back = total - before;
    const lost = before - (total - back) + (product - back);
    low[i] = realAt(low, i) + lost + twoProductError(-factor, a, product) - factorLow * a;
    high[i] = total;
  }
}

/** start − column · vector, rounded once at the end. */
export function minusProduct(start: number, column: Float64Array, vector: DoubledVector): number {
  let high = start;
  let low = 0;
  for (let i = 0; i < column.length; i++) {
    const a = -realAt(column, i);
    const b = realAt(vector.high, i);
    const product = a * b;
    const total = high + product;
    const back = total - high;
    const lost = high - (total - back) + (product - back);
    low += lost + twoProductError(a, b, product) + a * realAt(vector.low, i);
    high = total;
  }
  return high + low;
}

/** Sum of squares, rounded once at the end. */
export function squaredNorm(column: ArrayLike<number>): number {
  let high = 0;
  let low = 0;
  for (let i = 0; i < column.length; i++) {
    const a = itemAt(column, i);
    const square = a * a;
    const total = high + square;
    const back = total - high;
    low += high - (total - back) + (square - back) + twoProductError(a, a, square);
    high = total;
  }
  return high + low;
}

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

/** A running total of numbers and products, kept as high + low. */
export class DoubledSum {
  high = 0;
  low = 0;

  reset(): this {
    this.high = 0;
    this.low = 0;
    return this;
  }

  add(value: number): this {
    const next = this.high + value;
    const back = next - this.high;
    this.low += this.high - (next - back) + (value - back);
    this.high = next;
    return this;
  }

  addProduct(a: number, b: number): this {
    const product = a * b;
    this.low += twoProductError(a, b, product);
    return this.add(product);
  }

  value(): number {
    return this.high + this.low;
  }
}

/** A vector of doubled numbers that is corrected step by step. */
export interface DoubledVector {
  readonly high: Float64Array;
  readonly low: Float64Array;
}

export function doubledZeros(length: number): DoubledVector {
  return { high: new Float64Array(length), low: new Float64Array(length) };
}

/** Adds a correction to every element, keeping each pair in normal form. */
export function addTo(vector: DoubledVector, correction: ArrayLike<number>): void {
  for (let i = 0; i < correction.length; i++) {
    const high = vector.high[i]!;
    const change = correction[i]!;
    const next = high + change;
    const back = next - high;
    const low = vector.low[i]! + (high - (next - back) + (change - back));
    vector.high[i] = next + low;
    vector.low[i] = next - vector.high[i]! + low;
  }
}

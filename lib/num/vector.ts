import { realAt } from "../entry.js";

/** Largest absolute value, 0 for an empty vector. */
export function largest(vector: Float64Array): number {
  let most = 0;
  for (const x of vector) most = Math.max(most, Math.abs(x));
  return most;
}

/** Inner product of two vectors of one length. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += realAt(a, i) * realAt(b, i);
  return sum;
}

/** a ← a − factor·b */
export function subtract(a: Float64Array, b: Float64Array, factor: number): void {
  for (let i = 0; i < a.length; i++) a[i] = realAt(a, i) - factor * realAt(b, i);
}

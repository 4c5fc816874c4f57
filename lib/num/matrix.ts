/**
 * Small dense matrices, row by row in one typed array. The caller keeps the sizes; nothing here is
 * meant for matrices with a row per observation.
 */
import { realAt } from "../entry.js";

/** A · B, of n × m by m × k. */
export function multiply(
  a: Float64Array,
  b: Float64Array,
  [n, m, k]: readonly [number, number, number],
): Float64Array {
  const product = new Float64Array(n * k);
  for (let i = 0; i < n; i++) {
    for (let l = 0; l < m; l++) {
      const left = realAt(a, i * m + l);
      if (left === 0) continue;
      for (let j = 0; j < k; j++)
        product[i * k + j] = realAt(product, i * k + j) + left * realAt(b, l * k + j);
    }
  }
  return product;
}

/** Aᵀ of an n × m matrix. */
export function transposed(a: Float64Array, n: number, m: number): Float64Array {
  const turned = new Float64Array(n * m);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < m; j++) turned[j * n + i] = realAt(a, i * m + j);
  }
  return turned;
}

/** L A Lᵀ, of a q × p matrix L and a p × p matrix A. */
export function sandwich(l: Float64Array, a: Float64Array, q: number, p: number): Float64Array {
  return multiply(multiply(l, a, [q, p, p]), transposed(l, q, p), [q, p, q]);
}

/** Trace of A · B, both p × p. */
export function traceOfProduct(a: Float64Array, b: Float64Array, p: number): number {
  let trace = 0;
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) trace += realAt(a, i * p + j) * realAt(b, j * p + i);
  }
  return trace;
}

/** A vector's wᵀ A w. */
export function quadratic(a: Float64Array, w: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < w.length; i++) {
    for (let j = 0; j < w.length; j++)
      sum += realAt(w, i) * realAt(a, i * w.length + j) * realAt(w, j);
  }
  return sum;
}

/** A + factor · B in place. */
export function addMultiple(a: Float64Array, b: Float64Array, factor: number): void {
  for (let i = 0; i < a.length; i++) a[i] = realAt(a, i) + factor * realAt(b, i);
}

/** The rows of a matrix as plain lists, which JSON keeps: 0 for −0. */
export function rowsOf(a: Float64Array, columns: number): number[][] {
  const rows: number[][] = [];
  for (let at = 0; at < a.length; at += columns) {
    const row = new Array<number>(columns);
    for (let j = 0; j < columns; j++) row[j] = 0 + realAt(a, at + j);
    rows.push(row);
  }
  return rows;
}

/** A matrix from its rows. */
export function fromRows(rows: readonly (readonly number[])[]): Float64Array {
  return Float64Array.from(rows.flat());
}

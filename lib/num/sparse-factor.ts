import { itemAt, realAt, wholeAt } from "../entry.js";

/** The pattern of a symmetric matrix and of its factor: below the diagonal, column by column. */
export interface SparsePattern {
  /** Rows, and columns, of the matrix. */
  readonly size: number;
  /** Place of the first entry of each column, and the number of entries at the end. */
  readonly starts: Int32Array;
  /** Row of each entry, ascending within a column. */
  readonly rows: Int32Array;
}

/**
 * A symmetric matrix that moves along a curve: each entry with its first and second derivative.
 * The factor takes its place.
 */
export interface SparseJet {
  /** Diagonal entries, then (after factoring) the pivots: value, first, second derivative. */
  readonly diagonal: readonly [Float64Array, Float64Array, Float64Array];
  /** Entries of the pattern, then (after factoring) those of the unit lower factor. */
  readonly below: readonly [Float64Array, Float64Array, Float64Array];
}

/**
 * The pattern of the factor L of A = LDLᵀ: entries of A and those that elimination fills in.
 *
 * @param neighbours for each column the rows below the diagonal in which A has an entry
 * @see Davis (2006) Direct methods for sparse linear systems, sect. 4.3
 */
export function factorPattern(neighbours: readonly Iterable<number>[]): SparsePattern {
  const size = neighbours.length;
  const columns: Int32Array[] = [];
  const children: number[][] = neighbours.map(() => []);
  const starts = new Int32Array(size + 1);
  neighbours.forEach((rowsBelow, j) => {
    const rows = new Set(rowsBelow);
    for (const child of itemAt(children, j)) {
      for (const row of itemAt(columns, child)) if (row > j) rows.add(row);
    }
    const column = Int32Array.from(rows).sort();
    columns.push(column);
    // A column passes what it fills in to the first column that it reaches.
    if (column.length > 0) itemAt(children, wholeAt(column, 0)).push(j);
    starts[j + 1] = wholeAt(starts, j) + column.length;
  });
  const rows = new Int32Array(wholeAt(starts, size));
  columns.forEach((column, j) => {
    rows.set(column, wholeAt(starts, j));
  });
  return { size, starts, rows };
}

/** A matrix of a pattern with all entries 0. */
export function emptyJet({ size, rows }: SparsePattern): SparseJet {
  const triple = (length: number) =>
    [new Float64Array(length), new Float64Array(length), new Float64Array(length)] as const;
  return { diagonal: triple(size), below: triple(rows.length) };
}

/**
 * Factors A = LDLᵀ in place for the first `count` columns and leaves in the others what remains
 * of A (its Schur complement), with first and second derivatives where `order` says.
 *
 * @param order 0, 1 or 2: how many derivatives are carried along
 * @returns whether all pivots were positive
 * @see Davis (2006) Direct methods for sparse linear systems, sect. 4.7 (by columns, to the right)
 */
export function factorJet(
  { starts, rows }: SparsePattern,
  { diagonal, below }: SparseJet,
  [from, to]: readonly [number, number],
  order: 0 | 1 | 2,
): boolean {
  const [d0, d1, d2] = diagonal;
  const [b0, b1, b2] = below;
  for (let j = from; j < to; j++) {
    const p0 = realAt(d0, j);
    if (!(p0 > 0)) return false;
    const p1 = realAt(d1, j);
    const p2 = realAt(d2, j);
    const end = wholeAt(starts, j + 1);
    for (let one = wholeAt(starts, j); one < end; one++) {
      const a0 = realAt(b0, one);
      const a1 = realAt(b1, one);
      const a2 = realAt(b2, one);
      const l0 = a0 / p0;
      const l1 = order > 0 ? (a1 - l0 * p1) / p0 : 0;
      const l2 = order > 1 ? (a2 - 2 * l1 * p1 - l0 * p2) / p0 : 0;
      const i = wholeAt(rows, one);
      d0[i] = realAt(d0, i) - l0 * a0;
      if (order > 0) d1[i] = realAt(d1, i) - (l0 * a1 + l1 * a0);
      if (order > 1) d2[i] = realAt(d2, i) - (l0 * a2 + 2 * l1 * a1 + l2 * a0);
      let target = wholeAt(starts, i);
      for (let other = one + 1; other < end; other++) {
        const row = wholeAt(rows, other);
        while (wholeAt(rows, target) < row) target++;
        b0[target] = realAt(b0, target) - l0 * realAt(b0, other);
        if (order === 0) continue;
        b1[target] = realAt(b1, target) - (l0 * realAt(b1, other) + l1 * realAt(b0, other));
        if (order === 1) continue;
        b2[target] =
          realAt(b2, target) -
          (l0 * realAt(b2, other) + 2 * l1 * realAt(b1, other) + l2 * realAt(b0, other));
      }
    }
    for (let one = wholeAt(starts, j); one < end; one++) {
      const l0 = realAt(b0, one) / p0;
      const l1 = order > 0 ? (realAt(b1, one) - l0 * p1) / p0 : 0;
      if (order > 1) b2[one] = (realAt(b2, one) - 2 * l1 * p1 - l0 * p2) / p0;
      if (order > 0) b1[one] = l1;
      b0[one] = l0;
    }
  }
  return true;
}

/**
 * The vector v whose last entry is −1 and that the factored A takes to a multiple of the last unit
 * vector: Lᵀv = −e. With A = [M B; Bᵀ C] and one last row, the entries before are M⁻¹b.
 */
export function backFromLast({ size, starts, rows }: SparsePattern, { below }: SparseJet) {
  const v = new Float64Array(size);
  v[size - 1] = -1;
  for (let j = size - 2; j >= 0; j--) {
    let sum = 0;
    for (let at = wholeAt(starts, j); at < wholeAt(starts, j + 1); at++)
      sum -= realAt(below[0], at) * realAt(v, wholeAt(rows, at));
    v[j] = sum;
  }
  return v;
}

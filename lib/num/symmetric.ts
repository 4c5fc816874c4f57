import { realAt } from "../entry.js";

/** Eigenvalues of a symmetric matrix and their vectors. */
export interface Eigen {
  /** From the largest down. */
  readonly values: Float64Array;
  /** One unit vector per value, in the same order. */
  readonly vectors: readonly Float64Array[];
}

/** Sweeps after which rotations cannot change a double any more; six or seven are usual. */
const MOST_SWEEPS = 60;

/**
 * Eigenvalues and vectors of a small symmetric matrix, by Jacobi's rotations, which keep the
 * relative accuracy of small eigenvalues of positive definite matrices.
 *
 * @param matrix `size` × `size`, row by row; only its symmetric part counts
 * @see Golub, Van Loan (2013) Matrix computations, sect. 8.5; Demmel, Veselić (1992) SIAM J Matrix
 *   Anal Appl 13:1204–1245
 */
export function symmetricEigen(matrix: Float64Array, size: number): Eigen {
  const a = matrix.map((_, at) => {
    const [i, j] = [Math.floor(at / size), at % size];
    return (realAt(matrix, i * size + j) + realAt(matrix, j * size + i)) / 2;
  });
  const v = new Float64Array(size * size);
  for (let i = 0; i < size; i++) v[i * size + i] = 1;
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let turned = false;
    for (let i = 0; i < size; i++) {
      for (let j = i + 1; j < size; j++) turned = rotate(a, v, size, i, j) || turned;
    }
    if (!turned) break;
  }
  const order = Array.from({ length: size }, (_, i) => i).sort(
    (i, j) => realAt(a, j * size + j) - realAt(a, i * size + i),
  );
  return {
    values: Float64Array.from(order, (i) => realAt(a, i * size + i)),
    vectors: order.map((i) =>
      Float64Array.from({ length: size }, (_, k) => realAt(v, k * size + i)),
    ),
  };
}

/** One rotation that clears the entry (i, j); false when nothing visible is there. */
function rotate(a: Float64Array, v: Float64Array, size: number, i: number, j: number): boolean {
  const off = realAt(a, i * size + j);
  const one = realAt(a, i * size + i);
  const other = realAt(a, j * size + j);
  if (Math.abs(off) <= 1e-17 * Math.sqrt(Math.abs(one * other)) || off === 0) return false;
  const cot = (other - one) / (2 * off);
  const tan = Math.sign(cot || 1) / (Math.abs(cot) + Math.hypot(1, cot));
  if (one + tan * off === one && other + tan * off === other && Math.abs(tan) < 1e-300)
    return false;
  const cos = 1 / Math.hypot(1, tan);
  const sin = tan * cos;
  for (let k = 0; k < size; k++) turn(a, k * size + i, k * size + j, cos, sin);
  for (let k = 0; k < size; k++) turn(a, i * size + k, j * size + k, cos, sin);
  for (let k = 0; k < size; k++) turn(v, k * size + i, k * size + j, cos, sin);
  a[i * size + j] = 0;
  a[j * size + i] = 0;
  return true;
}

function turn(a: Float64Array, i: number, j: number, cos: number, sin: number): void {
  const one = realAt(a, i);
  const other = realAt(a, j);
  a[i] = cos * one - sin * other;
  a[j] = sin * one + cos * other;
}

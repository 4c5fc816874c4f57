import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { squaredNorm } from "./doubled.js";
import { householder, inverseColumn, leverages, refine } from "./orthogonal.js";
import { largest } from "./vector.js";

type Column = ArrayLike<number>;

/**
 * Lower triangular L with A = L Lᵀ, row-major, for a symmetric positive definite A of `size` rows;
 * nothing when A is not positive definite.
 */
export function cholesky(matrix: ArrayLike<number>, size: number): Float64Array | undefined {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = matrix[i * size + j] ?? Number.NaN;
      for (let k = 0; k < j; k++)
        rest -= realAt(factor, i * size + k) * realAt(factor, j * size + k);
      if (i !== j) factor[i * size + j] = rest / realAt(factor, j * size + j);
      else if (rest > 0) factor[i * size + i] = Math.sqrt(rest);
      else return undefined;
    }
  }
  return factor;
}

/** Solves A x = b from the Cholesky factor of A. */
export function solveCholesky(factor: Float64Array, right: ArrayLike<number>): Float64Array {
  const size = right.length;
  const x = new Float64Array(right); // not `from`, which takes five times as long for a few numbers
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i] = realAt(x, i) - realAt(factor, i * size + k) * realAt(x, k);
    x[i] = realAt(x, i) / realAt(factor, i * size + i);
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++)
      x[i] = realAt(x, i) - realAt(factor, k * size + i) * realAt(x, k);
    x[i] = realAt(x, i) / realAt(factor, i * size + i);
  }
  return x;
}

/** Inverse of a positive definite matrix from its Cholesky factor, row-major. */
export function invertCholesky(factor: Float64Array, size: number): Float64Array {
  const inverse = new Float64Array(size * size);
  const unit = new Float64Array(size);
  for (let j = 0; j < size; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = solveCholesky(factor, unit);
    for (let i = 0; i < size; i++) inverse[i * size + j] = realAt(column, i);
  }
  return inverse;
}

/** A least-squares fit. Vectors are plain typed arrays; n rows, p columns. */
export interface LeastSquares {
  /** One coefficient per column, in their order. */
  readonly coefficients: Float64Array;
  /** (XᵀX)⁻¹, p rows of p: times the residual variance, the covariance of the coefficients. */
  readonly covariance: readonly Float64Array[];
  /** Observed minus fitted, one per row. */
  readonly residuals: Float64Array;
  /** Fitted value of each row. */
  readonly fitted: Float64Array;
  /** Sum of squared residuals. */
  readonly residualSum: number;
  /** Diagonal of the hat matrix, computed when it is asked for. */
  readonly leverage: Float64Array;
  /** n − p. */
  readonly df: number;
}

/**
 * Least squares of y on the given columns (add a column of ones for an intercept).
 *
 * Columns are scaled to like size by powers of two, factored by Householder reflections, and the
 * coefficients, the residuals and (XᵀX)⁻¹ are each improved by iterative refinement of the
 * augmented system with residuals in doubled precision. On NIST's ill-conditioned sets this gives
 * the digits that the data as doubles carry; normal equations give none.
 *
 * For lib/stats/regression.ts: standard errors are √(s²·covariance[j][j]) with s² = residualSum/df;
 * R² needs the total sum of squares from num/sums.ts. `names` and
 * `where` are used in the error alone.
 *
 * @throws InputError when there are fewer rows than columns, or when a column is (to rounding) a
 *   combination of those before it; the message names it
 * @see Björck (1967) BIT 7:257–278; Demmel, Hida, Riedy, Li (2009) ACM Trans Math Softw 35(4):28
 */
export function leastSquares(
  columns: readonly Column[],
  y: Column,
  names: readonly string[] = columns.map((_, j) => `column ${j}`),
  where = "leastSquares",
): LeastSquares {
  const n = y.length;
  const p = columns.length;
  if (n < p) {
    const expected = `at least ${p} rows for ${p} columns`;
    throw new InputError({ expected, got: `${n}`, where });
  }
  const observed = Float64Array.from(y);
  const scales = columns.map(powerOfTwoScale);
  const scaled = columns.map((column, j) => multiple(column, itemAt(scales, j)));
  const factor = householder(scaled, names, where);
  const fit = refine(scaled, factor, observed, new Float64Array(p));
  const inverse = scales.map((_, j) => inverseColumn(scaled, factor, j, fit.rounding, n));
  const covariance = inverse.map((column, j) =>
    column.map((v, i) => v * itemAt(scales, i) * itemAt(scales, j)),
  );
  const residuals = fit.r.high;
  // An exact fit leaves the rounding of doubled arithmetic, which says nothing of any error.
  if (largest(residuals) <= NOTHING_LEFT * largest(observed)) residuals.fill(0);
  let hat: Float64Array | undefined;
  return {
    coefficients: fit.x.high.map((value, j) => value * itemAt(scales, j)),
    covariance,
    residuals,
    fitted: observed.map((value, i) => value - realAt(residuals, i)),
    residualSum: squaredNorm(residuals),
    get leverage() {
      hat ??= leverages(factor, n, p);
      return hat;
    },
    df: n - p,
  };
}

/** Residuals this small, relative to y, are what doubled arithmetic rounds away. */
const NOTHING_LEFT = 1e-28;

/** A column times a number. Loops like this one run over every row: they are written plainly. */
function multiple(column: Column, factor: number): Float64Array {
  const product = new Float64Array(column.length);
  for (let i = 0; i < product.length; i++) product[i] = itemAt(column, i) * factor;
  return product;
}

/** A power of two that brings a column's length near 1, so that scaling rounds nothing. */
function powerOfTwoScale(column: Column): number {
  const length = Math.sqrt(squaredNorm(column));
  return length > 0 ? 2 ** -Math.round(Math.log2(length)) : 1;
}

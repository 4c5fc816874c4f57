import { InputError } from "../errors.js";
import { addTo, DoubledSum, type DoubledVector, doubledZeros } from "./doubled.js";

type Column = ArrayLike<number>;

/**
 * Lower triangular L with A = L Lᵀ, row-major, for a symmetric positive definite A of `size` rows;
 * nothing when A is not positive definite.
 */
export function cholesky(matrix: ArrayLike<number>, size: number): Float64Array | undefined {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = matrix[i * size + j]!;
      for (let k = 0; k < j; k++) rest -= factor[i * size + k]! * factor[j * size + k]!;
      if (i !== j) factor[i * size + j] = rest / factor[j * size + j]!;
      else if (rest > 0) factor[i * size + i] = Math.sqrt(rest);
      else return undefined;
    }
  }
  return factor;
}

/** Solves A x = b from the Cholesky factor of A. */
export function solveCholesky(factor: Float64Array, right: ArrayLike<number>): Float64Array {
  const size = right.length;
  const x = Float64Array.from(right);
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * size + k]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) x[i]! -= factor[k * size + i]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
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
    for (let i = 0; i < size; i++) inverse[i * size + j] = column[i]!;
  }
  return inverse;
}

/** A least-squares fit. Vectors are plain typed arrays; n rows, p columns. */
export interface LeastSquares {
  readonly coefficients: Float64Array;
  /** (XᵀX)⁻¹, p rows of p: times the residual variance, the covariance of the coefficients. */
  readonly covariance: readonly Float64Array[];
  readonly residuals: Float64Array;
  readonly fitted: Float64Array;
  /** Sum of squared residuals. */
  readonly residualSum: number;
  /** Diagonal of the hat matrix. */
  readonly leverage: Float64Array;
  /** n − p. */
  readonly df: number;
  readonly rank: number;
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
 * R² needs the total sum of squares from num/sums.ts. `names` are used in the error alone.
 *
 * @throws InputError when there are fewer rows than columns, or when a column is (to rounding) a
 *   combination of those before it; the message names it
 * @see Björck (1967) BIT 7:257–278; Demmel, Hida, Riedy, Li (2009) ACM Trans Math Softw 35(4):28
 */
export function leastSquares(
  columns: readonly Column[],
  y: Column,
  names: readonly string[] = columns.map((_, j) => `column ${j}`),
): LeastSquares {
  const n = y.length;
  const p = columns.length;
  if (n < p) {
    const expected = `at least ${p} rows for ${p} columns`;
    throw new InputError({ expected, got: `${n}`, where: "leastSquares" });
  }
  const scales = columns.map(powerOfTwoScale);
  const scaled = columns.map((column, j) => Float64Array.from(column, (x) => x * scales[j]!));
  const factor = householder(scaled, names);
  const fit = refine(scaled, factor, y, new Float64Array(p));
  const zeros = new Float64Array(n);
  const covariance = scales.map((scale, j) => {
    const unit = new Float64Array(p);
    unit[j] = -1;
    const solved = refine(scaled, factor, zeros, unit).x.high;
    return solved.map((value, i) => value * scale * scales[i]!);
  });
  const residuals = fit.r.high;
  return {
    coefficients: fit.x.high.map((value, j) => value * scales[j]!),
    covariance,
    residuals,
    fitted: Float64Array.from(y, (value, i) => value - residuals[i]!),
    residualSum: squaredNorm(residuals),
    leverage: leverages(factor, n, p),
    df: n - p,
    rank: p,
  };
}

/** A power of two that brings a column's length near 1, so that scaling rounds nothing. */
function powerOfTwoScale(column: Column): number {
  const length = Math.sqrt(squaredNorm(column));
  return length > 0 ? 2 ** -Math.round(Math.log2(length)) : 1;
}

function squaredNorm(column: Column): number {
  const total = new DoubledSum();
  for (let i = 0; i < column.length; i++) total.addProduct(column[i]!, column[i]!);
  return total.value();
}

/** Householder vectors (below the diagonal, with their own head) and R. */
interface Factor {
  readonly vectors: Float64Array[];
  /** 2 / vᵀv for each vector. */
  readonly weights: Float64Array;
  /** R by columns: upper[j][i] for i ≤ j. */
  readonly upper: Float64Array[];
}

/** Part of a column's length that must be left once the columns before it are taken out. */
const LEAST_OWN_PART = 1e-13;

function householder(columns: readonly Float64Array[], names: readonly string[]): Factor {
  const factor: Factor = { vectors: [], weights: new Float64Array(columns.length), upper: [] };
  columns.forEach((column, j) => {
    const length = Math.sqrt(squaredNorm(column));
    const work = column.slice();
    applyReflections(factor, work, j);
    const tail = work.subarray(j);
    const own = Math.sqrt(squaredNorm(tail));
    if (!(own > LEAST_OWN_PART * length)) {
      const expected = "a column that is no combination of the others";
      const got = length === 0 ? "only zeros" : "a linear combination of the columns before it";
      throw new InputError({ expected, got, where: `leastSquares, ${names[j]}` });
    }
    const vector = tail.slice();
    const head = vector[0]! >= 0 ? -own : own;
    vector[0]! -= head;
    factor.vectors.push(vector);
    factor.weights[j] = 2 / squaredNorm(vector);
    work[j] = head;
    factor.upper.push(work.slice(0, j + 1));
  });
  return factor;
}

function reflect({ vectors, weights }: Factor, target: Float64Array, j: number): void {
  const vector = vectors[j]!;
  let product = 0;
  for (let i = 0; i < vector.length; i++) product += vector[i]! * target[j + i]!;
  product *= weights[j]!;
  for (let i = 0; i < vector.length; i++) target[j + i]! -= product * vector[i]!;
}

/** Qᵀ times the target, in place, by the first `count` reflections. */
function applyReflections(factor: Factor, target: Float64Array, count: number): void {
  for (let j = 0; j < count; j++) reflect(factor, target, j);
}

interface Augmented {
  readonly r: DoubledVector;
  readonly x: DoubledVector;
}

/**
 * Solves r + A x = b, Aᵀ r = c, by refinement until the corrections no longer shrink.
 * With c = 0 this is least squares; with b = 0 and c = −eⱼ, x is column j of (AᵀA)⁻¹.
 */
function refine(columns: readonly Float64Array[], factor: Factor, b: Column, c: Column): Augmented {
  const r = doubledZeros(b.length);
  const x = doubledZeros(columns.length);
  let before = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 30; round++) {
    const f = firstGap(columns, b, r, x);
    const g = secondGap(columns, c, r);
    const change = solveAugmented(factor, f, g);
    const size = relativeSize(change.x, x.high);
    if (!(size < before / 2)) break;
    addTo(r, change.r);
    addTo(x, change.x);
    if (size === 0) break;
    before = size;
  }
  return { r, x };
}

/** b − r − A x in doubled precision. */
function firstGap(
  columns: readonly Float64Array[],
  b: Column,
  r: DoubledVector,
  x: DoubledVector,
): Float64Array {
  const gap = new Float64Array(b.length);
  const total = new DoubledSum();
  for (let i = 0; i < gap.length; i++) {
    total.reset().add(b[i]!).add(-r.high[i]!).add(-r.low[i]!);
    for (let j = 0; j < columns.length; j++) {
      const a = columns[j]![i]!;
      total.addProduct(-a, x.high[j]!).addProduct(-a, x.low[j]!);
    }
    gap[i] = total.value();
  }
  return gap;
}

/** c − Aᵀ r in doubled precision. */
function secondGap(columns: readonly Float64Array[], c: Column, r: DoubledVector): Float64Array {
  const total = new DoubledSum();
  return Float64Array.from(columns, (column, j) => {
    total.reset().add(c[j]!);
    for (let i = 0; i < column.length; i++) {
      total.addProduct(-column[i]!, r.high[i]!).addProduct(-column[i]!, r.low[i]!);
    }
    return total.value();
  });
}

/** The augmented system in ordinary precision, from the factor: h = R⁻ᵀg, d = Qᵀf, x = R⁻¹(d₁ − h). */
function solveAugmented(
  factor: Factor,
  f: Float64Array,
  g: Float64Array,
): { r: Float64Array; x: Float64Array } {
  const p = g.length;
  const { upper } = factor;
  const h = g.slice();
  for (let j = 0; j < p; j++) {
    for (let i = 0; i < j; i++) h[j]! -= upper[j]![i]! * h[i]!;
    h[j]! /= upper[j]![j]!;
  }
  const d = f.slice();
  applyReflections(factor, d, p);
  const x = new Float64Array(p);
  for (let j = p - 1; j >= 0; j--) {
    x[j] = d[j]! - h[j]!;
    for (let k = j + 1; k < p; k++) x[j]! -= upper[k]![j]! * x[k]!;
    x[j]! /= upper[j]![j]!;
  }
  d.set(h);
  for (let j = p - 1; j >= 0; j--) reflect(factor, d, j);
  return { r: d, x };
}

/** Largest correction of an element relative to its size; elements near 0 are held to a floor. */
function relativeSize(change: Float64Array, of: Float64Array): number {
  let top = 0;
  for (let i = 0; i < of.length; i++) top = Math.max(top, Math.abs(of[i]! + change[i]!));
  let largest = 0;
  for (let i = 0; i < change.length; i++) {
    const size = Math.abs(change[i]!);
    if (size > 0) largest = Math.max(largest, size / (Math.abs(of[i]!) + 1e-9 * top));
  }
  return largest;
}

/** Row sums of squares of the thin Q. */
function leverages(factor: Factor, n: number, p: number): Float64Array {
  const leverage = new Float64Array(n);
  const column = new Float64Array(n);
  for (let k = 0; k < p; k++) {
    column.fill(0);
    column[k] = 1;
    for (let j = p - 1; j >= 0; j--) reflect(factor, column, j);
    for (let i = 0; i < n; i++) leverage[i]! += column[i]! ** 2;
  }
  return leverage;
}

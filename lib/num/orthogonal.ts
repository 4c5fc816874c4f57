/**
 * Orthogonal factorisation of a design and the refinement that gives back the digits which its
 * condition takes. num/linear.ts states the problem; this file solves it.
 *
 * @see Björck (1967) BIT 7:257–278; Demmel, Hida, Riedy, Li (2009) ACM Trans Math Softw 35(4):28
 */
import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import {
  addTo,
  type DoubledVector,
  doubledVector,
  minusProduct,
  squaredNorm,
  subtractFrom,
  subtractMultiple,
} from "./doubled.js";
import { largest } from "./vector.js";

/** Householder vectors (below the diagonal, with their own head) and R. */
export interface Factor {
  /** Vectors of the reflections, one per column. */
  readonly vectors: Float64Array[];
  /** 2 / vᵀv for each vector. */
  readonly weights: Float64Array;
  /** R by columns: upper[j][i] for i ≤ j. */
  readonly upper: Float64Array[];
}

/** A correction this small, relative to what it corrects, is below half a last digit. */
const INVISIBLE = 1e-17;
/** A fit that refinement moved by less than this needs none for its inverse. */
const CLEAN = 1e-14;
/** Part of a column's length that must be left once the columns before it are taken out. */
const LEAST_OWN_PART = 1e-12;

/**
 * Householder factor of a design.
 * @throws InputError when a column is to rounding a combination of those before it
 */
export function householder(
  columns: readonly Float64Array[],
  names: readonly string[],
  where: string,
): Factor {
  const factor: Factor = { vectors: [], weights: new Float64Array(columns.length), upper: [] };
  columns.forEach((column, j) => {
    const length = Math.sqrt(squaredNorm(column));
    const work = column.slice();
    applyReflections(factor, work, j);
    const tail = work.subarray(j);
    const remainder = Math.sqrt(squaredNorm(tail));
    if (!(remainder > LEAST_OWN_PART * length)) {
      const expected = "a column that is no combination of the others";
      const got = length === 0 ? "only zeros" : "a linear combination of the columns before it";
      throw new InputError({ expected, got, where: `${where}, ${names[j]}` });
    }
    const vector = tail.slice();
    const head = realAt(vector, 0) >= 0 ? -remainder : remainder;
    vector[0] = realAt(vector, 0) - head;
    factor.vectors.push(vector);
    factor.weights[j] = 2 / squaredNorm(vector);
    work[j] = head;
    factor.upper.push(work.slice(0, j + 1));
  });
  return factor;
}

/** Rows whose products are added before their total goes to the whole. */
const BLOCK = 512;

/**
 * Σ vᵢ tⱼ₊ᵢ. Four sums at a time keep a processor busy that would wait for each addition, and
 * sums of sums of blocks round little: a plain sum of 100 000 products would lose a digit, and the
 * inverse would need refinement for nothing.
 */
function blockedProduct(vector: Float64Array, target: Float64Array, j: number): number {
  let total = 0;
  for (let from = 0; from < vector.length; from += BLOCK) {
    const to = Math.min(from + BLOCK, vector.length);
    let [a, b, c, d] = [0, 0, 0, 0];
    let i = from;
    for (; i + 3 < to; i += 4) {
      a += realAt(vector, i) * realAt(target, j + i);
      b += realAt(vector, i + 1) * realAt(target, j + i + 1);
      c += realAt(vector, i + 2) * realAt(target, j + i + 2);
      d += realAt(vector, i + 3) * realAt(target, j + i + 3);
    }
    for (; i < to; i++) a += realAt(vector, i) * realAt(target, j + i);
    total += a + b + (c + d);
  }
  return total;
}

function reflect({ vectors, weights }: Factor, target: Float64Array, j: number): void {
  const vector = itemAt(vectors, j);
  const product = realAt(weights, j) * blockedProduct(vector, target, j);
  for (let i = 0; i < vector.length; i++)
    target[j + i] = realAt(target, j + i) - product * realAt(vector, i);
}

/** Qᵀ times the target, in place, by the first `count` reflections. */
function applyReflections(factor: Factor, target: Float64Array, count: number): void {
  for (let j = 0; j < count; j++) reflect(factor, target, j);
}

export interface Augmented {
  /** Residuals b − A x. */
  readonly r: DoubledVector;
  /** The least-squares solution. */
  readonly x: DoubledVector;
  /** First correction over x, by their largest elements: the rounding that the factor let in. */
  readonly rounding: number;
}

/**
 * Solves r + A x = b, Aᵀ r = c, by refinement until the next correction could not be seen or the
 * corrections no longer shrink.
 * With c = 0 this is least squares; with b = 0 and c = −eⱼ, x is column j of (AᵀA)⁻¹.
 */
export function refine(
  columns: readonly Float64Array[],
  factor: Factor,
  b: Float64Array,
  c: Float64Array,
): Augmented {
  const first = solveAugmented(factor, b, c);
  const r = doubledVector(first.r);
  const x = doubledVector(first.x);
  let rounding = 0;
  let before = 1;
  for (let round = 0; round < 30; round++) {
    const change = solveAugmented(factor, firstGap(columns, b, r, x), secondGap(columns, c, r));
    const size = relativeSize(change.x, x.high);
    if (round === 0) rounding = largest(change.x) / largest(x.high);
    if (!(size < before / 2)) break;
    addTo(r, change.r);
    addTo(x, change.x);
    if (size * (size / before) < INVISIBLE) break;
    before = size;
  }
  return { r, x, rounding };
}

/** b − r − A x in doubled precision. */
function firstGap(
  columns: readonly Float64Array[],
  b: Float64Array,
  r: DoubledVector,
  x: DoubledVector,
): Float64Array {
  const gap = doubledVector(b.slice());
  subtractFrom(gap, r);
  columns.forEach((column, j) => {
    subtractMultiple(gap, column, realAt(x.high, j), realAt(x.low, j));
  });
  for (let i = 0; i < b.length; i++) gap.high[i] = realAt(gap.high, i) + realAt(gap.low, i);
  return gap.high;
}

/** c − Aᵀ r in doubled precision. */
function secondGap(
  columns: readonly Float64Array[],
  c: Float64Array,
  r: DoubledVector,
): Float64Array {
  return Float64Array.from(columns, (column, j) => minusProduct(realAt(c, j), column, r));
}

/** The augmented system in ordinary precision: h = R⁻ᵀg, d = Qᵀf, x = R⁻¹(d₁ − h), r = Q(h, d₂). */
function solveAugmented(
  factor: Factor,
  f: Float64Array,
  g: Float64Array,
): { r: Float64Array; x: Float64Array } {
  const p = g.length;
  const h = solveTransposed(factor, g);
  const d = f.slice();
  applyReflections(factor, d, p);
  const x = solveUpper(
    factor,
    h.map((value, j) => realAt(d, j) - value),
  );
  d.set(h);
  for (let j = p - 1; j >= 0; j--) reflect(factor, d, j);
  return { r: d, x };
}

/** R⁻ᵀ g. */
function solveTransposed({ upper }: Factor, g: Float64Array): Float64Array {
  const h = g.slice();
  for (let j = 0; j < h.length; j++) {
    for (let i = 0; i < j; i++) h[j] = realAt(h, j) - realAt(itemAt(upper, j), i) * realAt(h, i);
    h[j] = realAt(h, j) / realAt(itemAt(upper, j), j);
  }
  return h;
}

/** R⁻¹ b. */
function solveUpper({ upper }: Factor, b: Float64Array): Float64Array {
  const x = b.slice();
  for (let j = x.length - 1; j >= 0; j--) {
    for (let k = j + 1; k < x.length; k++)
      x[j] = realAt(x, j) - realAt(itemAt(upper, k), j) * realAt(x, k);
    x[j] = realAt(x, j) / realAt(itemAt(upper, j), j);
  }
  return x;
}

/** Largest correction of an element relative to its size; elements near 0 are held to a floor. */
function relativeSize(change: Float64Array, of: Float64Array): number {
  const floor = 1e-9 * largest(of);
  let size = 0;
  for (let i = 0; i < change.length; i++) {
    if (change[i] !== 0)
      size = Math.max(size, Math.abs(realAt(change, i)) / (Math.abs(realAt(of, i)) + floor));
  }
  return size;
}

/** Column j of (AᵀA)⁻¹, refined when the fit itself showed that its digits need it. */
export function inverseColumn(
  columns: readonly Float64Array[],
  factor: Factor,
  j: number,
  rounding: number,
  n: number,
): Float64Array {
  const unit = new Float64Array(columns.length);
  if (rounding > CLEAN) {
    unit[j] = -1;
    return refine(columns, factor, new Float64Array(n), unit).x.high;
  }
  unit[j] = 1;
  return solveUpper(factor, solveTransposed(factor, unit));
}

/** Row sums of squares of the thin Q. */
export function leverages(factor: Factor, n: number, p: number): Float64Array {
  const leverage = new Float64Array(n);
  const column = new Float64Array(n);
  for (let k = 0; k < p; k++) {
    column.fill(0);
    column[k] = 1;
    for (let j = p - 1; j >= 0; j--) reflect(factor, column, j);
    for (let i = 0; i < n; i++) leverage[i] = realAt(leverage, i) + realAt(column, i) ** 2;
  }
  return leverage;
}

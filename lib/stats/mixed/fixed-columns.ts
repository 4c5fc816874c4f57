import { realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { backToColumns, orthogonalised } from "../../num/gram-schmidt.js";
import { multiply, rowsOf, sandwich } from "../../num/matrix.js";
import type { MatrixRows } from "./inference.js";

/** Columns of fixed effects, orthogonalised: X = QR. */
export interface FixedColumns {
  /** Name of each column of X. */
  readonly names: readonly string[];
  /** Number of rows, n. */
  readonly rows: number;
  /** Q row by row: n rows of p. */
  readonly q: Float64Array;
  /** Times the coefficients of Q, the fixed effects. */
  readonly back: Float64Array;
  /** ½ log|XᵀX|, by which the REML likelihoods of X and of Q differ. */
  readonly halfLogXx: number;
}

/** A column whose part outside the columns before it is this small, relatively, adds nothing. */
const RANK_TOLERANCE = 1e-10;
/** Residuals this small relative to the outcome are rounding. */
const EXACT_FIT = 1e-12;

/** @throws InputError when a column is a combination of those before it */
export function fixedColumns(
  names: readonly string[],
  columns: readonly Float64Array[],
  rows: number,
  where: string,
): FixedColumns {
  const orthogonal = orthogonalised(columns, RANK_TOLERANCE);
  if (orthogonal.dependent !== undefined) {
    throw new InputError({
      expected: "terms that are no combination of the intercept and of each other",
      got: `"${names[orthogonal.dependent]}", which adds nothing to them`,
      where: `${where}, terms`,
    });
  }
  const p = names.length;
  const q = new Float64Array(rows * p);
  orthogonal.q.forEach((column, j) => {
    for (let row = 0; row < rows; row++) q[row * p + j] = realAt(column, row);
  });
  let halfLogXx = 0;
  for (let j = 0; j < p; j++) {
    halfLogXx += Math.log(realAt(orthogonal.r, j * p + j) * realAt(orthogonal.scale, j));
  }
  return { names, rows, q, back: backToColumns(orthogonal), halfLogXx };
}

/** An outcome − its least-squares fit. */
export interface CentredOutcome {
  /** Coefficients of Q of the least-squares fit, in the unit of y. */
  readonly about: Float64Array;
  /** What it leaves of y, divided by `unit`. */
  readonly residual: Float64Array;
  /** Size of the least-squares residuals, in the unit of y. */
  readonly unit: number;
}

/** @throws InputError when the fixed effects fit the outcome without error */
export function centredOutcome(
  y: Float64Array,
  { q, rows, names }: FixedColumns,
  where: string,
): CentredOutcome {
  const p = names.length;
  const about = new Float64Array(p);
  for (let row = 0; row < rows; row++) {
    for (let j = 0; j < p; j++)
      about[j] = realAt(about, j) + realAt(q, row * p + j) * realAt(y, row);
  }
  const left = y.map((value, row) => {
    let rest = value;
    for (let j = 0; j < p; j++) rest -= realAt(q, row * p + j) * realAt(about, j);
    return rest;
  });
  const unit = Math.sqrt(sumOfSquares(left) / Math.max(1, rows - p));
  if (!(unit > EXACT_FIT * Math.sqrt(sumOfSquares(y) / rows)) || rows <= p) {
    throw new InputError({
      expected: `an outcome that varies around its ${p} fixed effects`,
      got: rows <= p ? `${rows} rows` : "one that they fit without error",
      where: `${where}, y`,
    });
  }
  return { about, residual: left.map((rest) => rest / unit), unit };
}

function sumOfSquares(column: Float64Array): number {
  return column.reduce((sum, value) => sum + value * value, 0);
}

/** Fixed effects from γ, the coefficients of Q for the scaled residual. */
export function fixedValues(
  { back, names }: FixedColumns,
  { about, unit }: CentredOutcome,
  gamma: Float64Array,
): Float64Array {
  const p = names.length;
  const q = about.map((value, j) => value + unit * realAt(gamma, j));
  return multiply(back, q, [p, p, 1]);
}

/** A covariance matrix of coefficients of Q of the scaled residual, as one of the fixed effects. */
export function outward(
  { back, names }: FixedColumns,
  { unit }: CentredOutcome,
  inQ: Float64Array,
): MatrixRows {
  const p = names.length;
  return rowsOf(
    sandwich(back, inQ, p, p).map((value) => value * unit * unit),
    p,
  );
}

/**
 * What −2 log-likelihood of y on X is more than that of the scaled residual on Q: the scale of y
 * and, for REML, log|XᵀX|.
 */
export function jacobian(
  { rows, names, halfLogXx }: FixedColumns,
  { unit }: CentredOutcome,
  reml: boolean,
): number {
  if (!reml) return 2 * rows * Math.log(unit);
  return 2 * (rows - names.length) * Math.log(unit) + 2 * halfLogXx;
}

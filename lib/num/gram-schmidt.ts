import { itemAt, realAt } from "../entry.js";
import { dot, largest, subtract } from "./vector.js";

/** Columns X = QR·diag(scale): Q orthonormal, R upper triangular, p × p, row by row. */
export interface OrthogonalColumns {
  /** Orthonormal columns. */
  readonly q: readonly Float64Array[];
  /** Upper triangle that turns them back into the given columns. */
  readonly r: Float64Array;
  /** Largest absolute value of each column, by which it was divided first. */
  readonly scale: Float64Array;
  /** Index of the first column that is a combination of those before it; Q ends before it. */
  readonly dependent?: number;
}

/**
 * Gram–Schmidt, each column swept twice ("twice is enough").
 *
 * @param tolerance part of a column that must be left once those before it are taken out
 * @see Giraud, Langou, Rozložník (2005) Comput Math Appl 50:1069–1075
 */
export function orthogonalised(
  columns: readonly Float64Array[],
  tolerance: number,
): OrthogonalColumns {
  const p = columns.length;
  const r = new Float64Array(p * p);
  const scale = Float64Array.from(columns, largest);
  const q: Float64Array[] = [];
  for (const [j, column] of columns.entries()) {
    const size = realAt(scale, j) || 1;
    const rest = column.map((x) => x / size);
    const before = Math.sqrt(dot(rest, rest));
    for (let sweep = 0; sweep < 2; sweep++) {
      for (let i = 0; i < j; i++) {
        const part = dot(itemAt(q, i), rest);
        r[i * p + j] = realAt(r, i * p + j) + part;
        subtract(rest, itemAt(q, i), part);
      }
    }
    const after = Math.sqrt(dot(rest, rest));
    if (after <= tolerance * before) return { q, r, scale, dependent: j };
    r[j * p + j] = after;
    q.push(rest.map((x) => x / after));
  }
  return { q, r, scale };
}

/**
 * R⁻¹ with each row divided by its column's scale: times the coefficients of Q, those of X.
 */
export function backToColumns({ r, scale }: OrthogonalColumns): Float64Array {
  const p = scale.length;
  const inverse = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = j; k < p; k++) {
      let rest = k === j ? 1 : 0;
      for (let l = j; l < k; l++) rest -= realAt(inverse, j * p + l) * realAt(r, l * p + k);
      inverse[j * p + k] = rest / realAt(r, k * p + k);
    }
  }
  return inverse.map((value, at) => value / realAt(scale, Math.floor(at / p)));
}

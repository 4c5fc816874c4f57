import { itemAt, present, realAt } from "../../entry.js";
import { studentT } from "../../num/distributions.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import type { Estimate, Numbers } from "../estimate.js";
import { groupRows } from "../people.js";
import type { MixedFit } from "./mixed.js";

/** The rows of a fitted mixed model as numbers, the intercept not among them. */
export interface FittedRows {
  /** Whose row each is. */
  readonly subject: readonly string[];
  /** The outcome, row by row. */
  readonly y: Numbers;
  /** Columns of the fixed effects by name, in the order of the fit. */
  readonly terms: Readonly<Record<string, Numbers>>;
  /** Name of the term whose slope varies between subjects; left out when none does. */
  readonly slope?: string;
}

/**
 * A fixed effect of a mixed model without each subject in turn, the variances held at those of the
 * whole fit: β₍ᵢ₎ = (ΣAⱼ − Aᵢ)⁻¹(Σbⱼ − bᵢ) with Aᵢ = XᵢᵀVᵢ⁻¹Xᵢ and bᵢ = XᵢᵀVᵢ⁻¹yᵢ, one pass over the
 * rows and one small system per subject. Degrees of freedom are those of the whole fit, less one.
 *
 * @param fit the model of all subjects
 * @param rows what it was fitted to
 * @param term name of the fixed effect
 * @returns by subject in order of first appearance; null where the effect cannot be estimated
 * @see Christensen, Pearson, Johnson (1992) Technometrics 34:38–45
 */
export function withoutEachSubject(
  fit: MixedFit,
  rows: FittedRows,
  term: string,
  level: number,
): { subject: string; estimate: Estimate | null }[] {
  const names = ["intercept", ...Object.keys(rows.terms)];
  const columns = [
    new Float64Array(rows.y.length).fill(1),
    ...Object.values(rows.terms).map((column) => Float64Array.from(column)),
  ];
  const p = names.length;
  const y = Float64Array.from(rows.y);
  const slope = rows.slope === undefined ? -1 : names.indexOf(rows.slope);
  const people = [...groupRows([...rows.subject])];
  const parts = people.map(([, places]) => subjectPart(fit, columns, y, places, slope));
  const total = sumOf(parts, p * (p + 1));
  const place = names.indexOf(term);
  const df = Math.max(1, (present(fit.fixed[term]).df ?? 2) - 1);
  const quantile = studentT(df).quantile((1 + level) / 2);
  return people.map(([subject], i) => {
    const part = itemAt(parts, i);
    const left = total.map((sum, k) => sum - realAt(part, k));
    return { subject, estimate: solved(left, p, place, { df, quantile, level }) };
  });
}

/** Aᵢ, row by row, and bᵢ behind it. */
function subjectPart(
  fit: MixedFit,
  columns: readonly Float64Array[],
  y: Float64Array,
  places: readonly number[],
  slope: number,
): Float64Array {
  const p = columns.length;
  const all = [...columns, y];
  const z = slope < 0 ? [itemAt(columns, 0)] : [itemAt(columns, 0), itemAt(columns, slope)];
  const middle = middleOf(fit, z, places);
  const products = (left: Float64Array, right: Float64Array) => {
    let sum = 0;
    for (const row of places) sum += realAt(left, row) * realAt(right, row);
    return sum;
  };
  const ofZ = all.map((column) => z.map((one) => products(one, column)));
  const part = new Float64Array(p * (p + 1));
  for (let j = 0; j < p; j++) {
    for (let k = 0; k <= p; k++) {
      let value = products(itemAt(all, j), itemAt(all, k));
      for (const [a, left] of itemAt(ofZ, j).entries()) {
        for (const [b, right] of itemAt(ofZ, k).entries()) {
          value -= left * itemAt(itemAt(middle, a), b) * right;
        }
      }
      part[k < p ? j * p + k : p * p + j] = value / fit.residualSd ** 2;
    }
  }
  return part;
}

/** M = (σ²I + D ZᵀZ)⁻¹D, with which V⁻¹ = (I − Z M Zᵀ)/σ²; D may be singular. */
function middleOf(
  { random, residualSd }: MixedFit,
  z: readonly Float64Array[],
  places: readonly number[],
): number[][] {
  const { interceptSd, slopeSd = 0, correlation = 0 } = random;
  const error = residualSd ** 2;
  let [n, sum, squares] = [0, 0, 0];
  for (const row of places) {
    n += 1;
    if (z.length < 2) continue;
    const value = realAt(itemAt(z, 1), row);
    sum += value;
    squares += value ** 2;
  }
  const [d11, d12, d22] = [interceptSd ** 2, correlation * interceptSd * slopeSd, slopeSd ** 2];
  if (z.length < 2) return [[d11 / (error + d11 * n)]];
  const [a, b] = [error + d11 * n + d12 * sum, d11 * sum + d12 * squares];
  const [c, d] = [d12 * n + d22 * sum, error + d12 * sum + d22 * squares];
  const determinant = a * d - b * c;
  return [
    [(d * d11 - b * d12) / determinant, (d * d12 - b * d22) / determinant],
    [(a * d12 - c * d11) / determinant, (a * d22 - c * d12) / determinant],
  ];
}

function sumOf(parts: readonly Float64Array[], length: number): Float64Array {
  const total = new Float64Array(length);
  for (const part of parts) {
    for (let k = 0; k < length; k++) total[k] = realAt(total, k) + realAt(part, k);
  }
  return total;
}

function solved(
  left: Float64Array,
  p: number,
  place: number,
  { df, quantile, level }: { df: number; quantile: number; level: number },
): Estimate | null {
  const factor = cholesky(left.slice(0, p * p), p);
  if (!factor) return null;
  const inverse = invertCholesky(factor, p);
  let value = 0;
  for (let k = 0; k < p; k++) value += realAt(inverse, place * p + k) * realAt(left, p * p + k);
  const se = Math.sqrt(realAt(inverse, place * p + place));
  if (!Number.isFinite(value) || !Number.isFinite(se)) return null;
  const half = quantile * se;
  const interval = { low: value - half, high: value + half, level, method: "t" };
  return { value, se, df, interval };
}

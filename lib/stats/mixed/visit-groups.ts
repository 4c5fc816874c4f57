import { itemAt, realAt, wholeAt } from "../../entry.js";
import { type CentredOutcome, centredOutcome } from "./fixed-columns.js";
import type { VisitDesign } from "./visit-design.js";
import type { VisitRows } from "./visit-rows.js";

/**
 * The subjects of one arm who were seen at the same visits, as sums: whatever their number, the
 * likelihood costs the same.
 */
export interface VisitGroup {
  /** Indexes of these visits, ascending: k of them. */
  readonly visits: readonly number[];
  /** Number of subjects. */
  readonly count: number;
  /** Means of [Q r] at each of the visits, k rows of p + 1. */
  readonly mean: Float64Array;
  /**
   * Sums of products about these means of the columns that differ within an arm (covariates and r),
   * for each pair of visits: entry (j, k) has `varying` rows of `varying`.
   */
  readonly scatter: readonly Float64Array[];
}

/** Everything of a fit by visits but the covariance of the errors. */
export interface VisitProblem {
  /** Number of rows. */
  readonly rows: number;
  /** Columns of Q. */
  readonly p: number;
  /** Number of visits. */
  readonly visits: number;
  /** Whether the likelihood is the restricted one. */
  readonly reml: boolean;
  /** Subjects measured at the same visits, with their sums. */
  readonly groups: readonly VisitGroup[];
  /** Number of columns of [Q r] that differ within an arm at one visit: the last ones. */
  readonly varying: number;
  /** y − its least-squares fit. */
  readonly outcome: CentredOutcome;
}

/**
 * Takes least squares off the outcome and sums the rows by arm and visits seen.
 * @throws InputError when the means fit the outcome without error
 */
export function visitProblem(data: VisitRows, design: VisitDesign, reml: boolean): VisitProblem {
  const p = design.names.length;
  const outcome = centredOutcome(data.y, design, "fitVisits");
  const varying = 1 + p - design.cellColumns;
  const groups = groupsOf(data, design, outcome.residual, varying);
  const { rows } = design;
  return { rows, p, visits: data.visits.length, reml, groups, varying, outcome };
}

function groupsOf(
  { starts, visit, arm }: VisitRows,
  { q, names }: VisitDesign,
  residual: Float64Array,
  varying: number,
): VisitGroup[] {
  const members = new Map<string, { visits: number[]; from: number[] }>();
  for (let i = 0; i + 1 < starts.length; i++) {
    const start = wholeAt(starts, i);
    const visits = Array.from(visit.subarray(start, wholeAt(starts, i + 1)));
    const key = `${wholeAt(arm, start)}: ${visits.join(" ")}`;
    const group = members.get(key) ?? { visits, from: [] };
    members.set(key, group);
    group.from.push(start);
  }
  const p = names.length;
  const entry = (row: number, c: number) =>
    c === p ? realAt(residual, row) : realAt(q, row * p + c);
  return [...members.values()].map(({ visits, from }) => {
    const size = visits.length;
    const mean = new Float64Array(size * (p + 1));
    for (const start of from) {
      for (let j = 0; j < size; j++) {
        for (let c = 0; c <= p; c++) {
          const at = j * (p + 1) + c;
          mean[at] = realAt(mean, at) + entry(start + j, c) / from.length;
        }
      }
    }
    return {
      visits,
      count: from.length,
      mean,
      scatter: scatterOf(from, size, mean, entry, varying),
    };
  });
}

function scatterOf(
  from: readonly number[],
  size: number,
  mean: Float64Array,
  entry: (row: number, column: number) => number,
  varying: number,
): Float64Array[] {
  const width = mean.length / size;
  const scatter = Array.from({ length: size * size }, () => new Float64Array(varying * varying));
  const about = new Float64Array(size * varying);
  for (const start of from) {
    for (let j = 0; j < size; j++) {
      for (let c = 0; c < varying; c++) {
        const column = width - varying + c;
        about[j * varying + c] = entry(start + j, column) - realAt(mean, j * width + column);
      }
    }
    scatter.forEach((product, pair) => {
      const j = Math.floor(pair / size) * varying;
      const k = (pair % size) * varying;
      for (let c = 0; c < varying; c++) {
        for (let d = 0; d < varying; d++) {
          const at = c * varying + d;
          product[at] = realAt(product, at) + realAt(about, j + c) * realAt(about, k + d);
        }
      }
    });
  }
  return scatter;
}

/**
 * Sums Σⱼₖ wⱼₖ Σᵢ zᵢⱼzᵢₖᵀ of the rows z of [Q r] over the subjects of a group, added to the
 * (p + 1) × (p + 1) matrix `into`.
 */
export function addWeighted(
  { count, mean, scatter, visits }: VisitGroup,
  weights: Float64Array,
  varying: number,
  into: Float64Array,
): void {
  const size = visits.length;
  const width = mean.length / size;
  const row = new Float64Array(width);
  for (let j = 0; j < size; j++) {
    row.fill(0);
    for (let k = 0; k < size; k++) {
      const weight = count * realAt(weights, j * size + k);
      for (let c = 0; c < width; c++)
        row[c] = realAt(row, c) + weight * realAt(mean, k * width + c);
    }
    for (let c = 0; c < width; c++) {
      const one = realAt(mean, j * width + c);
      if (one === 0) continue;
      for (let d = 0; d < width; d++)
        into[c * width + d] = realAt(into, c * width + d) + one * realAt(row, d);
    }
  }
  if (count === 1) return;
  const first = width - varying;
  scatter.forEach((product, pair) => {
    const weight = realAt(weights, pair);
    for (let c = 0; c < varying; c++) {
      for (let d = 0; d < varying; d++) {
        const at = (first + c) * width + first + d;
        into[at] = realAt(into, at) + weight * realAt(product, c * varying + d);
      }
    }
  });
}

/**
 * Σᵢ zᵢⱼᵀ B zᵢₖ over the subjects of a group for each pair of visits, k × k: with B = ddᵀ and
 * d = (−γ, 1) the products of the errors, with B = Φ those of the fixed effects.
 */
export function contracted(
  { count, mean, scatter, visits }: VisitGroup,
  b: Float64Array,
  varying: number,
): Float64Array {
  const size = visits.length;
  const width = mean.length / size;
  const first = width - varying;
  const turned = new Float64Array(size * width);
  for (let j = 0; j < size; j++) {
    for (let c = 0; c < width; c++) {
      let sum = 0;
      for (let d = 0; d < width; d++) sum += realAt(b, c * width + d) * realAt(mean, j * width + d);
      turned[j * width + c] = sum;
    }
  }
  const product = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    for (let k = 0; k < size; k++) {
      let sum = 0;
      for (let c = 0; c < width; c++)
        sum += realAt(mean, j * width + c) * realAt(turned, k * width + c);
      sum *= count;
      if (count > 1) {
        const about = itemAt(scatter, j * size + k);
        for (let c = 0; c < varying; c++) {
          for (let d = 0; d < varying; d++)
            sum += realAt(about, c * varying + d) * realAt(b, (first + c) * width + first + d);
        }
      }
      product[j * size + k] = sum;
    }
  }
  return product;
}

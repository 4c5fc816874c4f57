import { itemAt, realAt, wholeAt } from "../../entry.js";
import { type Jet, logOf, productOf, still, sumOf } from "../../num/jet.js";
import {
  backFromLast,
  emptyJet,
  factorJet,
  factorPattern,
  type SparseJet,
  type SparsePattern,
} from "../../num/sparse-factor.js";

/** A grouping of the rows: the level of each row, of `levels` in all. */
export interface Grouping {
  /** Number of levels. */
  readonly levels: number;
  /** Level of each row, from 0. */
  readonly codes: Int32Array;
}

/**
 * The matrix A(θ) = [ΛZᵀZΛ + I, ΛZᵀ[Q r]; ·, [Q r]ᵀ[Q r]] of a model with random intercepts, Λ
 * having θ of its group for each level. With V = I + Σ θ²ZZᵀ, its factor holds everything: pivots
 * of the levels give log|V|, what is left gives [Q r]ᵀV⁻¹[Q r].
 */
export interface ComponentSystem {
  /** Where entries of the factor differ from 0. */
  readonly pattern: SparsePattern;
  /** Number of levels of all groups. */
  readonly levels: number;
  /** Columns of Q. */
  readonly p: number;
  /** Entries of ZᵀZ, Zᵀ[Q r] and [Q r]ᵀ[Q r] in the pattern, and on the diagonal. */
  readonly below: Float64Array;
  /** Entries on the diagonal. */
  readonly diagonal: Float64Array;
  /** Which product of θ belongs to each entry: group of its row × number of groups + 1, + group. */
  readonly kinds: { readonly diagonal: Uint16Array; readonly below: Uint16Array };
  /** Room for A(θ): overwritten each time it is asked for. */
  readonly jet: SparseJet;
  /** Place of each row's level of each group among the levels. */
  readonly place: readonly Int32Array[];
}

/** What A(θ) gives, with derivatives along a curve of θ. */
export interface ComponentSums {
  /** log|V|. */
  readonly logV: Jet;
  /** [Q r]ᵀV⁻¹[Q r], (p + 1) × (p + 1): value, first and second derivative. */
  readonly cross: readonly [Float64Array, Float64Array, Float64Array];
}

/**
 * Puts the groups with most levels first: those of nested groups then fill in nothing, and crossed
 * groups only among the levels of the smaller ones.
 *
 * @param columns [Q r], row by row, p + 1 each
 */
export function componentSystem(
  groups: readonly Grouping[],
  columns: Float64Array,
  p: number,
): ComponentSystem {
  const order = [...groups.keys()].sort(
    (a, b) => itemAt(groups, b).levels - itemAt(groups, a).levels || a - b,
  );
  const first = new Int32Array(groups.length);
  let levels = 0;
  for (const g of order) {
    first[g] = levels;
    levels += itemAt(groups, g).levels;
  }
  const width = p + 1;
  const size = levels + width;
  // The columns of [Q r] count as a group behind the others.
  const group = new Int32Array(size).fill(groups.length);
  groups.forEach(({ levels: count }, g) => {
    group.fill(g, wholeAt(first, g), wholeAt(first, g) + count);
  });
  const place = groups.map(({ codes }, g) => codes.map((code) => wholeAt(first, g) + code));
  const { counts, sums } = tallies(place, columns, { levels, width, size });
  const pattern = factorPattern(
    Array.from({ length: size }, (_, j) => {
      if (j >= levels) return range(j + 1, size);
      return [...[...itemAt(counts, j).keys()].filter((row) => row > j), ...range(levels, size)];
    }),
  );
  const below = new Float64Array(pattern.rows.length);
  const diagonal = new Float64Array(size);
  for (let j = 0; j < size; j++) {
    diagonal[j] =
      j < levels ? (itemAt(counts, j).get(j) ?? 0) : realAt(sums, j * width + (j - levels));
    for (let at = wholeAt(pattern.starts, j); at < wholeAt(pattern.starts, j + 1); at++) {
      const row = wholeAt(pattern.rows, at);
      below[at] =
        row >= levels
          ? realAt(sums, j * width + (row - levels))
          : (itemAt(counts, j).get(row) ?? 0);
    }
  }
  const kinds = kindsOf(pattern, group, groups.length + 1);
  return { pattern, levels, p, below, diagonal, kinds, jet: emptyJet(pattern), place };
}

function kindsOf({ size, starts, rows }: SparsePattern, group: Int32Array, count: number) {
  const below = new Uint16Array(rows.length);
  for (let j = 0; j < size; j++) {
    for (let at = wholeAt(starts, j); at < wholeAt(starts, j + 1); at++)
      below[at] = wholeAt(group, j) * count + wholeAt(group, wholeAt(rows, at));
  }
  return { diagonal: Uint16Array.from(group, (number) => number * count + number), below };
}

function range(from: number, to: number): number[] {
  return Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i);
}

/** Rows shared by each pair of levels, and sums of [Q r] over each level's rows. */
function tallies(
  place: readonly Int32Array[],
  columns: Float64Array,
  { levels, width, size }: { levels: number; width: number; size: number },
) {
  const counts = Array.from({ length: levels }, () => new Map<number, number>());
  const sums = new Float64Array(size * width);
  const rows = columns.length / width;
  for (let row = 0; row < rows; row++) {
    for (const one of place) {
      const a = wholeAt(one, row);
      for (const other of place) {
        const b = wholeAt(other, row);
        if (b >= a) itemAt(counts, a).set(b, (itemAt(counts, a).get(b) ?? 0) + 1);
      }
      for (let c = 0; c < width; c++)
        sums[a * width + c] = realAt(sums, a * width + c) + realAt(columns, row * width + c);
    }
    for (let c = 0; c < width; c++) {
      for (let d = 0; d < width; d++) {
        const at = (levels + c) * width + d;
        sums[at] =
          realAt(sums, at) + realAt(columns, row * width + c) * realAt(columns, row * width + d);
      }
    }
  }
  for (const [a, neighbours] of counts.entries()) neighbours.set(a, neighbours.get(a) ?? 0);
  return { counts, sums };
}

/**
 * log|V| and [Q r]ᵀV⁻¹[Q r] where each group's θ moves along a curve.
 * @returns nothing when A is not positive definite to rounding
 */
export function componentSums(
  system: ComponentSystem,
  theta: readonly Jet[],
  order: 0 | 1 | 2,
): ComponentSums | undefined {
  const { pattern, levels, p } = system;
  const jet = filledJet(system, theta, order);
  if (!factorJet(pattern, jet, [0, levels], order)) return undefined;
  const [d0, d1, d2] = jet.diagonal;
  let logV = still(0);
  for (let j = 0; j < levels; j++) {
    logV = sumOf(logV, logOf([realAt(d0, j), realAt(d1, j), realAt(d2, j)]));
  }
  const width = p + 1;
  const left = (part: 0 | 1 | 2) => {
    const matrix = new Float64Array(width * width);
    for (let c = 0; c < width; c++) {
      const j = levels + c;
      matrix[c * width + c] = realAt(jet.diagonal[part], j);
      for (let at = wholeAt(pattern.starts, j); at < wholeAt(pattern.starts, j + 1); at++) {
        const d = wholeAt(pattern.rows, at) - levels;
        const entry = realAt(jet.below[part], at);
        matrix[c * width + d] = entry;
        matrix[d * width + c] = entry;
      }
    }
    return matrix;
  };
  return { logV, cross: [left(0), left(1), left(2)] };
}

/** Coefficients γ of Q and, of each level, M⁻¹ΛZᵀ(r − Qγ): times θ, the conditional modes. */
export function componentCoefficients(system: ComponentSystem, theta: readonly number[]) {
  const { pattern, levels, p } = system;
  const jet = filledJet(system, theta.map(still), 0);
  factorJet(pattern, jet, [0, levels + p], 0);
  const v = backFromLast(pattern, jet);
  return { gamma: v.slice(levels, levels + p), ofLevels: v.slice(0, levels) };
}

/** A(θ) with its derivatives along the curve. */
function filledJet(system: ComponentSystem, theta: readonly Jet[], order: 0 | 1 | 2): SparseJet {
  const { levels, jet, kinds } = system;
  const factors = factorTable(theta);
  for (let part = 0; part <= order; part++) {
    const table = itemAt(factors, part);
    const diagonal = itemAt(jet.diagonal, part);
    for (let j = 0; j < diagonal.length; j++) {
      const count = realAt(system.diagonal, j) * realAt(table, wholeAt(kinds.diagonal, j));
      diagonal[j] = part === 0 && j < levels ? count + 1 : count;
    }
    const below = itemAt(jet.below, part);
    for (let at = 0; at < below.length; at++)
      below[at] = realAt(system.below, at) * realAt(table, wholeAt(kinds.below, at));
  }
  return jet;
}

/**
 * By what an entry of A is multiplied, by its kind: in row and column of two groups θ·θ, of a group
 * and of [Q r] θ, of [Q r] alone 1. Value, first and second derivative.
 */
function factorTable(theta: readonly Jet[]): Float64Array[] {
  const all = [...theta, still(1)];
  const products = all.flatMap((one) => all.map((other) => productOf(one, other)));
  const part = (k: 0 | 1 | 2) => Float64Array.from(products, (jet) => jet[k]);
  return [part(0), part(1), part(2)];
}

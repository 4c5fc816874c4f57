import { itemAt, realAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { backToColumns, orthogonalised } from "../../num/gram-schmidt.js";
import { dot, largest } from "../../num/vector.js";
import type { Labels, Numbers } from "../estimate.js";
import { labels, numbers, shown } from "../input.js";
import { codedTerms, type ModelTerms, type TermColumn, type TermOptions } from "../terms.js";

/** The columns of a mixed model: one row per observation. */
export interface MixedColumns {
  /** Who each row belongs to: text, or whole numbers that stand for text. */
  readonly subject: Labels | Numbers;
  /** The outcome, one value per row, any unit. */
  readonly y: Numbers;
  /** Columns by name, numbers or labels; the intercept is always there and is not listed. */
  readonly terms?: Readonly<Record<string, TermColumn>>;
}

/** Which coefficients vary between subjects. */
export interface RandomPart {
  /** Name of the term whose slope varies between subjects; left out when none does. */
  readonly slope?: string | undefined;
  /** Whether intercepts and slopes may be correlated. */
  readonly correlated: boolean;
  /** How columns of labels are coded, and which products enter. */
  readonly coding?: TermOptions;
}

/**
 * Everything about a mixed model but its outcome, rows sorted by subject.
 *
 * Fixed effects: X (n × p, columns divided by `columnScale`) = Q·R with QᵀQ = I. Random effects:
 * z₁ = 1/`zScale[0]` and, with a slope, z₂ = (x − `centre`)/`zScale[1]`, scaled so that the mean
 * over subjects of each zᵀz is 1. Within subject i, Zᵢ = Eᵢ·Rᵢ with orthonormal columns
 * e₁ = 1/√nᵢ and e₂ (stored in `second`), and Rᵢ = [r11 r12; 0 r22].
 */
export interface MixedDesign {
  /** Names of the fixed effects, in the order of the columns of X. */
  readonly names: readonly string[];
  /** Labels of the subjects, in sorted order. */
  readonly subjects: readonly string[];
  /** Number of rows, n. */
  readonly rows: number;
  /** Row of the caller's columns that stands at each sorted place. */
  readonly order: Int32Array;
  /** Sorted place of each subject's first row, and the number of rows at the end. */
  readonly starts: Int32Array;
  /** Columns of Q, rows in sorted order. */
  readonly q: readonly Float64Array[];
  /** Upper triangle of R, p × p, row by row. */
  readonly r: Float64Array;
  /** What each column of X was divided by. */
  readonly columnScale: Float64Array;
  /** p × p: times coefficients of Q, those of the caller's columns. */
  readonly back: Float64Array;
  /** The sorted column whose slope varies. */
  readonly slopeColumn?: Float64Array;
  /** How terms and labels make up the coefficients. */
  readonly terms: ModelTerms;
  /** Whether a slope varies between subjects. */
  readonly hasSlope: boolean;
  /** Place of the slope's column among the fixed effects, −1 without a slope. */
  readonly slopeIndex: number;
  /** Whether intercepts and slopes may be correlated. */
  readonly correlated: boolean;
  /** Subtracted from the slope's column, in its unit. */
  readonly centre: number;
  /** What the columns of Z were divided by: of the intercept, and of the slope. */
  readonly zScale: readonly [number, number];
  /** r11, r12, r22 of each subject. */
  readonly roots: Float64Array;
  /** e₂ of every subject, row by row in sorted order. */
  readonly second: Float64Array;
}

/** A column whose part outside the columns before it is this small, relatively, adds nothing. */
const RANK_TOLERANCE = 1e-12;

/**
 * Checks the columns of a mixed model and brings them to the orthogonal, well-scaled form that
 * the criterion works on.
 * @throws InputError when a column is unusable, a term repeats what others say, or no subject has
 *   more rows than random coefficients
 */
export function mixedDesign(columns: MixedColumns, random: RandomPart): MixedDesign {
  const rows = numbers(columns.y, "fitMixed, y").length;
  const coded = codedTerms(columns.terms ?? {}, rows, random.coding ?? {}, true, "fitMixed");
  const { subjects, order, starts } = sortBySubject(
    labels(columns.subject, "fitMixed, subject", rows),
  );
  const names = ["intercept", ...coded.names];
  const sorted = coded.columns.map((column) => inOrder(column, order));
  const slopeIndex = slopeColumn(names, random.slope);
  checkCounts(subjects.length, rows, names.length, slopeIndex > 0 ? 2 : 1);

  const columnsOfX = [new Float64Array(rows).fill(1), ...sorted];
  const { q, r, scale, dependent } = orthogonalised(columnsOfX, RANK_TOLERANCE);
  if (dependent !== undefined) throw redundant(names, dependent);
  const slope = slopeIndex > 0 ? itemAt(sorted, slopeIndex - 1) : undefined;
  return {
    ...{ names, subjects, rows, order, starts, q, r, columnScale: scale, slopeIndex },
    ...{ back: backToColumns({ q, r, scale }), terms: coded.model },
    ...(slope && { slopeColumn: slope }),
    ...{ hasSlope: slope !== undefined, correlated: random.correlated },
    ...subjectRoots(starts, slope, random.correlated),
  };
}

/** Subjects in order of first appearance, and the rows grouped by them (a counting sort). */
function sortBySubject(column: string[]) {
  const places = new Map<string, number>();
  const counts: number[] = [];
  const code = new Int32Array(column.length);
  for (let row = 0; row < column.length; row++) {
    const place = places.get(itemAt(column, row)) ?? places.size;
    if (place === places.size) places.set(itemAt(column, row), place);
    counts[place] = (counts[place] ?? 0) + 1;
    code[row] = place;
  }
  const starts = new Int32Array(counts.length + 1);
  for (let i = 0; i < counts.length; i++) starts[i + 1] = wholeAt(starts, i) + itemAt(counts, i);
  const next = starts.slice();
  const order = new Int32Array(column.length);
  for (let row = 0; row < code.length; row++) {
    const place = wholeAt(next, wholeAt(code, row));
    order[place] = row;
    next[wholeAt(code, row)] = place + 1;
  }
  return { subjects: [...places.keys()], order, starts };
}

function slopeColumn(names: string[], slope: string | undefined): number {
  if (slope === undefined) return -1;
  const index = names.indexOf(slope);
  if (index > 0) return index;
  const expected = `the name of a term (${names.slice(1).join(", ") || "there are none"})`;
  throw new InputError({ expected, got: shown(slope), where: "fitMixed, slope" });
}

function checkCounts(subjects: number, rows: number, fixed: number, random: number): void {
  if (subjects < 2) {
    const expected = "at least 2 subjects";
    throw new InputError({ expected, got: `${subjects}`, where: "fitMixed, subject" });
  }
  const least = Math.max(fixed, subjects * random) + 1;
  if (rows < least) {
    const what = random === 2 ? "an intercept and a slope" : "an intercept";
    throw new InputError({
      expected: `at least ${least} rows to tell ${what} of each of ${subjects} subjects from error`,
      got: `${rows}`,
      where: "fitMixed, y",
    });
  }
}

function redundant(names: string[], j: number): InputError {
  const others = names.slice(0, j).join(", ");
  return new InputError({
    expected: `a column that is not a combination of those before it (${others})`,
    got: `"${names[j]}", which adds nothing to them`,
    where: `fitMixed, terms.${names[j]}`,
  });
}

/** Scales the random-effect columns and splits them, subject by subject, into Eᵢ·Rᵢ. */
function subjectRoots(starts: Int32Array, slope: Float64Array | undefined, correlated: boolean) {
  const count = starts.length - 1;
  const rows = wholeAt(starts, count);
  const first = Math.sqrt(rows / count);
  const roots = new Float64Array(3 * count);
  const second = new Float64Array(rows);
  for (let i = 0; i < count; i++)
    roots[3 * i] = Math.sqrt(wholeAt(starts, i + 1) - wholeAt(starts, i)) / first;
  if (slope === undefined) return { centre: 0, zScale: [first, 1] as const, roots, second };

  // A shift of x mixes intercept and slope; only a free correlation leaves the model as it was.
  const centre = correlated ? average(slope, 0, rows) : 0;
  const size = largest(slope.map((x) => x - centre)) || 1;
  const z = slope.map((x) => (x - centre) / size);
  const spread = Math.sqrt(dot(z, z) / count);
  for (let row = 0; row < rows; row++) z[row] = realAt(z, row) / spread;
  for (let i = 0; i < count; i++)
    secondRoot(z, wholeAt(starts, i), wholeAt(starts, i + 1), roots, 3 * i, second);
  return { centre, zScale: [first, size * spread] as const, roots, second };
}

function secondRoot(
  z: Float64Array,
  from: number,
  to: number,
  roots: Float64Array,
  at: number,
  second: Float64Array,
): void {
  const mean = average(z, from, to);
  let whole = 0;
  let around = 0;
  for (let row = from; row < to; row++) {
    const rest = realAt(z, row) - mean;
    second[row] = rest;
    whole += realAt(z, row) ** 2;
    around += rest * rest;
  }
  const varies = around > RANK_TOLERANCE ** 2 * whole;
  const root = varies ? Math.sqrt(around) : 0;
  for (let row = from; row < to; row++) second[row] = varies ? realAt(second, row) / root : 0;
  roots[at + 1] = mean * Math.sqrt(to - from);
  roots[at + 2] = root;
}

/** A column with its rows in the order given. */
export function inOrder(column: Numbers, order: Int32Array): Float64Array {
  const sorted = new Float64Array(order.length);
  for (let place = 0; place < order.length; place++)
    sorted[place] = itemAt(column, wholeAt(order, place));
  return sorted;
}

function average(column: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let row = from; row < to; row++) sum += realAt(column, row);
  const mean = sum / (to - from);
  let rest = 0;
  for (let row = from; row < to; row++) rest += realAt(column, row) - mean;
  return mean + rest / (to - from);
}

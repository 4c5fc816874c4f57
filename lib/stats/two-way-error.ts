import { itemAt, realAt } from "../entry.js";
import { cholesky, solveCholesky } from "../num/linear.js";

/** One measurement of a person on one trial. */
export interface RepeatedValue {
  /** Whose value it is. */
  readonly person: string;
  /** Which trial, or which visit; one value per person and trial. */
  readonly trial: string;
  /** The value, in any unit. */
  readonly value: number;
}

/** The error of repeated values around persons and trials. */
export interface TwoWayError {
  /** √(error mean square), in the unit of the values. */
  readonly sd: number;
  /** Degrees of freedom: values − persons − trials + 1. */
  readonly df: number;
}

/** The same error from everybody, and without each person in turn. */
export interface TwoWayErrors {
  /** Persons with two values or more, in order of first appearance. */
  readonly persons: readonly string[];
  /** From everybody; null where no degree of freedom is left. */
  readonly whole: TwoWayError | null;
  /** Without each person, in the order of `persons`. */
  readonly without: readonly (TwoWayError | null)[];
}

/** Sums of one person, or of several: Σd², Σd by trial, and the normal equations of the trials. */
interface Sums {
  values: number;
  persons: number;
  squares: number;
  readonly shifts: Float64Array;
  readonly matrix: Float64Array;
}

/**
 * Error mean square of a two-way layout without interaction (persons, trials) in which values may
 * be missing: every person with two values or more counts. With all values it is the mean square of
 * the analysis of variance.
 *
 * With d = value − mean of its person, C = Σ(I − 11ᵀ/k) over persons and g = Σd by trial, the
 * error sum of squares is Σd² − gᵀC⁻g. A person is left out by taking off that person's part of Σd²,
 * g and C, so that all of them cost one pass.
 *
 * @throws nothing; persons with one value add nothing and are not listed
 * @see Searle (1971) Linear Models, chapter 7.1 (two-way crossed classification, unequal numbers)
 */
export function twoWayErrors(values: readonly RepeatedValue[]): TwoWayErrors {
  const trials = [...new Set(values.map(({ trial }) => trial))];
  const places = new Map(trials.map((trial, place) => [trial, place]));
  const byPerson = new Map<string, RepeatedValue[]>();
  for (const one of values) {
    const list = byPerson.get(one.person);
    if (list) list.push(one);
    else byPerson.set(one.person, [one]);
  }
  const repeated = [...byPerson].filter(([, rows]) => rows.length > 1);
  const parts = repeated.map(([, rows]) => partOf(rows, places, trials.length));
  const all = emptySums(trials.length);
  for (const part of parts) add(all, part, 1);
  const without = parts.map((part) => {
    const left = copy(all);
    add(left, part, -1);
    return errorOf(left, trials.length);
  });
  return {
    persons: repeated.map(([person]) => person),
    whole: errorOf(all, trials.length),
    without,
  };
}

function emptySums(k: number): Sums {
  return {
    values: 0,
    persons: 0,
    squares: 0,
    shifts: new Float64Array(k),
    matrix: new Float64Array(k * k),
  };
}

function copy({ values, persons, squares, shifts, matrix }: Sums): Sums {
  return { values, persons, squares, shifts: shifts.slice(), matrix: matrix.slice() };
}

function add(to: Sums, part: Sums, sign: 1 | -1): void {
  to.values += sign * part.values;
  to.persons += sign * part.persons;
  to.squares += sign * part.squares;
  for (let j = 0; j < to.shifts.length; j++) {
    to.shifts[j] = realAt(to.shifts, j) + sign * realAt(part.shifts, j);
  }
  for (let j = 0; j < to.matrix.length; j++) {
    to.matrix[j] = realAt(to.matrix, j) + sign * realAt(part.matrix, j);
  }
}

function partOf(
  rows: readonly RepeatedValue[],
  places: ReadonlyMap<string, number>,
  k: number,
): Sums {
  const part = emptySums(k);
  const first = itemAt(rows, 0).value;
  const mean = first + rows.reduce((sum, { value }) => sum + (value - first), 0) / rows.length;
  part.values = rows.length;
  part.persons = 1;
  for (const { trial, value } of rows) {
    const j = places.get(trial) ?? 0;
    part.squares += (value - mean) ** 2;
    part.shifts[j] = realAt(part.shifts, j) + (value - mean);
    for (const other of rows) {
      const place = j * k + (places.get(other.trial) ?? 0);
      part.matrix[place] = realAt(part.matrix, place) - 1 / rows.length;
    }
    part.matrix[j * k + j] = realAt(part.matrix, j * k + j) + 1;
  }
  return part;
}

/** The error from sums; trials that nobody has any more fall out, the first that is left is 0. */
function errorOf(
  { values, persons, squares, shifts, matrix }: Sums,
  k: number,
): TwoWayError | null {
  const there = Array.from({ length: k }, (_, j) => j).filter(
    (j) => realAt(matrix, j * k + j) > 1e-9,
  );
  const free = there.slice(1);
  const df = values - persons - free.length;
  if (df < 1) return null;
  const normal = Float64Array.from({ length: free.length ** 2 }, (_, at) => {
    const row = itemAt(free, Math.floor(at / free.length));
    return realAt(matrix, row * k + itemAt(free, at % free.length));
  });
  const factor = cholesky(normal, free.length);
  if (!factor) return null;
  const right = Float64Array.from(free, (j) => realAt(shifts, j));
  const solved = solveCholesky(factor, right);
  let explained = 0;
  for (let j = 0; j < free.length; j++) explained += realAt(solved, j) * realAt(right, j);
  return { sd: Math.sqrt(Math.max(0, squares - explained) / df), df };
}

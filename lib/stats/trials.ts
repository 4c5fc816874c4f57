import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { groupSums, mean, sum } from "../num/sums.js";
import { outOfRange } from "./estimate.js";
import { numbers, shown } from "./input.js";

/** A full table of repeated trials, a row a person, taken apart by two-way analysis of variance. */
export interface TrialTable {
  /** Number of people. */
  readonly people: number;
  /** Number of trials per person. */
  readonly trials: number;
  /** The trials of each person. */
  readonly rows: readonly Float64Array[];
  /** The people of each trial. */
  readonly columns: readonly Float64Array[];
  /** Mean squares between people, between trials and of the error. */
  readonly meanSquares: MeanSquares;
}

/** Mean squares of people × trials, in the square of the unit of the table. */
export interface MeanSquares {
  /** Between people, n − 1 degrees of freedom. */
  readonly people: number;
  /** Between trials, k − 1. */
  readonly trials: number;
  /** What is left when people and trials are taken out, (n − 1)(k − 1). */
  readonly error: number;
  /** Within people (trials and error together), n(k − 1). */
  readonly within: number;
}

/**
 * Checks a table of trials and takes its mean squares.
 *
 * @param table at least two rows (people) of the same length, at least two (trials)
 * @throws InputError when the table is not rectangular, too small, or holds a value that is not finite
 * @see Shrout & Fleiss (1979) Psychol Bull 86:420–428, Table 3
 */
export function trialTable(table: ArrayLike<ArrayLike<number>>, where: string): TrialTable {
  if (table === null || typeof table !== "object" || typeof table.length !== "number") {
    throw new InputError({ expected: "a table with one row per person", got: shown(table), where });
  }
  if (table.length < 2) {
    throw new InputError({ expected: "at least 2 people", got: `${table.length}`, where });
  }
  const rows = Array.from(table, (row, i) => numbers(row, `${where}, row ${i}`, 2));
  const trials = itemAt(rows, 0).length;
  for (const [i, row] of rows.entries()) {
    if (row.length === trials) continue;
    throw new InputError({
      expected: `${trials} trials for every person, as in row 0 (leave out who lacks one, or use fitVarianceComponents)`,
      got: `${row.length}`,
      where: `${where}, row ${i}`,
    });
  }
  const made = tableOf(rows);
  const { people, within } = made.meanSquares;
  const [first] = itemAt(rows, 0);
  if (people + within === 0 && rows.some((row) => row.some((value) => value !== first)))
    throw outOfRange(0, `${where}, mean squares of values that differ`);
  return made;
}

/** The table of checked rows, mean squares and all. */
export function tableOf(rows: readonly Float64Array[]): TrialTable {
  const people = rows.length;
  const trials = itemAt(rows, 0).length;
  const columns = Array.from({ length: trials }, (_, j) =>
    Float64Array.from(rows, (row) => realAt(row, j)),
  );
  const byPerson = groupSums(rows);
  const byTrial = groupSums(columns);
  return {
    people,
    trials,
    rows,
    columns,
    meanSquares: {
      people: byPerson.between / (people - 1),
      trials: byTrial.between / (trials - 1),
      error: residualSum(rows, columns) / ((people - 1) * (trials - 1)),
      within: byPerson.within / (people * (trials - 1)),
    },
  };
}

/**
 * Sum of squared residuals of row + column means, from the residuals themselves: the difference of
 * two large sums would lose the digits of a small error.
 */
function residualSum(rows: readonly Float64Array[], columns: readonly Float64Array[]): number {
  const origin = realAt(itemAt(rows, 0), 0);
  const shifted = rows.map((row) => row.map((value) => value - origin));
  const rowMeans = shifted.map(mean);
  const columnMeans = columns.map((column) => mean(column.map((value) => value - origin)));
  const grand = mean(rowMeans);
  const squares = shifted.map((row, i) =>
    sum(row.map((value, j) => (value - itemAt(rowMeans, i) - itemAt(columnMeans, j) + grand) ** 2)),
  );
  const total = sum(squares);
  // Residuals that are rounding of the readings count as none: trial 2 = trial 1 + 0.1 has no error.
  const widest = Math.max(
    ...shifted.map((row) => row.reduce((a, b) => Math.max(a, Math.abs(b)), 0)),
  );
  const rounding = 8 * Number.EPSILON * Math.max(widest, Math.abs(origin));
  return total <= rows.length * columns.length * rounding ** 2 ? 0 : total;
}

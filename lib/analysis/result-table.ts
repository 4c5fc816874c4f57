import { frozen, type Interval } from "../stats/estimate.js";

/** A column of a table that belongs to an answer. */
export interface ResultColumn {
  /** The key of the column in each row. */
  readonly name: string;
  /** The heading a reader sees. */
  readonly label: string;
  /** Unit of the values, shown in the heading. */
  readonly unit?: string;
  /** Decimal places; without it three significant digits. */
  readonly digits?: number;
}

/** A row of such a table, by column name; null where there is no value. */
export type ResultRow = Readonly<Record<string, string | number | null>>;

/** What an answer says in more than one number: rows and columns, ready to be shown. */
export interface ResultTable {
  /** Name of the function that made this record. */
  readonly kind: string;
  /** A sentence that stands above the table. */
  readonly caption: string;
  /** The columns from left to right. */
  readonly columns: readonly ResultColumn[];
  /** The rows from top to bottom. */
  readonly rows: readonly ResultRow[];
}

/** A column of text, or of numbers where digits or a unit are given. */
export function column(name: string, label: string, unit?: string, digits?: number): ResultColumn {
  return {
    name,
    label,
    ...(unit !== undefined && unit !== "" && { unit }),
    ...(digits !== undefined && { digits }),
  };
}

/** A table of an answer, frozen. */
export function resultTable(
  caption: string,
  columns: readonly ResultColumn[],
  rows: readonly ResultRow[],
  kind = "resultTable",
): ResultTable {
  return frozen({ kind, caption, columns, rows });
}

/** The two columns of the limits of an interval, in the order of reading. */
export function limitColumns(unit: string, digits: number): readonly ResultColumn[] {
  return [column("low", "Lower limit", unit, digits), column("high", "Upper limit", unit, digits)];
}

/** The limits of an interval as two cells of a row; null where there is no interval. */
export function limitsOf(interval: Interval | undefined): {
  readonly low: number | null;
  readonly high: number | null;
} {
  return { low: interval?.low ?? null, high: interval?.high ?? null };
}

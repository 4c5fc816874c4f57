import { ColumnTable } from "arquero";
import { itemAt, wholeAt } from "../../entry.js";
import type { AnyRow, StudyTable } from "./study-table.js";

/**
 * A table column that holds each different value once: `values[codes[row]]`. A million rows of text
 * then cost four bytes each. It is an ordinary column to arquero.
 */
export class CodedValues<T> {
  readonly codes: ArrayLike<number>;
  readonly values: readonly T[];

  constructor(codes: ArrayLike<number>, values: readonly T[]) {
    this.codes = codes;
    this.values = values;
  }

  get length(): number {
    return this.codes.length;
  }

  at(row: number): T {
    return itemAt(this.values, itemAt(this.codes, row));
  }

  *[Symbol.iterator](): Iterator<T> {
    for (let row = 0; row < this.codes.length; row++) yield this.at(row);
  }

  toArray(): T[] {
    return Array.from({ length: this.codes.length }, (_, row) => this.at(row));
  }
}

/** Anything that can be a column here. */
export type Column = CodedValues<unknown> | ArrayLike<unknown>;
/** Columns of a table by name, all of one length. */
export type Columns = Readonly<Record<string, Column>>;

type NumberArray = Float64Array | Int32Array | Uint8Array | Uint16Array;

function isNumberArray(column: Column): column is NumberArray {
  return ArrayBuffer.isView(column) && !(column instanceof DataView);
}

/** A table of these columns; nothing is copied. */
export function tableOf<Row = AnyRow>(columns: Columns): StudyTable<Row> {
  const data = { ...columns } as ConstructorParameters<typeof ColumnTable>[0];
  return new ColumnTable(data) as StudyTable<Row>;
}

/** Some rows of a column, in the order of the indices. */
export function takeColumn(column: Column, rows: Int32Array): Column {
  if (column instanceof CodedValues) {
    const codes = new Int32Array(rows.length);
    const from = column.codes instanceof Int32Array ? column.codes : Int32Array.from(column.codes);
    for (let i = 0; i < rows.length; i++) codes[i] = wholeAt(from, wholeAt(rows, i));
    return new CodedValues(codes, column.values);
  }
  if (isNumberArray(column)) {
    const part = column.slice(0, rows.length);
    for (let i = 0; i < rows.length; i++) part[i] = itemAt(column, wholeAt(rows, i));
    return part;
  }
  return Array.from(rows, (row) => (column as ArrayLike<unknown>)[row]);
}

/** Some rows of a table, in the order of the indices. */
export function takeRows<T extends ColumnTable>(table: T, rows: Int32Array): T {
  const names = table.columnNames();
  const taken = names.map((name) => [name, takeColumn(columnOf(table, name), rows)]);
  return tableOf(Object.fromEntries(taken)) as ColumnTable as T;
}

/** The rows of a table that pass, in the table's own order; a filter set on it is kept. */
export function keepRows<T extends ColumnTable>(table: T, keep: (row: number) => boolean): T {
  const rows: number[] = [];
  table.scan((row) => {
    if (row !== undefined && keep(row)) rows.push(row);
  }, true);
  return takeRows(table, Int32Array.from(rows));
}

/** A column of a table by its name. */
export function columnOf(table: ColumnTable, name: string): Column {
  const column: unknown = table.column(name);
  return column as Column;
}

/** The value in one row of a column. */
export function valueAt(column: Column, row: number): unknown {
  return column instanceof CodedValues ? column.at(row) : (column as ArrayLike<unknown>)[row];
}

/** A column as codes into its values, each of which stands once. */
export function coded(column: Column): CodedValues<unknown> {
  if (column instanceof CodedValues && new Set(column.values).size === column.values.length)
    return column;
  const seen = new Map<unknown, number>();
  const codes = new Int32Array(column.length);
  for (let row = 0; row < codes.length; row++) {
    const value = valueAt(column, row);
    let code = seen.get(value);
    if (code === undefined) {
      code = seen.size;
      seen.set(value, code);
    }
    codes[row] = code;
  }
  return new CodedValues(codes, [...seen.keys()]);
}

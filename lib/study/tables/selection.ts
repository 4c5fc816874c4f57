import type { ColumnTable } from "arquero";
import { InputError } from "../../errors.js";
import { columnOf, keepRows, valueAt } from "./columns.js";

/** Values that columns must have, such as {hand: "lead", position: "address"}. */
export type Where = Readonly<Record<string, string | readonly string[]>>;

/** Whether a table has a column. */
export function hasColumn(table: ColumnTable, name: string): boolean {
  return table.columnNames().includes(name);
}

/** A text column as a plain array. */
export function textColumn(table: ColumnTable, name: string): string[] {
  return (hasColumn(table, name) ? Array.from(table.array(name) as Iterable<unknown>) : []).map(
    String,
  );
}

/** The rows of a table whose columns hold the values asked for. */
export function matching<T extends ColumnTable>(table: T, where: Where, caller: string): T {
  const tests = Object.entries(where).map(([name, wanted]) => {
    if (!hasColumn(table, name))
      throw new InputError({
        expected: `one of the columns ${table.columnNames().join(", ")}`,
        got: JSON.stringify(name),
        where: `${caller}, where`,
      });
    const column = columnOf(table, name);
    const values: readonly unknown[] = typeof wanted === "string" ? [wanted] : wanted;
    return (row: number) => values.includes(valueAt(column, row));
  });
  return keepRows(table, (row) => tests.every((test) => test(row)));
}

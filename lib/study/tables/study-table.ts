import type { ColumnTable } from "arquero";

/** The value of a cell whose column is not known beforehand. */
export type CellValue = ReturnType<ColumnTable["get"]>;

/** A row of a table whose columns are not known beforehand: one that a verb has made. */
export type AnyRow = Readonly<Record<string, CellValue>>;

/** What a table gives when the type of its rows is known. */
export interface TypedRows<Row> {
  /** Every row as a plain object, in the table's order. */
  objects(...options: Parameters<ColumnTable["objects"]>): Row[];
  /** One row as a plain object; the first when no row is named. */
  object(row?: number): Row;
  /**
   * The values of a column as an array. A number that was not measured is NaN, a text that was not
   * written down is null. A column that the file does not have is refused.
   */
  array<Name extends keyof Row & string>(name: Name): Required<Row>[Name][];
  /** The value in one row of a column; of the first row when none is named. */
  get<Name extends keyof Row & string>(name: Name, row?: number): Required<Row>[Name];
  /** Goes through the rows as plain objects. */
  [Symbol.iterator](): Iterator<Row>;
  /** Adds columns, or replaces some. */
  derive<Values extends Parameters<ColumnTable["derive"]>[0]>(
    values: Values,
    options?: Parameters<ColumnTable["derive"]>[1],
  ): StudyTable<Omit<Row, keyof Values> & { readonly [Name in keyof Values]: CellValue }>;
  /** Keeps some columns. */
  select<Name extends keyof Row & string>(...names: Name[]): StudyTable<Pick<Row, Name>>;
  /** Keeps some columns, named in any way that arquero allows. */
  select(...columns: Parameters<ColumnTable["select"]>): StudyTable<AnyRow>;
  /** Gives columns other names. */
  readonly rename: (...columns: Parameters<ColumnTable["rename"]>) => StudyTable<AnyRow>;
  /** One row of summaries per group. */
  rollup(...values: Parameters<ColumnTable["rollup"]>): StudyTable<AnyRow>;
  /** Number of rows per group. */
  count(...options: Parameters<ColumnTable["count"]>): StudyTable<AnyRow>;
  /** One row per group by a reducer of arquero. */
  reduce(...reducer: Parameters<ColumnTable["reduce"]>): StudyTable<AnyRow>;
  /** Adds the columns of other tables, row by row. */
  assign(...tables: Parameters<ColumnTable["assign"]>): StudyTable<AnyRow>;
  /** Turns columns into rows of key and value. */
  fold(...folded: Parameters<ColumnTable["fold"]>): StudyTable<AnyRow>;
  /** Turns keys and values into columns. */
  pivot(...pivoted: Parameters<ColumnTable["pivot"]>): StudyTable<AnyRow>;
  /** Turns a column of lists into columns. */
  spread(...spread: Parameters<ColumnTable["spread"]>): StudyTable<AnyRow>;
  /** Turns a column of lists into rows. */
  unroll(...unrolled: Parameters<ColumnTable["unroll"]>): StudyTable<AnyRow>;
  /** Adds columns of another table by a key that is unique there. */
  lookup(...looked: Parameters<ColumnTable["lookup"]>): StudyTable<AnyRow>;
  /** Joins rows that match in both tables. */
  join(...joined: Parameters<ColumnTable["join"]>): StudyTable<AnyRow>;
  /** Joins another table and keeps every row of this one. */
  join_left(...joined: Parameters<ColumnTable["join_left"]>): StudyTable<AnyRow>;
  /** Joins another table and keeps every row of that one. */
  join_right(...joined: Parameters<ColumnTable["join_right"]>): StudyTable<AnyRow>;
  /** Joins another table and keeps every row of both. */
  join_full(...joined: Parameters<ColumnTable["join_full"]>): StudyTable<AnyRow>;
  /** Every pair of a row of this table and one of another. */
  cross(...crossed: Parameters<ColumnTable["cross"]>): StudyTable<AnyRow>;
}

/**
 * An arquero table whose rows have a known type, so that an editor completes its columns and a
 * compiler checks them. Verbs that keep the columns keep the type (`filter`, `orderby`, `slice`,
 * `sample`, `groupby` …); those that make columns of their own give rows of any columns.
 * @see https://idl.uw.edu/arquero/
 */
export type StudyTable<Row = AnyRow> = TypedRows<Row> & ColumnTable;

import type { ColumnTable } from "arquero";

/** The value of a cell whose column is not known beforehand. */
export type CellValue = ReturnType<ColumnTable["get"]>;

/** A row of a table whose columns are not known beforehand: one that a verb has made. */
export type AnyRow = Readonly<Record<string, CellValue>>;

type Arguments<Verb extends keyof ColumnTable> = ColumnTable[Verb] extends (
  ...args: infer A
) => unknown
  ? A
  : never;

/** Names of the columns that a row has. */
type ColumnName<Row> = keyof Row & string;

/** What a table gives when the type of its rows is known. */
export interface TypedRows<Row> {
  /** Every row as a plain object, in the table's order. */
  objects(...options: Arguments<"objects">): Row[];
  /** One row as a plain object; the first when no row is named. */
  object(row?: number): Row;
  /**
   * The values of a column as an array. A number that was not measured is NaN, a text that was not
   * written down is null. A column that the file does not have is refused.
   */
  array<Name extends ColumnName<Row>>(name: Name): Required<Row>[Name][];
  /** The value in one row of a column; of the first row when none is named. */
  get<Name extends ColumnName<Row>>(name: Name, row?: number): Required<Row>[Name];
  /** Goes through the rows as plain objects. */
  [Symbol.iterator](): Iterator<Row>;
  /** Adds columns, or replaces some. */
  derive<Values extends Arguments<"derive">[0]>(
    values: Values,
    options?: Arguments<"derive">[1],
  ): StudyTable<Omit<Row, keyof Values> & { readonly [Name in keyof Values]: CellValue }>;
  /** Keeps some columns. */
  select<Name extends ColumnName<Row>>(...names: Name[]): StudyTable<Pick<Row, Name>>;
  select(...columns: Arguments<"select">): StudyTable<AnyRow>;
  readonly rename: (...columns: Arguments<"rename">) => StudyTable<AnyRow>;
  rollup(...values: Arguments<"rollup">): StudyTable<AnyRow>;
  count(...options: Arguments<"count">): StudyTable<AnyRow>;
  reduce(...reducer: Arguments<"reduce">): StudyTable<AnyRow>;
  assign(...tables: Arguments<"assign">): StudyTable<AnyRow>;
  fold(...folded: Arguments<"fold">): StudyTable<AnyRow>;
  pivot(...pivoted: Arguments<"pivot">): StudyTable<AnyRow>;
  spread(...spread: Arguments<"spread">): StudyTable<AnyRow>;
  unroll(...unrolled: Arguments<"unroll">): StudyTable<AnyRow>;
  lookup(...looked: Arguments<"lookup">): StudyTable<AnyRow>;
  join(...joined: Arguments<"join">): StudyTable<AnyRow>;
  join_left(...joined: Arguments<"join_left">): StudyTable<AnyRow>;
  join_right(...joined: Arguments<"join_right">): StudyTable<AnyRow>;
  join_full(...joined: Arguments<"join_full">): StudyTable<AnyRow>;
  cross(...crossed: Arguments<"cross">): StudyTable<AnyRow>;
}

/**
 * An arquero table whose rows have a known type, so that an editor completes its columns and a
 * compiler checks them. Verbs that keep the columns keep the type (`filter`, `orderby`, `slice`,
 * `sample`, `groupby` …); those that make columns of their own give rows of any columns.
 * @see https://idl.uw.edu/arquero/
 */
export type StudyTable<Row = AnyRow> = TypedRows<Row> & ColumnTable;

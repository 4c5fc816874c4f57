/** A column of a table output. */
export interface TableColumn {
  /** The key of the column in each row. */
  readonly name: string;
  /** The heading a reader sees. */
  readonly label: string;
  /** Unit of the values, shown in the heading. */
  readonly unit?: string | undefined;
  /** Decimal places; without it three significant digits, whole numbers as they are. */
  readonly digits?: number | undefined;
  /** What the column holds, for the notes of a workbook. */
  readonly means?: string | undefined;
}

/** What a cell of a table may be. */
export type TableValue = string | number | boolean | null;
/** One row of a table, by column name. */
export type TableRow = Readonly<Record<string, TableValue>>;

/** A table as it is recorded. */
export interface Table {
  /** Kind of the output. */
  readonly kind: "table";
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** The rows from top to bottom. */
  readonly rows: readonly TableRow[];
  /** The columns from left to right. */
  readonly columns: readonly TableColumn[];
  /** A sentence that stands above the table. */
  readonly caption: string;
}

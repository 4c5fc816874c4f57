import { itemAt, wholeAt } from "../../entry.js";

/**
 * One column as the file wrote it: every different text once in `levels`, and for each row which of
 * them stands there. A million rows of a trial file hold a few thousand different texts, so each is
 * looked at once.
 */
export interface CodedColumn {
  /** Name of the column. */
  readonly name: string;
  /** Place in `levels` of each row's text. */
  readonly codes: Int32Array;
  /** Every different text, once. */
  readonly levels: readonly string[];
}

/** Something odd about one row that only the reading of the file can know. */
export interface RowFault {
  /** Index of the row, from 0. */
  readonly index: number;
  /** Kind of the fault. */
  readonly code: "row-width" | "quote-open" | "cell-long";
  /** What stands there. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
}

/** A file's rows before anything is known about their meaning. */
export interface Sheet {
  /** The columns in the order of the file. */
  readonly columns: readonly CodedColumn[];
  /** Rows, the header not counted. */
  readonly rowCount: number;
  /** Row of the file for each index, counted as a spreadsheet does; the header is row 1. */
  readonly fileRow: (index: number) => number;
  /** What is wrong with the form of single rows. */
  readonly faults: readonly RowFault[];
  /** Number of empty rows that were passed over. */
  readonly blankRows: number;
  /** Rows that a spreadsheet hides, as it counts them. */
  readonly hiddenRows: readonly number[];
  /** Ranges of merged cells, such as "A2:B3". */
  readonly mergedCells: readonly string[];
  /** True when numbers were numbers in the file, so that a decimal mark is no question. */
  readonly typed?: boolean;
}

/** Puts texts into a column, one after another. */
export class ColumnBuilder {
  readonly name: string;
  private readonly seen = new Map<string, number>();
  private readonly levels: string[] = [];
  private readonly codes: number[] = [];

  constructor(name: string) {
    this.name = name;
  }

  add(text: string): void {
    let code = this.seen.get(text);
    if (code === undefined) {
      code = this.levels.length;
      this.seen.set(text, code);
      this.levels.push(text);
    }
    this.codes.push(code);
  }

  done(): CodedColumn {
    return { name: this.name, codes: Int32Array.from(this.codes), levels: this.levels };
  }
}

/** The text of one cell. */
export function cellText(column: CodedColumn, index: number): string {
  return itemAt(column.levels, wholeAt(column.codes, index));
}

/** A column that holds one text in every row. */
export function constantColumn(name: string, text: string, rowCount: number): CodedColumn {
  return { name, codes: new Int32Array(rowCount), levels: [text] };
}

/** A column in which an empty cell repeats the cell above it, as merged cells are meant. */
export function filledDown(column: CodedColumn): CodedColumn {
  const empty = column.levels.map((level) => level.trim() === "");
  const codes = column.codes.slice();
  for (let i = 1; i < codes.length; i++)
    if (itemAt(empty, wholeAt(codes, i))) codes[i] = wholeAt(codes, i - 1);
  return { ...column, codes };
}

/** A new column from another's levels. */
export function renamed(column: CodedColumn, name: string): CodedColumn {
  return { ...column, name };
}

import { itemAt, wholeAt } from "../../entry.js";

/**
 * One column as the file wrote it: every different text once in `levels`, and for each row which of
 * them stands there. A million rows of a trial file hold a few thousand different texts, so each is
 * looked at once.
 */
export interface CodedColumn {
  readonly name: string;
  readonly codes: Int32Array;
  readonly levels: readonly string[];
}

/** Something odd about one row that only the reading of the file can know. */
export interface RowFault {
  readonly index: number;
  readonly code: "row-width" | "quote-open" | "cell-long";
  readonly value: string;
  readonly expected: string;
}

/** A file's rows before anything is known about their meaning. */
export interface Sheet {
  readonly columns: readonly CodedColumn[];
  readonly rowCount: number;
  /** Row of the file for each index, counted as a spreadsheet does; the header is row 1. */
  readonly fileRow: (index: number) => number;
  readonly faults: readonly RowFault[];
  readonly blankRows: number;
  readonly hiddenRows: readonly number[];
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

/** A new column from another's levels. */
export function renamed(column: CodedColumn, name: string): CodedColumn {
  return { ...column, name };
}

import { itemAt, wholeAt } from "../../entry.js";
import type { Field, ResourceName } from "../package/dictionary.js";
import type { Resource } from "../package/resource.js";
import type { CellValue } from "./cells.js";
import type { Fates } from "./fates.js";

/** One column after reading: what each different text means, and which of them each row holds. */
export interface ReadColumn {
  /** The column as the dictionary and the descriptor have it. */
  readonly field: Field;
  /** Which of the values each row has. */
  readonly codes: Int32Array;
  /** What each different text means. */
  readonly values: readonly CellValue[];
  /** The texts as the file wrote them, for messages. */
  readonly texts: readonly string[];
}

/** One file among those that a kind of rows is read from. */
export interface RowsPart {
  /** The resource that the file belongs to. */
  readonly resource: Resource;
  /** File inside the study folder, with the sheet where one is named. */
  readonly file: string;
  /** Index of the file's first row. */
  readonly start: number;
  /** Rows of the file, the header not counted. */
  readonly rowCount: number;
  /** Row that a spreadsheet shows, for an index from 0 within the file. */
  readonly fileRow: (index: number) => number;
  /** Whether the sheet has one column per trial instead of one row per trial. */
  readonly wide: boolean;
}

/** The rows of one kind, from one file or several, read and checked cell by cell. */
export interface Rows {
  /** What the rows are: participants, grip trials … */
  readonly kind: ResourceName;
  /** The file, or the files in words, for an issue about the rows as a whole. */
  readonly file: string;
  /** The files, in the order of the rows. */
  readonly parts: readonly RowsPart[];
  /** Rows of all files, the headers not counted. */
  readonly rowCount: number;
  /** The columns that the files may have. */
  readonly fields: readonly Field[];
  /** The columns by name. */
  readonly columns: ReadonlyMap<string, ReadColumn>;
  /** Which rows are used, and why the others are not. */
  readonly fates: Fates;
}

/** The file that a row stands in. */
export function partAt({ parts }: Rows, index: number): RowsPart {
  let low = 0;
  let high = parts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (itemAt(parts, middle).start <= index) low = middle;
    else high = middle - 1;
  }
  return itemAt(parts, low);
}

/** Where a row stands: its file, and its row as a spreadsheet counts. */
export function rowPlace(rows: Rows, index: number): { file: string; row: number } {
  const { file, start, fileRow } = partAt(rows, index);
  return { file, row: fileRow(index - start) };
}

/** A text cell, or null when it is empty or could not be read. */
export function textAt(rows: Rows, name: string, index: number): string | null {
  const column = rows.columns.get(name);
  if (!column) return null;
  const value = column.values[wholeAt(column.codes, index)];
  return typeof value === "string" ? value : null;
}

/** A number cell, or NaN when it is empty or could not be read. */
export function numberAt(rows: Rows, name: string, index: number): number {
  const column = rows.columns.get(name);
  if (!column) return Number.NaN;
  const value = column.values[wholeAt(column.codes, index)];
  return typeof value === "number" ? value : Number.NaN;
}

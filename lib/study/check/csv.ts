import { byteAt, itemAt, present } from "../../entry.js";
import { CsvCells, NEWLINE, QUOTE, RETURN } from "./csv-cells.js";
import { findDelimiter, joinedHeadings } from "./csv-header.js";
import { Interning, longer } from "./interning.js";
import type { RowFault, Sheet } from "./sheet.js";
import { textBetween } from "./text.js";

/** What one file may hold; more is refused rather than read. */
export const limits = {
  fileBytes: 512 * 2 ** 20,
  columns: 400,
  cells: 64_000_000,
  cellBytes: 10_000,
} as const;

/** How a delimited file is laid out, where the descriptor states it. */
export interface CsvOptions {
  /** The character between cells; found from the header when left out. */
  readonly delimiter?: string | undefined;
  /**
   * Which rows hold the column names, counted from 1; the first that is not blank when left out. Of
   * several, the upper ones are merged headings that reach over the columns to their right.
   */
  readonly headerRows?: readonly number[] | undefined;
}

/** A file that cannot be read as rows at all. */
export interface CsvRefusal {
  /** Why the file was refused. */
  readonly code: "file-too-large" | "file-unreadable" | "header-missing";
  /** What should be there instead, in words. */
  readonly expected: string;
  /** What the file has instead. */
  readonly got: string;
}

/** The rows of a delimited file, or why it was refused. */
export type CsvResult =
  | { readonly kind: "sheet"; readonly sheet: Sheet; readonly delimiter: string }
  | { readonly kind: "refused"; readonly refusal: CsvRefusal };

/**
 * Reads delimited text (RFC 4180, any of comma, semicolon, tab or bar, either line end) in one pass
 * over its UTF-8 bytes. Cost and memory grow with rows plus different texts.
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 */
export function readCsv(source: Uint8Array, options: CsvOptions = {}): CsvResult {
  if (source.length > limits.fileBytes)
    return refused(
      "file-too-large",
      `at most ${limits.fileBytes >> 20} MB`,
      `${source.length} bytes`,
    );
  // Doubled quotes are undone in place, so a file with quotes is copied first.
  const bytes = source.includes(QUOTE) ? source.slice() : source;
  const delimiter = options.delimiter ?? findDelimiter(bytes, options.headerRows?.at(-1));
  const reader = new Rows(bytes, delimiter.charCodeAt(0));
  const names = reader.header(options.headerRows);
  if (names === null) return refused("header-missing", "a row of column names", "no such row");
  if (names.length > limits.columns)
    return refused(
      "file-too-large",
      `at most ${limits.columns} columns`,
      `${names.length} columns`,
    );
  return reader.body(names, delimiter);
}

function refused(code: CsvRefusal["code"], expected: string, got: string): CsvResult {
  return { kind: "refused", refusal: { code, expected, got } };
}

/** Walks through the records of one file. */
class Rows extends CsvCells {
  /** Records passed so far, blank ones included. */
  private passed = 0;
  private readonly faults: RowFault[] = [];
  /** Where the row above begins, when it has every cell and none in quotation marks; else −1. */
  private above = -1;
  private readonly lastLineEnd = this.bytes.lastIndexOf(NEWLINE);

  header(rows: readonly number[] | undefined): string[] | null {
    const last = rows?.at(-1);
    const upper: string[][] = [];
    while (this.at < this.bytes.length) {
      const names: string[] = [];
      let more = true;
      while (more) {
        more = this.cell();
        if (names.length <= limits.columns)
          names.push(textBetween(this.bytes, this.start, this.end));
      }
      this.passed++;
      const blank = names.every((name) => name.trim() === "");
      if (last === undefined ? !blank : this.passed === last)
        return blank ? null : joinedHeadings(upper, names);
      if (rows?.includes(this.passed)) upper.push(names);
    }
    return null;
  }

  body(names: readonly string[], delimiter: string): CsvResult {
    const width = names.length;
    const first = this.passed + 1;
    const interning = names.map(() => new Interning(this.bytes));
    const room = roomFor(this.bytes, this.at, width);
    let codes = names.map(() => new Int32Array(room));
    const gaps: number[] = [];
    let count = 0;
    while (this.at < this.bytes.length) {
      if (count === itemAt(codes, 0).length) {
        if (count * width >= limits.cells)
          return refused("file-too-large", `at most ${limits.cells} cells`, `over ${count} rows`);
        codes = codes.map(longer);
      }
      if (this.rowLikeAbove(codes, interning, count) || this.row(codes, interning, count)) count++;
      else gaps.push(count);
    }
    const columns = names.map((name, c) => ({
      name,
      codes: itemAt(codes, c).subarray(0, count),
      levels: itemAt(interning, c).levels(),
    }));
    const sheet: Sheet = {
      columns,
      rowCount: count,
      fileRow: rowNumbers(first, gaps),
      faults: this.faults,
      blankRows: gaps.length,
      hiddenRows: [],
      mergedCells: [],
    };
    return { kind: "sheet", sheet, delimiter };
  }

  /**
   * Reads a record beside the one above it: most cells of a trial file repeat the cell above and
   * need neither hash nor text. False, with nothing passed, when the record is not plain.
   */
  private rowLikeAbove(
    codes: readonly Int32Array[],
    interning: readonly Interning[],
    index: number,
  ): boolean {
    const { bytes, delimiter, at: began } = this;
    let { above } = this;
    // The last line may lack its end; every other row ends within the file.
    if (above < 0 || began > this.lastLineEnd) return false;
    let i = began;
    const last = codes.length - 1;
    for (let c = 0; c <= last; c++) {
      const [column, texts] = [codes[c], interning[c]];
      if (column === undefined || texts === undefined) return false;
      const start = i;
      let byte = bytes[i];
      while (byte === bytes[above] && byte !== delimiter && byte !== NEWLINE && byte !== RETURN) {
        byte = bytes[++i];
        above++;
      }
      if (byte === bytes[above]) column[index] = column[index - 1] ?? 0;
      else {
        if (bytes[start] === QUOTE) return false;
        i = this.plainCell(start);
        if (i - start > limits.cellBytes) return false;
        column[index] = texts.code(start, i, this.hash);
        above = this.plainCell(above);
      }
      if ((bytes[i] === delimiter) === (c === last)) return false;
      if (c < last) i++;
      above++;
    }
    if (isBlank(bytes, began, i, delimiter)) return false;
    this.passEnd(i);
    this.passed++;
    this.above = began;
    return true;
  }

  /** Reads one record into the columns; false when it is blank and nothing is kept. */
  private row(codes: Int32Array[], interning: readonly Interning[], index: number): boolean {
    const began = this.at;
    const faultsBefore = this.faults.length;
    const width = codes.length;
    let column = 0;
    let more = true;
    let plain = true;
    while (more) {
      const place = column < width ? itemAt(interning, column) : null;
      const repeatEnd = place ? place.endOfRepeat(this.at, this.delimiter) : -1;
      if (repeatEnd >= 0) {
        itemAt(codes, column)[index] = present(place).last;
        more = this.passEnd(repeatEnd);
        column++;
        continue;
      }
      more = this.cell();
      if (this.quoted) plain = false;
      if (place) {
        itemAt(codes, column)[index] = place.code(this.start, this.end, this.hash);
        // A quoted text may hold delimiters, so it is no pattern for a plain cell below it.
        if (this.quoted) place.last = -1;
      }
      if (this.unclosed) this.fault(index, "quote-open", "a closing quotation mark");
      if (this.end - this.start > limits.cellBytes)
        this.fault(index, "cell-long", `at most ${limits.cellBytes} bytes in a cell`);
      column++;
    }
    this.passed++;
    const faultless = this.faults.length === faultsBefore;
    const blank = faultless && isBlank(this.bytes, began, this.at, this.delimiter);
    this.above = !blank && faultless && plain && column === width ? began : -1;
    if (blank) return false;
    for (let c = column; c < width; c++)
      itemAt(codes, c)[index] = itemAt(interning, c).code(began, began, 0);
    if (column !== width)
      this.faults.push({
        index,
        code: "row-width",
        value: `${column} cells`,
        expected: `${width} cells`,
      });
    return true;
  }

  private fault(index: number, code: RowFault["code"], expected: string): void {
    const end = Math.min(this.end, this.start + 60);
    this.faults.push({ index, code, value: textBetween(this.bytes, this.start, end), expected });
  }
}

/** How many rows to make room for: as many as the file holds if all are like the first ones. */
function roomFor(bytes: Uint8Array, from: number, width: number): number {
  const sample = bytes.subarray(from, from + 65_536);
  let lines = 1;
  for (let i = 0; i < sample.length; i++) if (sample[i] === NEWLINE) lines++;
  const rows = Math.ceil((1.05 * (bytes.length - from) * lines) / Math.max(1, sample.length));
  return Math.max(64, Math.min(rows + 16, Math.floor(limits.cells / width)));
}

/** A row of nothing but delimiters, spaces and quotes. */
function isBlank(bytes: Uint8Array, from: number, to: number, delimiter: number): boolean {
  for (let i = from; i < to && i < bytes.length; i++) {
    const byte = byteAt(bytes, i);
    if (byte > 32 && byte !== delimiter && byte !== QUOTE) return false;
  }
  return true;
}

/** File row of the index-th kept row: blank rows before it push it down. */
function rowNumbers(first: number, gaps: readonly number[]): (index: number) => number {
  if (gaps.length === 0) return (index) => first + index;
  return (index) => {
    let low = 0;
    let high = gaps.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (itemAt(gaps, middle) <= index) low = middle + 1;
      else high = middle;
    }
    return first + index + low;
  };
}

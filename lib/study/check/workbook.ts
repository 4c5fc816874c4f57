import { itemAt } from "../../entry.js";
import { loadSheetReader } from "../files.js";
import type { Resource } from "../package/resource.js";
import { limits } from "./csv.js";
import { joinedHeadings } from "./csv-header.js";
import type { IssueLog } from "./issue-log.js";
import type { RowFault, Sheet } from "./sheet.js";
import { ColumnBuilder } from "./sheet.js";
import { archiveFault } from "./workbook-archive.js";

/** Workbooks are zip files; no text file begins with these bytes. */
export function isWorkbook(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;
}

/** The older binary workbooks, which are not read. */
export function isOldWorkbook(bytes: Uint8Array): boolean {
  return bytes[0] === 0xd0 && bytes[1] === 0xcf && bytes[2] === 0x11 && bytes[3] === 0xe0;
}

/** The workbook to read, and which sheet and rows of it. */
export interface WorkbookPlace {
  /** Path of the workbook inside the study folder. */
  readonly file: string;
  /** Sheet and header row, as the descriptor has them. */
  readonly dialect: NonNullable<Resource["dialect"]>;
}

/** The parts of the sheet reader's records that are used here. */
interface Cell {
  readonly t: string;
  readonly v?: unknown;
  readonly w?: string;
  readonly z?: string;
  readonly f?: string;
}
interface WorkSheet {
  readonly "!data"?: readonly (readonly (Cell | null | undefined)[] | undefined)[];
  readonly "!rows"?: readonly ({ readonly hidden?: boolean } | undefined)[];
  readonly "!merges"?: readonly { readonly s: Place; readonly e: Place }[];
}
interface Place {
  readonly r: number;
  readonly c: number;
}
interface Workbook {
  readonly SheetNames: readonly string[];
  readonly Sheets: Readonly<Record<string, WorkSheet>>;
  readonly Workbook?: { readonly WBProps?: { readonly date1904?: boolean } };
}
interface SheetReader {
  read(bytes: Uint8Array, options: object): Workbook;
  readonly SSF: {
    is_date(format: string): boolean;
    parse_date_code(value: number, options: object): DateParts | null;
  };
  readonly utils: { encode_range(range: object): string };
}
interface DateParts {
  readonly y: number;
  readonly m: number;
  readonly d: number;
  readonly H: number;
  readonly M: number;
  readonly S: number;
}

/** Reads one sheet of a workbook: cells as values, dates as ISO text, codes as they are shown. */
export function readWorkbook(
  bytes: Uint8Array,
  { file, dialect }: WorkbookPlace,
  log: IssueLog,
): Sheet | null {
  const refuse = (value: string, expected = "a workbook (.xlsx) that is whole") => {
    log.add({ file, code: "file-unreadable", value, expected });
    return null;
  };
  const fault = archiveFault(bytes);
  if (fault !== null) return refuse(fault);
  const reader = loadSheetReader() as SheetReader;
  const book = openBook(reader, bytes);
  if (!book) return refuse("no workbook inside");
  const name = dialect.sheetName ?? book.SheetNames[(dialect.sheetNumber ?? 1) - 1];
  const sheet =
    name === undefined || !Object.hasOwn(book.Sheets, name) ? undefined : book.Sheets[name];
  if (!sheet) return refuse(`without sheet ${name ?? dialect.sheetNumber}`);
  if (
    dialect.sheetName === undefined &&
    dialect.sheetNumber === undefined &&
    book.SheetNames.length > 1
  )
    log.add({ file, code: "sheet-chosen", value: name, expected: book.SheetNames.join(", ") });
  const wide = { reader, date1904: book.Workbook?.WBProps?.date1904 === true };
  const result = rowsOf(sheet, { ...wide, headerRows: dialect.headerRows });
  if (typeof result === "string") {
    log.add({ file, code: "header-missing", value: result });
    return null;
  }
  if (typeof result === "number") {
    const expected = `at most ${limits.columns} columns`;
    log.add({ file, code: "file-too-large", value: `${result} columns`, expected });
    return null;
  }
  if (result.formulas > 0) log.add({ file, code: "formula-cells", value: result.formulas });
  return result.sheet;
}

function openBook(reader: SheetReader, bytes: Uint8Array): Workbook | null {
  const options = { type: "array", dense: true, cellNF: true, cellStyles: true, cellHTML: false };
  try {
    const book = reader.read(bytes, { ...options, bookVBA: false, bookDeps: false });
    return book.SheetNames.length > 0 ? book : null;
  } catch {
    return null;
  }
}

/** The rows of every sheet of a workbook as texts, title rows and all; null when it is none. */
export function workbookRows(bytes: Uint8Array): { sheet: string; rows: string[][] }[] | null {
  if (archiveFault(bytes) !== null) return null;
  const reader = loadSheetReader() as SheetReader;
  const book = openBook(reader, bytes);
  if (!book) return null;
  const reading = { reader, date1904: book.Workbook?.WBProps?.date1904 === true };
  return book.SheetNames.map((sheet) => ({
    sheet,
    rows: Array.from(book.Sheets[sheet]?.["!data"] ?? [], (row) => textsOf(row, reading)),
  }));
}

interface Reading {
  readonly reader: SheetReader;
  readonly date1904: boolean;
  readonly headerRows?: readonly number[] | undefined;
}

function rowsOf(
  sheet: WorkSheet,
  reading: Reading,
): { sheet: Sheet; formulas: number } | "no header" | number {
  const data = sheet["!data"] ?? [];
  const header = headerPlace(data, reading);
  if (header < 0) return "no header";
  const width = widthOf(data[header] ?? []);
  if (width > limits.columns) return width;
  const upper = (reading.headerRows ?? [])
    .slice(0, -1)
    .map((row) => textsOf(data[row - 1], reading));
  const names = joinedHeadings(upper, textsOf(data[header], reading).slice(0, width));
  const builders = names.map((name) => new ColumnBuilder(name));
  const fileRows: number[] = [];
  const faults: RowFault[] = [];
  let formulas = 0;
  for (let r = header + 1; r < data.length; r++) {
    const cells = data[r] ?? [];
    const texts = textsOf(cells, reading);
    const blank = texts.every((text) => text.trim() === "");
    if (blank && !reachesBeyond(cells, names.length)) continue;
    formulas += Object.values(cells).filter((cell) => cell?.f !== undefined).length;
    faults.push(...rowFaults(cells, texts, { width: names.length, index: fileRows.length }));
    for (const [c, builder] of builders.entries()) builder.add(texts[c] ?? "");
    fileRows.push(r + 1);
  }
  const hidden = (sheet["!rows"] ?? []).flatMap((row, r) => (row?.hidden ? [r + 1] : []));
  const merged = (sheet["!merges"] ?? []).map((range) => reading.reader.utils.encode_range(range));
  return {
    formulas,
    sheet: {
      columns: builders.map((builder) => builder.done()),
      rowCount: fileRows.length,
      fileRow: (index) => itemAt(fileRows, index),
      faults,
      blankRows: blankRows(data.length - header - 1, fileRows.length),
      hiddenRows: hidden,
      mergedCells: merged,
      typed: true,
    },
  };
}

/** Columns up to the last cell of a row that has a value. Keys, not places: a row can be one far cell. */
function widthOf(row: readonly (Cell | null | undefined)[]): number {
  return Object.keys(row).reduce((width, key) => {
    const value = row[Number(key)]?.v;
    return value === undefined || value === "" ? width : Math.max(width, Number(key) + 1);
  }, 0);
}

function blankRows(all: number, kept: number): number {
  return Math.max(0, all - kept);
}

function headerPlace(data: NonNullable<WorkSheet["!data"]>, reading: Reading): number {
  const filled = (row: number) => textsOf(data[row], reading).some((text) => text.trim() !== "");
  const last = reading.headerRows?.at(-1);
  if (last !== undefined) return filled(last - 1) ? last - 1 : -1;
  return data.findIndex((_, row) => filled(row));
}

function rowFaults(
  row: readonly unknown[],
  texts: readonly string[],
  { width, index }: { width: number; index: number },
): RowFault[] {
  const faults: RowFault[] = [];
  const expected = `${width} cells`;
  if (reachesBeyond(row, width))
    faults.push({ index, code: "row-width", value: `${row.length} cells`, expected });
  const long = texts.find((text) => text.length > limits.cellBytes);
  if (long !== undefined)
    faults.push({
      index,
      code: "cell-long",
      value: long.slice(0, 60),
      expected: `at most ${limits.cellBytes} bytes in a cell`,
    });
  return faults;
}

/** Whether a row has cells right of the header. Keys, not places: a hostile row is one far cell. */
function reachesBeyond(row: readonly unknown[], width: number): boolean {
  if (row.length <= width) return false;
  return Object.keys(row).some((key) => {
    const value = (row[Number(key)] as Cell | null | undefined)?.v;
    return Number(key) >= width && value !== undefined && value !== "";
  });
}

function textsOf(
  row: readonly (Cell | null | undefined)[] | undefined,
  reading: Reading,
): string[] {
  const cells = (row ?? []).slice(0, limits.columns + 1);
  return Array.from(cells, (cell) => (cell ? cellText(cell, reading) : ""));
}

/** A cell's value as text; a code shown as 007 stays 007, a date becomes ISO text. */
function cellText(cell: Cell, { reader, date1904 }: Reading): string {
  const { t, v, w = "", z = "General" } = cell;
  if (v === undefined || v === null || t === "z") return "";
  if (t === "e") return w || "#error";
  if (t !== "n" || typeof v !== "number") return String(v);
  if (reader.SSF.is_date(z)) return dateText(reader.SSF.parse_date_code(v, { date1904 }), v);
  return /^0+$/.test(z) ? w : String(v);
}

function dateText(parts: DateParts | null, value: number): string {
  if (!parts) return String(value);
  const two = (part: number) => String(part).padStart(2, "0");
  const time = `${two(parts.H)}:${two(parts.M)}:${two(Math.floor(parts.S))}`;
  if (value < 1) return time;
  const date = `${String(parts.y).padStart(4, "0")}-${two(parts.m)}-${two(parts.d)}`;
  return Number.isInteger(value) ? date : `${date} ${time}`;
}

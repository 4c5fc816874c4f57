import { itemAt, wholeAt } from "../../entry.js";
import type { Field } from "../package/dictionary.js";
import { requiredColumns } from "../package/dictionary.js";
import type { MappedSheet } from "../package/mapping.js";
import { mapSheet } from "../package/mapping.js";
import type { Resource } from "../package/resource.js";
import type { CellFault, CellValue, DecimalMark, ReadCell } from "./cells.js";
import { decimalMark, readCell } from "./cells.js";
import { readCsv } from "./csv.js";
import { Fates } from "./fates.js";
import type { IssueLog } from "./issue-log.js";
import { findPersonalData } from "./privacy.js";
import type { CodedColumn, Sheet } from "./sheet.js";
import { decodeText, knownEncoding } from "./text.js";
import { isOldWorkbook, isWorkbook, readWorkbook } from "./workbook.js";

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

/** The rows of one file, read and checked cell by cell. */
export interface Rows {
  /** The resource that the file belongs to. */
  readonly resource: Resource;
  /** Path of the file inside the study folder. */
  readonly file: string;
  /** Rows of the file, the header not counted. */
  readonly rowCount: number;
  /** Row that a spreadsheet shows, for an index from 0. */
  readonly fileRow: (index: number) => number;
  /** Whether the sheet has one column per trial instead of one row per trial. */
  readonly wide: boolean;
  /** The columns by name. */
  readonly columns: ReadonlyMap<string, ReadColumn>;
  /** Which rows are used, and why the others are not. */
  readonly fates: Fates;
}

/** Reads one file of a study. Null when it cannot be used; the log says why. */
export function readRows(resource: Resource, bytes: Uint8Array, log: IssueLog): Rows | null {
  const sheet = readSheet(resource, bytes, log);
  if (!sheet) return null;
  findPersonalData(sheet, resource.path, log);
  const mapped = mapSheet(sheet, resource, log);
  const missing = requiredColumns(resource.name).filter(
    (name) => !mapped.columns.some((column) => column.name === name),
  );
  for (const expected of missing)
    log.add({ file: resource.path, row: 1, column: expected, code: "column-missing", expected });
  if (log.stoppedIn(resource.path)) return null;
  return checkedRows(resource, mapped, log);
}

function readSheet(resource: Resource, bytes: Uint8Array, log: IssueLog): Sheet | null {
  const { path: file, dialect = {} } = resource;
  if (isWorkbook(bytes)) return readWorkbook(bytes, { file, dialect }, log);
  if (isOldWorkbook(bytes)) {
    log.add({ file, code: "file-unreadable", value: "an old workbook", expected: "CSV or .xlsx" });
    return null;
  }
  const { encoding: declared } = resource;
  if (declared !== undefined && knownEncoding(declared) === undefined) {
    const expected = "utf-8, utf-16 or windows-1252";
    log.add({ file, code: "file-unreadable", value: `declared as ${declared}`, expected });
    return null;
  }
  const text = decodeText(bytes, declared);
  if (text.guessed) log.add({ file, code: "encoding-said", value: text.encoding });
  const { delimiter, headerRows } = dialect;
  const result = readCsv(text.bytes, { delimiter, headerRow: headerRows?.[0] });
  if (result.kind === "refused") {
    const { code, expected, got } = result.refusal;
    log.add({ file, code, expected, value: code === "header-missing" ? "" : got });
    return null;
  }
  return result.sheet;
}

function checkedRows(resource: Resource, sheet: MappedSheet, log: IssueLog): Rows {
  const { path: file } = resource;
  const rows: Rows = {
    resource,
    file,
    rowCount: sheet.rowCount,
    fileRow: sheet.fileRow,
    wide: sheet.wide,
    columns: new Map(),
    fates: new Fates(sheet.rowCount),
  };
  sayOddities(sheet, file, log);
  leaveOutFaultyRows(rows, sheet, log);
  const broken = new Set(sheet.faults.map(({ index }) => index));
  const columns = rows.columns as Map<string, ReadColumn>;
  for (const column of sheet.columns) {
    const field = resource.fields.find(({ name }) => name === column.name);
    if (field)
      columns.set(
        field.name,
        readColumn(rows, { column, field, broken, typed: sheet.typed === true }, log),
      );
    else log.add({ file, row: 1, column: column.name, code: "column-unknown", value: column.name });
  }
  return rows;
}

function sayOddities(sheet: Sheet, file: string, log: IssueLog): void {
  if (sheet.blankRows > 0) log.add({ file, code: "rows-empty", value: sheet.blankRows });
  if (sheet.hiddenRows.length > 0)
    log.add({ file, code: "hidden-rows", value: sheet.hiddenRows.slice(0, 20).join(", ") });
  if (sheet.mergedCells.length > 0)
    log.add({ file, code: "merged-cells", value: sheet.mergedCells.slice(0, 10).join(", ") });
}

function leaveOutFaultyRows(rows: Rows, sheet: Sheet, log: IssueLog): void {
  for (const { index, code, value, expected } of sheet.faults) {
    log.add({ file: rows.file, row: rows.fileRow(index), code, value, expected });
    rows.fates.leaveOut(index, reasonOf(code), "error");
  }
}

const faultReasons: Readonly<Record<string, string>> = {
  "row-width": "row with too few or too many cells",
  "quote-open": "row with an open quotation mark",
  "cell-long": "cell too long",
};

function reasonOf(code: string, column = ""): string {
  return faultReasons[code] ?? `${column} cannot be used`;
}

interface ColumnTask {
  readonly column: CodedColumn;
  readonly field: Field;
  /** Rows whose cells cannot be told apart; they are reported already. */
  readonly broken: ReadonlySet<number>;
  readonly typed: boolean;
}

function readColumn(rows: Rows, task: ColumnTask, log: IssueLog): ReadColumn {
  const { column, field } = task;
  const texts = column.levels.map((level) => level.trim());
  const { missingValues } = rows.resource;
  const isNumber = field.type === "number" || field.type === "integer";
  const mark = isNumber ? markOf(field, texts) : ".";
  const values: CellValue[] = [];
  const faults = new Map<number, CellFault>();
  for (const [level, text] of texts.entries()) {
    const plain = task.typed && !text.includes(",") ? "." : mark;
    const cell = missingValues.includes(text) ? missingCell(field) : readLevel(text, field, plain);
    values.push(cell.value);
    if (cell.fault) faults.set(level, cell.fault);
  }
  if (mark === "," && field.decimalChar === undefined)
    log.add({ file: rows.file, row: 1, column: field.name, code: "decimal-comma" });
  const read = { field, codes: column.codes, values, texts };
  if (faults.size > 0) reportFaults(rows, read, { faults, broken: task.broken }, log);
  return read;
}

function markOf(field: Field, texts: readonly string[]): DecimalMark | "unclear" {
  if (field.decimalChar === ",") return ",";
  return field.decimalChar === "." ? "." : decimalMark(texts);
}

function readLevel(text: string, field: Field, mark: DecimalMark | "unclear"): ReadCell {
  if (mark !== "unclear") return readCell(text, field, mark);
  if (!text.includes(",")) return readCell(text, field, ".");
  const expected = "decimalChar in the datapackage";
  return { value: null, fault: { code: "thousands-or-decimals", expected } };
}

function missingCell(field: Field): ReadCell {
  if (!field.constraints?.required) return { value: null, fault: null };
  return { value: null, fault: { code: "value-needed", expected: "a value" } };
}

/** Names every row that holds a faulty text; asked only where there is one. */
function reportFaults(
  rows: Rows,
  { field, codes, texts }: ReadColumn,
  { faults, broken }: { faults: ReadonlyMap<number, CellFault>; broken: ReadonlySet<number> },
  log: IssueLog,
): void {
  const needed = requiredColumns(rows.resource.name).includes(field.name);
  for (let i = 0; i < rows.rowCount; i++) {
    const fault = faults.get(wholeAt(codes, i));
    if (!fault || broken.has(i)) continue;
    const value = itemAt(texts, wholeAt(codes, i));
    log.add({ file: rows.file, row: rows.fileRow(i), column: field.name, value, ...fault });
    if (needed) rows.fates.leaveOut(i, reasonOf(fault.code, field.name), "error");
  }
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

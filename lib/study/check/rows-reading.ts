import { itemAt, wholeAt } from "../../entry.js";
import type { Field } from "../package/dictionary.js";
import { requiredColumns } from "../package/dictionary.js";
import type { MappedSheet } from "../package/mapping.js";
import { leftOutReasons, mapSheet } from "../package/mapping.js";
import type { Resource } from "../package/resource.js";
import { fileLabel } from "../package/resource.js";
import { levelOf, markOf, missingCell } from "./cell-levels.js";
import type { CellFault, CellValue } from "./cells.js";
import { Fates } from "./fates.js";
import { readSheet } from "./file-sheet.js";
import type { IssueLog } from "./issue-log.js";
import { findPersonalData } from "./privacy.js";
import { type ReadColumn, type Rows, rowPlace } from "./rows.js";
import type { CodedColumn, Sheet } from "./sheet.js";
import { StrangeValues } from "./strange-values.js";

/** The bytes of a file, and the columns that other resources read from it. */
export interface RawFile {
  /** Content of the file. */
  readonly bytes: Uint8Array;
  /** Names of columns that other resources read from the same file. */
  readonly elsewhere: ReadonlySet<string>;
}

/** Reads one file of a study. Null when it cannot be used; the log says why. */
export function readRows(
  resource: Resource,
  { bytes, elsewhere }: RawFile,
  log: IssueLog,
): Rows | null {
  const file = fileLabel(resource);
  const sheet = readSheet(resource, bytes, log);
  if (!sheet) return null;
  findPersonalData(sheet, file, log);
  const mapped = mapSheet(sheet, resource, log);
  const missing = requiredColumns(resource.kind).filter(
    (name) => !mapped.columns.some((column) => column.name === name),
  );
  for (const expected of missing)
    log.add({ file, row: 1, column: expected, code: "column-missing", expected });
  if (log.stoppedIn(file)) return null;
  return checkedRows(resource, { sheet: mapped, elsewhere }, log);
}

/** A file under our column names. */
interface NamedFile {
  readonly sheet: MappedSheet;
  readonly elsewhere: ReadonlySet<string>;
}

function checkedRows(resource: Resource, { sheet, elsewhere }: NamedFile, log: IssueLog): Rows {
  const { kind, fields, reading } = resource;
  const file = fileLabel(resource);
  const { rowCount, fileRow, wide } = sheet;
  const columns = new Map<string, ReadColumn>();
  const part = { resource, file, start: 0, rowCount, fileRow, wide };
  const fates = new Fates(rowCount);
  const rows: Rows = { kind, file, parts: [part], rowCount, fields, columns, fates };
  sayOddities(sheet, file, log);
  const broken = new Set(sheet.faults.map(({ index }) => index));
  leaveOutUnread(rows, sheet, broken);
  leaveOutFaultyRows(rows, sheet, log);
  for (const column of sheet.columns) {
    const { name } = column;
    const field = fields.find((one) => one.name === name);
    if (field)
      columns.set(
        name,
        readColumn(rows, { column, field, broken, typed: sheet.typed === true }, log),
      );
    else if (!elsewhere.has(name) && !reading.only[name] && !reading.leaveOut[name])
      log.add({ file, row: 1, column: name, code: "column-unknown", value: name });
  }
  return rows;
}

/** Rows that the mapping leaves out are not looked at further. */
function leaveOutUnread(rows: Rows, { leftOut }: MappedSheet, broken: Set<number>): void {
  for (let i = 0; i < leftOut.length; i++) {
    const code = wholeAt(leftOut, i);
    if (code === 0) continue;
    rows.fates.leaveOut(i, itemAt(leftOutReasons, code - 1), "mapping");
    broken.add(i);
  }
}

function sayOddities(sheet: Sheet, file: string, log: IssueLog): void {
  if (sheet.blankRows > 0) log.add({ file, code: "rows-empty", value: sheet.blankRows });
  if (sheet.hiddenRows.length > 0)
    log.add({ file, code: "hidden-rows", value: sheet.hiddenRows.slice(0, 20).join(", ") });
  if (sheet.mergedCells.length > 0)
    log.add({ file, code: "merged-cells", value: sheet.mergedCells.slice(0, 10).join(", ") });
}

function leaveOutFaultyRows(rows: Rows, sheet: MappedSheet, log: IssueLog): void {
  for (const { index, code, value, expected } of sheet.faults) {
    if (sheet.leftOut[index] !== 0) continue;
    log.add({ ...rowPlace(rows, index), code, value, expected });
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
  const { missingValues } = itemAt(rows.parts, 0).resource;
  const isNumber = field.type === "number" || field.type === "integer";
  const mark = isNumber ? markOf(field, texts) : ".";
  const values: CellValue[] = [];
  const faults = new Map<number, CellFault>();
  for (const [level, text] of texts.entries()) {
    const plain = task.typed && !text.includes(",") ? "." : mark;
    const cell = missingValues.includes(text) ? missingCell(field) : levelOf(text, field, plain);
    values.push(cell.value);
    if (cell.fault) faults.set(level, cell.fault);
  }
  if (field.fileUnit !== undefined)
    log.add({
      file: rows.file,
      row: 1,
      column: field.name,
      code: "unit-converted",
      value: field.fileUnit,
      expected: field.unit ?? "",
    });
  if (mark === "," && field.decimalChar === undefined)
    log.add({ file: rows.file, row: 1, column: field.name, code: "decimal-comma" });
  const read = { field, codes: column.codes, values, texts };
  if (faults.size > 0) reportFaults(rows, read, { faults, broken: task.broken }, log);
  return read;
}

/** Names every row that holds a faulty text; asked only where there is one. */
function reportFaults(
  rows: Rows,
  column: ReadColumn,
  { faults, broken }: { faults: ReadonlyMap<number, CellFault>; broken: ReadonlySet<number> },
  log: IssueLog,
): void {
  const { field, codes, texts } = column;
  const needed = requiredColumns(rows.kind).includes(field.name);
  const strange = new StrangeValues(rows, column);
  for (let i = 0; i < rows.rowCount; i++) {
    const fault = faults.get(wholeAt(codes, i));
    if (!fault || broken.has(i)) continue;
    const value = itemAt(texts, wholeAt(codes, i));
    if (fault.code === "not-listed") strange.count(i);
    else {
      const { file, row } = rowPlace(rows, i);
      const { code, expected } = fault;
      log.add({ file, row, column: field.name, value, code, expected });
    }
    if (needed) rows.fates.leaveOut(i, reasonOf(fault.code, field.name), "error");
  }
  const known = field.constraints?.enum ?? [];
  strange.report({ code: "not-listed", known, expected: known.join(", ") }, log);
}

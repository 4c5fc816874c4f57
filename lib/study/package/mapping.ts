import type { IssueLog } from "../check/issue-log.js";
import type { CodedColumn, Sheet } from "../check/sheet.js";
import { constantColumn, filledDown, renamed } from "../check/sheet.js";
import { withoutCellUnits } from "./cell-units.js";
import type { Reading } from "./file-reading.js";
import type { Resource } from "./resource.js";
import { fileLabel } from "./resource.js";
import { reshaped } from "./wide.js";

const forbidden = new Set(["__proto__", "constructor", "prototype"]);

/** A file's rows under our column names. */
export interface MappedSheet extends Sheet {
  /** True when repeats stood side by side, so that an empty cell is no trial rather than a fault. */
  readonly wide: boolean;
  /** For each row 0, or 1 + the place in `leftOutReasons` of why the mapping leaves it out. */
  readonly leftOut: Uint8Array;
}

/** Why a mapping leaves a row out. */
export const leftOutReasons = [
  "belongs to another part of the study",
  "no data row, as the datapackage says",
] as const;

/** Gives a sheet our column names by the mapping that the datapackage states; guesses nothing. */
export function mapSheet(sheet: Sheet, resource: Resource, log: IssueLog): MappedSheet {
  const { reading } = resource;
  const file = fileLabel(resource);
  const named = namedColumns(sheet, file, log).map((column) =>
    reading.fillDown.includes(column.name) ? filledDown(column) : column,
  );
  missingSources(named, reading, file, log);
  const read = named.filter(({ name }) => !reading.ignore.includes(name));
  const tall = reshaped(
    { ...sheet, columns: read },
    (name) => ownValue(reading.columns, name) ?? name,
    reading.wide,
  );
  const own = withoutCellUnits(tall.columns, reading);
  const constants = Object.entries(reading.constants)
    .filter(([name]) => !own.some((column) => column.name === name))
    .map(([name, text]) => constantColumn(name, text, tall.rowCount));
  const whole = [...own, ...constants].map((column) => translated(column, reading));
  repeatedNames(whole, file, log);
  const leftOut = leftOutRows(named, reading, { rows: sheet.rowCount, times: tall.times });
  const columns =
    reading.numberRows === undefined
      ? whole
      : [...whole, numbering(reading.numberRows, whole, leftOut)];
  return { ...tall, columns, wide: reading.wide !== undefined, leftOut };
}

function ownValue<T>(record: Readonly<Record<string, T>> | undefined, key: string): T | undefined {
  return record && Object.hasOwn(record, key) ? record[key] : undefined;
}

/** Columns with clean names; a nameless column may only be an empty one. */
function namedColumns(sheet: Sheet, file: string, log: IssueLog): CodedColumn[] {
  const kept: CodedColumn[] = [];
  for (const [i, column] of sheet.columns.entries()) {
    const name = column.name.trim();
    if (name === "") {
      if (column.levels.some((level) => level.trim() !== ""))
        log.add({ file, row: 1, column: `number ${i + 1}`, code: "header-missing" });
    } else if (forbidden.has(name))
      log.add({ file, row: 1, column: name, code: "column-refused", value: name });
    else kept.push(renamed(column, name));
  }
  return kept;
}

function missingSources(
  columns: readonly CodedColumn[],
  reading: Reading,
  file: string,
  log: IssueLog,
): void {
  const names = columns.map(({ name }) => name);
  const present = new Set(names);
  const sources = [
    ...Object.keys(reading.columns),
    ...Object.keys(reading.wide?.columns ?? {}),
    ...Object.keys(reading.only),
    ...Object.keys(reading.leaveOut),
    ...reading.fillDown,
  ];
  for (const source of new Set(sources)) {
    if (present.has(source)) continue;
    const expected = `the file has no such column; it has ${names.slice(0, 30).join(", ")}`;
    log.add({ file, code: "mapping-wrong", value: source, expected });
  }
}

function repeatedNames(columns: readonly CodedColumn[], file: string, log: IssueLog): void {
  const seen = new Set<string>();
  for (const { name } of columns) {
    if (seen.has(name))
      log.add({ file, row: 1, column: name, code: "header-repeated", value: name });
    seen.add(name);
  }
}

/** Exchanges their values for ours, text by text. */
function translated(column: CodedColumn, reading: Reading): CodedColumn {
  const map = ownValue(reading.values, column.name);
  if (!map) return column;
  return { ...column, levels: column.levels.map((level) => ownValue(map, level.trim()) ?? level) };
}

/** Rows that the mapping gives to another resource, and rows that hold no data. */
function leftOutRows(
  columns: readonly CodedColumn[],
  { only, leaveOut }: Reading,
  { rows, times }: { rows: number; times: number },
): Uint8Array {
  const out = new Uint8Array(rows);
  for (const column of columns) {
    const wanted = ownValue(only, column.name);
    const unwanted = ownValue(leaveOut, column.name);
    if (!wanted && !unwanted) continue;
    const byLevel = column.levels.map((level) => {
      if (unwanted?.includes(level.trim())) return 2;
      return wanted && !wanted.includes(level.trim()) ? 1 : 0;
    });
    for (let i = 0; i < rows; i++) out[i] ||= byLevel[column.codes[i] ?? 0] ?? 0;
  }
  if (times === 1) return out;
  return Uint8Array.from({ length: rows * times }, (_, i) => out[Math.floor(i / times)] ?? 0);
}

const seriesColumns = ["participant", "occasion", "hand", "position", "club"];

/** Numbers the trials of one golfer, visit, hand and position (or club) in the order of the file. */
function numbering(
  name: string,
  columns: readonly CodedColumn[],
  leftOut: Uint8Array,
): CodedColumn {
  const keys = columns.filter((column) => seriesColumns.includes(column.name));
  const counts = new Map<string, number>();
  const codes = new Int32Array(leftOut.length);
  let most = 1;
  for (let i = 0; i < codes.length; i++) {
    if (leftOut[i] !== 0) continue;
    const key = keys.map((column) => column.levels[column.codes[i] ?? 0]?.trim()).join("\n");
    const count = (counts.get(key) ?? 0) + 1;
    counts.set(key, count);
    codes[i] = count - 1;
    if (count > most) most = count;
  }
  return { name, codes, levels: Array.from({ length: most }, (_, i) => String(i + 1)) };
}

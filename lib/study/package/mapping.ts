import { itemAt, present, wholeAt } from "../../entry.js";
import type { IssueLog } from "../check/issue-log.js";
import type { CodedColumn, Sheet } from "../check/sheet.js";
import { constantColumn, renamed } from "../check/sheet.js";
import type { Reading, Resource } from "./resource.js";

const forbidden = new Set(["__proto__", "constructor", "prototype"]);

/** A file's rows under our column names. */
export interface MappedSheet extends Sheet {
  /** True when repeats stood side by side, so that an empty cell is no trial rather than a fault. */
  readonly wide: boolean;
}

/** Gives a sheet our column names by the mapping that the datapackage states; guesses nothing. */
export function mapSheet(sheet: Sheet, resource: Resource, log: IssueLog): MappedSheet {
  const { path: file, reading } = resource;
  const named = namedColumns(sheet, file, log);
  const columns = named.map((column) =>
    renamed(column, ownValue(reading.columns, column.name) ?? column.name),
  );
  missingSources(named, reading, file, log);
  const tall = reading.wide ? reshaped(sheet, named, columns, reading.wide) : { ...sheet, columns };
  const constants = Object.entries(reading.constants ?? {}).map(([name, text]) =>
    constantColumn(name, text, tall.rowCount),
  );
  const whole = [...tall.columns, ...constants].map((column) => translated(column, reading));
  repeatedNames(whole, file, log);
  return { ...tall, columns: whole, wide: reading.wide !== undefined };
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
  { columns: map = {}, wide }: Reading,
  file: string,
  log: IssueLog,
): void {
  const present = new Set(columns.map(({ name }) => name));
  for (const source of [...Object.keys(map), ...Object.keys(wide?.columns ?? {})]) {
    if (present.has(source)) continue;
    const expected = "the file has no such column";
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

/** Turns repeats that stand side by side into rows below one another, in the order of the mapping. */
function reshaped(
  sheet: Sheet,
  named: readonly CodedColumn[],
  columns: readonly CodedColumn[],
  wide: NonNullable<Reading["wide"]>,
): Sheet {
  const sources = Object.keys(wide.columns).filter((name) => named.some((c) => c.name === name));
  const repeats = sources.map((name) => present(named.find((column) => column.name === name)));
  const kept = columns.filter((_, i) => !sources.includes(itemAt(named, i).name));
  const times = Math.max(1, repeats.length);
  const rowCount = sheet.rowCount * times;
  const labels = sources.map((name) => present(ownValue(wide.columns, name)));
  const stretched = kept.map((column) => {
    const codes = new Int32Array(rowCount);
    for (let i = 0; i < rowCount; i++) codes[i] = wholeAt(column.codes, Math.floor(i / times));
    return { ...column, codes };
  });
  const numbering: CodedColumn = {
    name: wide.nameColumn,
    codes: Int32Array.from({ length: rowCount }, (_, i) => i % times),
    levels: labels,
  };
  return {
    ...sheet,
    columns: [...stretched, numbering, joined(repeats, wide.valueColumn, sheet.rowCount)],
    rowCount,
    fileRow: (index) => sheet.fileRow(Math.floor(index / times)),
    faults: sheet.faults.map((fault) => ({ ...fault, index: fault.index * times })),
  };
}

function joined(repeats: readonly CodedColumn[], name: string, rows: number): CodedColumn {
  const times = Math.max(1, repeats.length);
  const codes = new Int32Array(rows * times);
  const levels: string[] = [];
  for (const [k, { codes: from, levels: texts }] of repeats.entries()) {
    const offset = levels.length;
    for (let i = 0; i < rows; i++) codes[i * times + k] = offset + wholeAt(from, i);
    for (const text of texts) levels.push(text);
  }
  return { name, codes, levels };
}

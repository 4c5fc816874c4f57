import { wholeAt } from "../../entry.js";
import type { CodedColumn, Sheet } from "../check/sheet.js";
import { renamed } from "../check/sheet.js";
import type { Reading, WideColumn } from "./file-reading.js";

/** A sheet with one row per trial, and how many rows each row of the file became. */
export interface TallSheet extends Sheet {
  /** Rows that one row of the file became; 1 unless it was wide. */
  readonly times: number;
}

/**
 * Turns trials that stand side by side into rows below one another: each of the wide columns gives
 * one row, with the hand, position, visit or trial number that the mapping states for it.
 * @param ours our name of one of their columns
 */
export function reshaped(
  sheet: Sheet,
  ours: (name: string) => string,
  wide: Reading["wide"],
): TallSheet {
  const named = (column: CodedColumn) => renamed(column, ours(column.name));
  if (!wide) return { ...sheet, columns: sheet.columns.map(named), times: 1 };
  const repeats = sheet.columns.flatMap((column) => {
    const facts = Object.hasOwn(wide.columns, column.name) ? wide.columns[column.name] : undefined;
    return facts ? [{ column, facts }] : [];
  });
  const kept = sheet.columns.filter(({ name }) => !Object.hasOwn(wide.columns, name)).map(named);
  const times = Math.max(1, repeats.length);
  const rowCount = sheet.rowCount * times;
  const stretched = kept.map((column) => {
    const codes = new Int32Array(rowCount);
    for (let i = 0; i < rowCount; i++) codes[i] = wholeAt(column.codes, Math.floor(i / times));
    return { ...column, codes };
  });
  const facts = repeats.map((repeat) => repeat.facts);
  return {
    ...sheet,
    columns: [
      ...stretched,
      ...factColumns(facts, rowCount),
      below(
        repeats.map(({ column }) => column),
        wide.valueColumn,
        sheet.rowCount,
      ),
    ],
    rowCount,
    fileRow: (index) => sheet.fileRow(Math.floor(index / times)),
    faults: sheet.faults.map((fault) => ({ ...fault, index: fault.index * times })),
    times,
  };
}

/** What the headings say, as columns: one text for each of the wide columns, over and over. */
function factColumns(facts: readonly WideColumn[], rowCount: number): CodedColumn[] {
  const names = [...new Set(facts.flatMap((one) => Object.keys(one)))];
  const times = Math.max(1, facts.length);
  return names.map((name) => ({
    name,
    codes: Int32Array.from({ length: rowCount }, (_, i) => i % times),
    levels: facts.map((one) => (Object.hasOwn(one, name) ? (one[name] ?? "") : "")),
  }));
}

function below(repeats: readonly CodedColumn[], name: string, rows: number): CodedColumn {
  const times = Math.max(1, repeats.length);
  const codes = new Int32Array(rows * times);
  const levels: string[] = [];
  for (const [k, { codes: from, levels: texts }] of repeats.entries()) {
    const offset = levels.length;
    for (let i = 0; i < rows; i++) codes[i * times + k] = offset + wholeAt(from, i);
    for (const text of texts) levels.push(text);
  }
  if (levels.length === 0) levels.push("");
  return { name, codes, levels };
}

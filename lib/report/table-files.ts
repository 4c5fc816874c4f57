import { csvLines } from "../csv-writing.js";
import { itemAt } from "../entry.js";
import { cellText, heading } from "../show/table.js";
import type { Table, TableColumn } from "../show/table-record.js";
import { fileNames } from "./file-name.js";
import { placeFile } from "./folder.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";
import { type Sheet, type SheetCell, workbookFile } from "./workbook.js";

/** File formats in which tables are written. */
export type TableFormat = "csv" | "xlsx";

/** Which tables are written, where and how. */
export interface TableFilesInput {
  /** The recorded notebooks. */
  readonly notebooks: readonly RecordedNotebook[];
  /** Folder that the files go to. */
  readonly out: string;
  /** File formats to make. */
  readonly formats: readonly TableFormat[];
}

/** A table as CSV: one heading row with units, numbers with all their digits. */
export function tableCsv(table: Table): string {
  const rows = table.rows.map((row) => table.columns.map(({ name }) => row[name] ?? null));
  return csvLines(table.columns.map(heading), rows);
}

/** A table as CSV with the digits that a page shows. */
function shownCsv(table: Table): string {
  const rows = table.rows.map((row) =>
    table.columns.map((column) => {
      const value = row[column.name] ?? null;
      return typeof value === "number" ? asShown(value, column) : value;
    }),
  );
  return csvLines(table.columns.map(heading), rows);
}

/** The digits of a page, in a form that every program reads as a number. */
function asShown(value: number, column: TableColumn): string {
  const text = cellText(value, column).replaceAll("\u2212", "-");
  return Number.isNaN(Number(text)) ? String(value) : text;
}

/** A table as a sheet: headings, a row of units, then typed cells. */
function tableSheet(table: Table): Sheet {
  const heads = table.columns.map(({ label }): SheetCell => ({ head: label }));
  const units = table.columns.map(({ unit }): SheetCell => unit ?? null);
  const rows = table.rows.map((row) => table.columns.map(({ name }) => row[name] ?? null));
  return {
    name: table.id,
    rows: [heads, units, ...rows],
    frozen: 2,
    decimals: table.columns.map(({ digits }) => digits),
  };
}

const findingHeads = [
  "id",
  "title",
  "value",
  "low",
  "high",
  "level",
  "unit",
  "n",
  "n counts",
  "method",
  "sentence",
  "cell",
];

function findingsSheet(notebook: RecordedNotebook): Sheet[] {
  const rows = shownOf(notebook, "finding").map(({ cell, shown: { finding } }): SheetCell[] => {
    const {
      id,
      title,
      value,
      low = null,
      high = null,
      level = null,
      unit,
      count,
      method,
      sentence,
    } = finding;
    return [
      id,
      title,
      value,
      low,
      high,
      level,
      unit,
      count.n,
      count.of,
      method,
      sentence,
      cell.number,
    ];
  });
  if (rows.length === 0) return [];
  return [{ name: "Findings", rows: [findingHeads.map((head) => ({ head })), ...rows], frozen: 1 }];
}

/** What every sheet and column means, and where it came from. */
function notesSheet(
  notebook: RecordedNotebook,
  tables: readonly { cell: number; table: Table }[],
): Sheet {
  const about: SheetCell[][] = [
    [{ head: "Notebook" }, notebook.title],
    [{ head: "File" }, notebook.path],
    [{ head: "SHA-256" }, notebook.sha256],
    [{ head: "Study" }, notebook.study || "none"],
    [{ head: "Rounding" }, "Cells hold all digits; the format of a column only shows fewer."],
    [{ head: "Empty cell" }, "No value. It is never a zero."],
    [
      { head: "Findings" },
      "value, low and high are in `unit`; level is the confidence level as a fraction.",
    ],
    [],
    ["Sheet", "Column", "Unit", "Decimals shown", "Meaning"].map((head) => ({ head })),
  ];
  const columns = tables.flatMap(({ cell, table }) => [
    [table.id, null, null, null, `${table.caption} (cell ${cell})`],
    ...table.columns.map(({ label, unit, digits, means }): SheetCell[] => [
      table.id,
      label,
      unit ?? null,
      digits ?? null,
      means ?? null,
    ]),
  ]);
  return { name: "Notes", rows: [...about, ...columns], frozen: 0 };
}

/**
 * Writes every table of the notebooks: a CSV file each with the digits shown and one with all, and
 * for each notebook one workbook with its tables, its findings and a sheet of notes.
 * @returns the paths that were written
 */
export function writeTableFiles({ notebooks, out, formats }: TableFilesInput): string[] {
  const written: string[] = [];
  const write = (path: string, content: string | Uint8Array) => {
    written.push(placeFile(out, path, content));
  };
  for (const notebook of notebooks) {
    const tables = shownOf(notebook, "table").map(({ cell, shown }) => ({
      cell: cell.number,
      table: shown.table,
    }));
    const findings = findingsSheet(notebook);
    if (tables.length + findings.length === 0) continue;
    if (formats.includes("csv")) {
      const names = fileNames(tables.map(({ table }) => table.id));
      for (const [i, { table }] of tables.entries()) {
        write(`${notebook.slug}/${itemAt(names, i)}.csv`, shownCsv(table));
        write(`${notebook.slug}/${itemAt(names, i)}-all-digits.csv`, tableCsv(table));
      }
    }
    if (formats.includes("xlsx")) {
      const sheets = [
        ...tables.map(({ table }) => tableSheet(table)),
        ...findings,
        notesSheet(notebook, tables),
      ];
      write(`${notebook.slug}.xlsx`, workbookFile(sheets));
    }
  }
  return written;
}

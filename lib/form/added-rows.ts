import { csvText } from "../csv-writing.js";
import { InputError } from "../errors.js";
import { readCsv } from "../study/check/csv.js";
import { cellText } from "../study/check/sheet.js";
import { decodeText } from "../study/check/text.js";
import type { SheetPerson } from "../study/plan/sheets.js";
import type { FormFile, FormRow } from "./form-content.js";
import { fileOfColumns } from "./form-export.js";
import { identityOf } from "./journal.js";
import { roleOf } from "./test-steps.js";

/** A file of rows, by its name and bytes. */
export interface RowFile {
  /** Name of the file, for messages. */
  readonly name: string;
  /** Contents. */
  readonly bytes: Uint8Array;
}

/** One row that was not added, and the row that it meets. */
export interface MetRow {
  /** File of the row that was not added. */
  readonly file: string;
  /** Its row, as a spreadsheet counts. */
  readonly row: number;
  /** File of the row that is already there. */
  readonly other: string;
  /** Its row. */
  readonly otherRow: number;
  /** Which trial, session or check both are about. */
  readonly what: string;
  /** Columns in which the two differ, with both texts; empty for a duplicate. */
  readonly differences: readonly {
    readonly column: string;
    readonly here: string;
    readonly there: string;
  }[];
}

/** The rows of several files joined into one of the study's files. */
export interface AddedRows {
  /** The study's file that the rows belong to. */
  readonly resource: FormFile;
  /** The study's file with the new rows after its own; its own text is kept as it is. */
  readonly text: string;
  /** Rows read from the added files. */
  readonly read: number;
  /** Rows added. */
  readonly added: number;
  /** Rows that are there already, with the same values. */
  readonly duplicates: readonly MetRow[];
  /** Rows about the same trial with other values: nothing decides between them but a person. */
  readonly contradictions: readonly MetRow[];
}

interface PlacedRow {
  readonly file: string;
  readonly number: number;
  readonly row: FormRow;
}

/**
 * Joins the rows of exports to a file of the study. A row that is there already is left out; a row
 * about the same trial with other values is a contradiction, and neither is changed.
 * @param present the study's file
 * @param added the exports, which have the study's columns
 * @param people golfers with their playing side: "left" and "lead" can be the same hand
 * @throws InputError when a file is no CSV file with the study's columns
 */
export function addedRows(
  present: RowFile,
  added: readonly RowFile[],
  people: readonly SheetPerson[],
): AddedRows {
  const presentRows = rowsOf(present);
  const resource = resourceOf(presentRows.columns, present.name);
  const plays = new Map(people.map((person) => [person.participant, person.plays]));
  const nameOf = (row: FormRow) => {
    const { hand = "", participant = "" } = row;
    return identityOf(
      resource,
      hand === "" ? row : { ...row, hand: roleOf(hand, plays.get(participant)) },
    );
  };
  const there = new Map(presentRows.rows.map((one) => [nameOf(one.row), one]));
  const fresh: FormRow[] = [];
  const duplicates: MetRow[] = [];
  const contradictions: MetRow[] = [];
  let read = 0;
  for (const file of added) {
    const { columns, rows } = rowsOf(file);
    const found = resourceOf(columns, file.name);
    if (found !== resource) throw refused(`rows of ${resource}`, `rows of ${found}`, file.name);
    for (const one of rows) {
      read++;
      const name = nameOf(one.row);
      const before = there.get(name);
      if (before === undefined) {
        there.set(name, one);
        fresh.push(one.row);
        continue;
      }
      const met = metRow(resource, one, before);
      (met.differences.length === 0 ? duplicates : contradictions).push(met);
    }
  }
  const text = withRows(
    new TextDecoder().decode(decodeText(present.bytes).bytes),
    presentRows.columns,
    fresh,
  );
  return { resource, text, read, added: fresh.length, duplicates, contradictions };
}

/** Which of the study's files an export belongs to, by its columns. */
export function resourceOfFile(file: RowFile): FormFile {
  return resourceOf(rowsOf(file).columns, file.name);
}

function rowsOf({ name, bytes }: RowFile): {
  readonly columns: readonly string[];
  readonly rows: readonly PlacedRow[];
} {
  const result = readCsv(decodeText(bytes).bytes);
  if (result.kind === "refused") throw refused(result.refusal.expected, result.refusal.got, name);
  const { sheet, delimiter } = result;
  if (delimiter !== "," && sheet.columns.length > 1)
    throw refused("a CSV file with commas between its cells", `"${delimiter}"`, name);
  const [fault] = sheet.faults;
  if (fault)
    throw refused(
      "rows that can be read",
      fault.value,
      `${name}, row ${sheet.fileRow(fault.index)}`,
    );
  const rows = Array.from({ length: sheet.rowCount }, (_, index) => ({
    file: name,
    number: sheet.fileRow(index),
    row: Object.fromEntries(
      sheet.columns.map((column) => [column.name, cellText(column, index).trim()]),
    ),
  }));
  return { columns: sheet.columns.map((column) => column.name), rows };
}

function resourceOf(columns: readonly string[], name: string): FormFile {
  const file = fileOfColumns(columns);
  if (file) return file;
  throw refused(
    "the columns of grip-trials, swing-trials, training-log or calibration",
    columns.slice(0, 6).join(", "),
    name,
  );
}

function refused(expected: string, got: string, where: string): InputError {
  return new InputError({ expected, got, where });
}

function metRow(resource: FormFile, one: PlacedRow, before: PlacedRow): MetRow {
  const columns = Object.keys(one.row).filter((column) => {
    return column !== "hand" && (one.row[column] ?? "") !== (before.row[column] ?? "");
  });
  return {
    file: one.file,
    row: one.number,
    other: before.file,
    otherRow: before.number,
    what: (JSON.parse(identityOf(resource, one.row)) as string[]).slice(1).join(", "),
    differences: columns.map((column) => ({
      column,
      here: one.row[column] ?? "",
      there: before.row[column] ?? "",
    })),
  };
}

/** The text of a file with rows after its own, in the order of its own columns. */
function withRows(text: string, columns: readonly string[], rows: readonly FormRow[]): string {
  if (rows.length === 0) return text;
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  const whole = text.endsWith("\n") ? text : `${text}${end}`;
  const header = csvText(columns, []).length;
  const lines = rows.map((row) => csvText(columns, [row]).slice(header, -1) + end);
  return whole + lines.join("");
}

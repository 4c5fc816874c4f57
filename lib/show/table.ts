import type { Answer } from "../analysis/study-answer.js";
import { itemAt } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { knownOptions } from "../options.js";
import { anAnswer } from "./answer-finding.js";
import { answerTable } from "./answer-table.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import { columns as columnsSchema, tableSchema } from "./output-schemas.js";
import { identifier, refuse } from "./record.js";
import { outputRecord } from "./schema.js";
import type { Table, TableColumn, TableRow, TableValue } from "./table-record.js";
import { fixedText, significantText } from "./wording.js";

/** Rows as records, or anything that hands them out, such as an arquero table. */
export type TableRows = Iterable<object> | { objects(): object[] };

/** Rows and columns to show, with a caption. */
export interface TableInput {
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** The rows from top to bottom; fields without a column are left out. */
  readonly rows: TableRows;
  /** The columns from left to right. */
  readonly columns: readonly TableColumn[];
  /** A sentence that stands above the table. */
  readonly caption: string;
}

function rowsOf(rows: TableRows, columns: readonly TableColumn[], where: string): object[] {
  if (rows === null || typeof rows !== "object") refuse("a list of rows", rows, where);
  const records = "objects" in rows ? rows.objects() : [...rows];
  return records.map((row) => {
    const values = new Map(Object.entries(row));
    return Object.fromEntries(columns.map(({ name }) => [name, values.get(name)]));
  });
}

/** What a cell of a table reads. An empty place is an en dash, never a zero. */
export function cellText(value: TableValue, column: TableColumn): string {
  if (value === null) return "–";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value;
  return column.digits === undefined ? significantText(value) : fixedText(value, column.digits);
}

/** A column's heading with its unit in brackets. */
export function heading(column: TableColumn): string {
  return column.unit ? `${column.label} (${column.unit})` : column.label;
}

/** The table as markup: caption, headings with scope, numbers aligned to the right. */
export function tableHtml(table: Table): Markup {
  const head = table.columns.map(
    (column) =>
      markup`<th scope="col"${aligned(holdsNumbers(table, column))}>${heading(column)}</th>`,
  );
  const body = table.rows.map(
    (row) => markup`<tr>${table.columns.map((c) => tableCell(row, c))}</tr>`,
  );
  const caption = markup`<caption>${table.caption}</caption>`;
  return markup`<table data-table="${table.id}">${caption}<thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>`;
}

function holdsNumbers(table: Table, { name }: TableColumn): boolean {
  return table.rows.some((row) => typeof row[name] === "number");
}

function aligned(right: boolean): Markup {
  return right ? markup` style="text-align:right"` : nothing;
}

function tableCell(row: TableRow, column: TableColumn): Markup {
  const value = row[column.name] ?? null;
  return markup`<td${aligned(typeof value === "number")}>${cellText(value, column)}</td>`;
}

/** The table in plain text, in columns of spaces. */
export function tableText(table: Table): string {
  const lines = [
    table.columns.map(heading),
    ...table.rows.map((row) => table.columns.map((c) => cellText(row[c.name] ?? null, c))),
  ];
  const widths = table.columns.map((_, i) =>
    Math.max(...lines.map((line) => itemAt(line, i).length)),
  );
  const text = lines.map((line) =>
    line
      .map((cell, i) => cell.padEnd(itemAt(widths, i)))
      .join("  ")
      .trimEnd(),
  );
  return [table.caption, ...text].join("\n");
}

/** How a reader meets a table, from the record alone. */
export function tableForms(record: Table): ReadableForms {
  return { html: String(tableHtml(record)), plain: tableText(record) };
}

/**
 * Shows a table: the named columns of each row, with a caption. Values stay as they are in the
 * record and are rounded only to be read.
 *
 * Give an id and an answer for a row per result, or an id and rows with columns of their own, such
 * as `change.missing`.
 * @throws InputError when the caption is missing, a column is missing from a row, or a value is
 *   no text, finite number, boolean or null
 * @example table({ id: "t", rows: [{ golfer: "G01", grip: 41.25 }], columns: [{ name: "golfer", label: "Golfer" }, { name: "grip", label: "Grip", unit: "kgf", digits: 1 }], caption: "Grip by golfer." }).rows[0].grip // 41.25
 */
export function table(input: TableInput): Table;
/** An answer, or rows with their columns, under an id. */
export function table(id: string, content: Answer | Omit<TableInput, "id">): Table;
export function table(
  input: TableInput | string,
  content?: Answer | Omit<TableInput, "id">,
): Table {
  if (typeof input === "string") {
    const hasRows = content !== null && typeof content === "object" && "rows" in content;
    const { rows, columns, caption } = hasRows ? content : answerTable(anAnswer(content, "table"));
    // a question without an answer has no columns: its reason is shown instead
    if (columns.length === 0) {
      const answerColumn = { name: "answer", label: "Answer" };
      return table({ id: input, rows: [{ answer: caption }], columns: [answerColumn], caption });
    }
    return table({ id: input, rows, columns, caption });
  }
  if (input === null || typeof input !== "object") refuse("a record", input, "table");
  knownOptions(input, ["id", "rows", "columns", "caption"], "table");
  const id = identifier(input.id, "table, id");
  const where = `table ${id}`;
  const columns = outputRecord(columnsSchema, input.columns, `${where}, columns`);
  const tableRecord = {
    kind: "table",
    id,
    rows: rowsOf(input.rows, columns, `${where}, rows`),
    columns,
    caption: input.caption,
  };
  const record = outputRecord(tableSchema, tableRecord, where);
  const forms = tableForms(record);
  display({
    [mimeTypes.table]: record,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}

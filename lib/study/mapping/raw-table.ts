import { joinedHeadings } from "../check/csv-header.js";
import { decodeText } from "../check/text.js";
import { isOldWorkbook, isWorkbook, workbookRows } from "../check/workbook.js";
import { conceptOf, headingParts } from "./heading-words.js";
import { handIn } from "./value-words.js";
import { isVisitWord } from "./visit-words.js";

/** A column of an export: its heading and its cells, without outer spaces. */
export interface RawColumn {
  /** Heading as the file has it. */
  readonly name: string;
  /** One text per row. */
  readonly cells: readonly string[];
  /** The different texts that are not empty, in order of appearance. */
  readonly values: readonly string[];
  /** The unit behind the number of each cell, where the cells had any; `cells` are then without it. */
  readonly units?: readonly string[];
}

/** One table of an export: a file, or a sheet of a workbook. */
export interface RawTable {
  /** Path of the file in the study's folder. */
  readonly path: string;
  /** Sheet of a workbook with several. */
  readonly sheet?: string;
  /** Character between cells, of a text file. */
  readonly delimiter?: string;
  /** Rows of the file that hold the headings, counted from 1. */
  readonly headerRows: readonly number[];
  /** What stands above the headings. */
  readonly above: string;
  /** The columns that have a heading. */
  readonly columns: readonly RawColumn[];
  /** Rows below the headings that are not blank. */
  readonly rowCount: number;
}

/** Rows that are looked at; codes that first appear later are found by the check. */
const mostRows = 200_000;

/** The tables of one file. A workbook has one for each sheet that holds any. */
export function tablesOf(path: string, bytes: Uint8Array): RawTable[] {
  if (isOldWorkbook(bytes)) return [];
  if (isWorkbook(bytes)) {
    const sheets = (workbookRows(bytes) ?? []).flatMap(({ sheet, rows }) => {
      const table = tableFrom(rows);
      return table ? [{ path, sheet, ...table }] : [];
    });
    const [only] = sheets;
    if (sheets.length !== 1 || !only || (workbookRows(bytes) ?? []).length > 1) return sheets;
    const { sheet, ...alone } = only;
    return [alone];
  }
  const text = new TextDecoder().decode(decodeText(bytes).bytes);
  const found = [",", ";", "\t", "|"]
    .map((delimiter) => ({ delimiter, rows: cellsOf(text, delimiter) }))
    .map((one) => ({ ...one, width: usualWidth(one.rows) }))
    .sort((a, b) => b.width - a.width)[0];
  if (!found || found.width < 2) return [];
  const table = tableFrom(found.rows);
  return table ? [{ path, delimiter: found.delimiter, ...table }] : [];
}

/** Rows of delimited text; blank ones stay, so that rows can be counted. */
function cellsOf(text: string, delimiter: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  for (let i = 0; i <= text.length; i++) {
    const letter = text[i];
    if (quoted && letter !== undefined) {
      if (letter !== '"') cell += letter;
      else if (text[i + 1] === '"') cell += text[i++];
      else quoted = false;
    } else if (letter === '"' && cell === "") quoted = true;
    else if (letter === delimiter) {
      row.push(cell);
      cell = "";
    } else if (letter === "\n" || letter === "\r" || letter === undefined) {
      if (letter === "\r" && text[i + 1] === "\n") i++;
      if (letter === undefined && cell === "" && row.length === 0) break;
      rows.push([...row, cell]);
      row = [];
      cell = "";
      if (rows.length >= mostRows) break;
    } else cell += letter;
  }
  return rows;
}

/** The width that most of the first rows with cells have; decimals with commas vary. */
function usualWidth(rows: readonly (readonly string[])[]): number {
  const counts = new Map<number, number>();
  for (const row of rows.slice(0, 200))
    if (row.length > 1) counts.set(row.length, (counts.get(row.length) ?? 0) + 1);
  const filled = rows.slice(0, 200).filter((row) => row.some((cell) => cell.trim() !== "")).length;
  const best = [...counts].sort((a, b) => b[1] - a[1])[0];
  return best && best[1] >= 0.5 * filled ? best[0] : 0;
}

type TableParts = Omit<RawTable, "path" | "sheet" | "delimiter">;

const headingsWithin = 30;

function tableFrom(rows: readonly (readonly string[])[]): TableParts | null {
  const headerRows = headingRows(rows);
  const last = headerRows.at(-1);
  if (last === undefined) return null;
  const width = Math.max(...headerRows.map((row) => rows[row - 1]?.length ?? 0));
  const lowest = Array.from({ length: width }, (_, c) => rows[last - 1]?.[c] ?? "");
  const upper = headerRows.slice(0, -1).map((row) => rows[row - 1] ?? []);
  const names = joinedHeadings(upper, lowest);
  const body = rows.slice(last).filter((row) => row.some((cell) => cell.trim() !== ""));
  const columns = names.flatMap((name, c) => {
    if (name === "") return [];
    const cells = body.map((row) => row[c]?.trim() ?? "");
    return [{ name, cells, values: [...new Set(cells)].filter((cell) => cell !== "") }];
  });
  const above = rows
    .slice(0, (headerRows[0] ?? 1) - 1)
    .flat()
    .join(" ")
    .trim();
  return { headerRows, above, columns, rowCount: body.length };
}

/** The row with the most known headings, and the row above it where that holds merged ones. */
function headingRows(rows: readonly (readonly string[])[]): number[] {
  const scores = rows.slice(0, headingsWithin).map((row) => headingScore(row));
  const best = Math.max(0, ...scores);
  if (best < 2) return [];
  const at = scores.indexOf(best);
  const below = rows[at + 1] ?? [];
  if (isSecondHeading(rows[at] ?? [], below, rows[at + 2])) return [at + 1, at + 2];
  const over = rows[at - 1] ?? [];
  // One filled cell above the headings is the title of the sheet, however many separators follow it.
  const isTitle = over.filter((cell) => cell.trim() !== "").length < 2;
  if (
    !isTitle &&
    isSecondHeading(over, rows[at] ?? [], rows[at + 1]) &&
    gapsFilled(over, rows[at] ?? [])
  )
    return [at, at + 1];
  return [at + 1];
}

function headingScore(row: readonly string[]): number {
  const filled = row.filter((cell) => cell.trim() !== "");
  if (filled.length < 2) return 0;
  const numeric = filled.filter((cell) => /^[-+]?\d+([.,]\d+)?$/.test(cell.trim())).length;
  if (numeric > 0.7 * filled.length) return 0;
  const known = filled.filter((cell) => cell.length < 60 && isHeading(cell)).length;
  return known - (new Set(filled).size < filled.length ? 0.5 : 0);
}

/** A heading by its words, or by a hand, a visit or a position among them. */
function isHeading(cell: string): boolean {
  if (conceptOf(cell) !== undefined) return true;
  const { words } = headingParts(cell);
  return (
    handIn(words) !== undefined || words.split(" ").some(isVisitWord) || visitAndLetter.test(words)
  );
}

const visitAndLetter = /(?:^| )[tvws] \d (?:[lrgdi] |.*\d$)/;

/** Merged headings above: gaps in the upper row stand over filled cells of the lower one. */
function isSecondHeading(
  upper: readonly string[],
  lower: readonly string[],
  data: readonly string[] | undefined,
): boolean {
  if (!data || !gapsFilled(upper, lower)) return false;
  const filled = lower.filter((cell) => cell.trim() !== "");
  const numbers = (row: readonly string[]) =>
    row.filter((cell) => /\d[.,]\d|\d{3,}/.test(cell)).length;
  return filled.length >= 2 && numbers(lower) === 0 && numbers(data) > 0;
}

function gapsFilled(upper: readonly string[], lower: readonly string[]): boolean {
  let gaps = 0;
  let above = false;
  for (let c = 0; c < lower.length; c++) {
    if ((upper[c]?.trim() ?? "") !== "") above = true;
    else if (above && (lower[c]?.trim() ?? "") !== "") gaps++;
  }
  return gaps >= 1;
}

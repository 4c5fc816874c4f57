import { InputError } from "./errors.js";

/** What a cell of a CSV file can hold; null and what is left out become an empty cell. */
export type CsvValue = string | number | boolean | null | undefined;

/** What stands between two cells of a line: a semicolon where numbers have a decimal comma. */
export type Delimiter = "," | ";";

/**
 * Where a spreadsheet would start a formula: = + - @ in either width, also behind spaces, control
 * characters and marks of no width; and a text that starts with a tab or a return.
 * @see OWASP, CSV Injection
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are among what is looked for
const formulaStart = /^(?:[\t\r]|[\s\u0000-\u001f\u200b-\u200f\u2060\ufeff]*[=+\-@＝＋－＠])/;
/** A plain number with a sign is no formula. */
const plainNumber = /^\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?\s*$/;

/** Whether a spreadsheet might run a text as a formula. */
export function looksLikeFormula(text: string): boolean {
  return formulaStart.test(text) && !plainNumber.test(text);
}

/**
 * Writes records as CSV (RFC 4180, UTF-8, a header row, lines ended by a line feed). A text that a
 * spreadsheet would take for a formula gets an apostrophe before it, so that opening the file runs
 * nothing; so does one that follows a semicolon, a tab or a new line inside a cell, because a
 * spreadsheet with another separator starts a cell there.
 * @param columns names in the order of the columns
 * @param rows records of texts, numbers and truth values; what is left out or null becomes an empty
 *   cell
 * @param delimiter what stands between two cells
 * @throws InputError when there are no columns, a number is not finite, or a value is none of these
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 * @example csvText(["code", "force"], [{ code: "=1+1", force: 41.5 }]) // "code,force\n'=1+1,41.5\n"
 */
export function csvText(
  columns: readonly string[],
  rows: readonly Readonly<Record<string, CsvValue>>[],
  delimiter: Delimiter = ",",
): string {
  return csvLines(
    columns,
    rows.map((row) => columns.map((name) => (Object.hasOwn(row, name) ? row[name] : null))),
    delimiter,
  );
}

/** As `csvText`, from rows in the order of the columns: headings of a table may repeat. */
export function csvLines(
  columns: readonly string[],
  rows: readonly (readonly CsvValue[])[],
  delimiter: Delimiter = ",",
): string {
  if (columns.length === 0) {
    const where = "csvText, columns";
    throw new InputError({ expected: "at least one column", got: "none", where });
  }
  const lines = rows.map((row, index) =>
    row.map((value, i) => cell(value, delimiter, `${columns[i]}, index ${index}`)).join(delimiter),
  );
  const headings = columns.map((name) => textCell(name, delimiter)).join(delimiter);
  return `${[headings, ...lines].join("\n")}\n`;
}

function cell(value: CsvValue, delimiter: Delimiter, place: string): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "string") return textCell(value, delimiter);
  if (typeof value === "boolean" || Number.isFinite(value)) return String(value);
  const expected = "a text, a finite number, true, false or nothing";
  const got = typeof value === "number" ? String(value) : typeof value;
  throw new InputError({ expected, got, where: `csvText, ${place}` });
}

function textCell(text: string, delimiter: Delimiter): string {
  const safe = withoutFormulas(text);
  return safe.includes(delimiter) || /["\r\n]|^\s|\s$/.test(safe)
    ? `"${safe.replaceAll('"', '""')}"`
    : safe;
}

function withoutFormulas(text: string): string {
  const parts = text.split(/([;\t\r\n])/).map((part) => {
    return part.length > 1 && looksLikeFormula(part) ? `'${part}` : part;
  });
  const safe = parts.join("");
  return looksLikeFormula(safe) ? `'${safe}` : safe;
}

/** As `csvText`, for a person's spreadsheet: the byte-order mark makes it read accents as they are written. */
export function spreadsheetCsv(...table: Parameters<typeof csvText>): string {
  return `\ufeff${csvText(...table)}`;
}

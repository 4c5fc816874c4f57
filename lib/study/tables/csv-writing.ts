import { InputError } from "../../errors.js";

/** A cell that a spreadsheet would take for a formula; a plain number with a sign is none. */
const formulaStart = /^[=+\-@\t\r＝＋－＠]/;
const plainNumber = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/** Whether a spreadsheet might run a text as a formula. */
export function looksLikeFormula(text: string): boolean {
  return formulaStart.test(text) && !plainNumber.test(text);
}

/**
 * Writes rows as CSV (RFC 4180, UTF-8, a header row, lines ended by a line feed). A text that a
 * spreadsheet would take for a formula gets an apostrophe before it, so that opening the file runs
 * nothing.
 * @param columns names in the order of the columns
 * @param rows records of texts and numbers; what is left out or null becomes an empty cell
 * @throws InputError when there are no columns, or a number is not finite
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 * @example csvText(["code", "force"], [{ code: "=1+1", force: 41.5 }]) // "code,force\n'=1+1,41.5\n"
 */
export function csvText(
  columns: readonly string[],
  rows: readonly Readonly<Record<string, string | number | null | undefined>>[],
): string {
  if (columns.length === 0) {
    const where = "csvText, columns";
    throw new InputError({ expected: "at least one column", got: "none", where });
  }
  const lines = rows.map((row, i) =>
    columns.map((name) => cell(Object.hasOwn(row, name) ? row[name] : null, name, i)).join(","),
  );
  return `${[columns.map((name) => cell(name, name, -1)).join(","), ...lines].join("\n")}\n`;
}

function cell(value: string | number | null | undefined, column: string, index: number): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "number") {
    if (Number.isFinite(value)) return String(value);
    const where = `csvText, ${column}, index ${index}`;
    throw new InputError({ expected: "a finite number", got: String(value), where });
  }
  const safe = looksLikeFormula(value) ? `'${value}` : value;
  return /[",\r\n]|^\s|\s$/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

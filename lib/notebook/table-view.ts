import { markup } from "../markup.js";

/** What is used here of a table of arquero; nothing of that library is loaded for it. */
interface TableLike {
  columnNames(): readonly string[];
  numRows(): number;
  objects(options: { limit: number }): readonly object[];
}

function isTable(value: unknown): value is TableLike {
  return (
    typeof value === "object" &&
    value !== null &&
    ["columnNames", "numRows", "objects"].every(
      (name) => typeof Reflect.get(value, name) === "function",
    )
  );
}

const mostRows = 10;
const mostColumns = 30;
const mostLetters = 60;

/** The start of a table and its size, as a cell shows it. */
interface TableStart {
  readonly names: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Which columns hold numbers and stand on the right. */
  readonly numeric: readonly boolean[];
  readonly size: string;
}

/**
 * A table that a cell ends with, as rows and columns: the first rows and how many there are, as text
 * and as HTML. Undefined for any other value.
 */
export function tableView(value: unknown): Record<string, string> | undefined {
  if (!isTable(value)) return undefined;
  try {
    const start = startOf(value);
    return { "text/plain": textOf(start), "text/html": htmlOf(start) };
  } catch {
    return undefined; // something else that has methods of these names
  }
}

function startOf(table: TableLike): TableStart {
  const all = table.columnNames();
  const names = all.slice(0, mostColumns);
  const records = table.objects({ limit: mostRows });
  const cells = records.map((record) => names.map((name) => Reflect.get(record, name) as unknown));
  const count = table.numRows();
  const parts = [
    count > records.length ? `the first ${records.length} of ${count} rows` : counted(count, "row"),
    all.length > names.length
      ? `the first ${names.length} of ${all.length} columns`
      : counted(all.length, "column"),
  ];
  return {
    names: names.map(short),
    rows: cells.map((row) => row.map(cellText)),
    numeric: names.map((_, i) => cells.some((row) => typeof row[i] === "number")),
    size: parts.join(", "),
  };
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** A number that was not measured, and a text that was not written down, are empty cells. */
function cellText(value: unknown): string {
  if (value === null || value === undefined || Number.isNaN(value)) return "";
  if (typeof value === "number") return String(Number(value.toPrecision(6)));
  if (value instanceof Date) return value.toISOString();
  return short(typeof value === "object" ? (JSON.stringify(value) ?? "") : String(value));
}

/** One line of at most sixty letters, without characters that would steer a terminal. */
function short(text: string): string {
  const plain = text.slice(0, mostLetters + 1).replace(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/gu, "·");
  return plain.length > mostLetters ? `${plain.slice(0, mostLetters)}…` : plain;
}

function textOf({ names, rows, numeric, size }: TableStart): string {
  const widths = names.map((name, i) =>
    Math.max(name.length, ...rows.map((row) => row[i]?.length ?? 0)),
  );
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (numeric[i] ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
      .join("  ")
      .trimEnd();
  return [line(names), ...rows.map(line), `(${size})`].join("\n");
}

function htmlOf({ names, rows, numeric, size }: TableStart): string {
  const side = (i: number) => (numeric[i] ? "right" : "left");
  const head = names.map(
    (name, i) => markup`<th scope="col" style="text-align: ${side(i)}">${name}</th>`,
  );
  const body = rows.map((row) => {
    const cells = row.map((cell, i) => markup`<td style="text-align: ${side(i)}">${cell}</td>`);
    return markup`<tr>${cells}</tr>`;
  });
  return String(
    markup`<table><caption>${size}</caption><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>`,
  );
}

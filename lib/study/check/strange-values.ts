import { itemAt, wholeAt } from "../../entry.js";
import { alikeCode } from "./alike-codes.js";
import type { IssueCode } from "./issue.js";
import type { IssueLog } from "./issue-log.js";
import type { ReadColumn, Rows } from "./rows.js";
import { partAt, rowPlace } from "./rows.js";

/** What values of a column should be. */
export interface KnownValues {
  /** Kind of the issue. */
  readonly code: IssueCode;
  /** The values that the study knows. */
  readonly known: readonly string[];
  /** The known values in words. */
  readonly expected: string;
}

interface Occurrence {
  readonly first: number;
  count: number;
}

/** Counts values that mean nothing here, so that each is reported once with its number of rows. */
export class StrangeValues {
  private readonly rows: Rows;
  private readonly column: ReadColumn;
  private readonly found = new Map<string, Occurrence>();

  constructor(rows: Rows, column: ReadColumn) {
    this.rows = rows;
    this.column = column;
  }

  /** Counts the value of a row; a value is reported once for each file. */
  count(index: number): void {
    const level = wholeAt(this.column.codes, index);
    const key =
      this.rows.parts.length === 1 ? `${level}` : `${level} ${partAt(this.rows, index).start}`;
    const found = this.found.get(key);
    if (found) found.count++;
    else this.found.set(key, { first: index, count: 1 });
  }

  report({ code, known, expected }: KnownValues, log: IssueLog): void {
    const { name } = this.column.field;
    for (const { first, count } of this.found.values()) {
      const value = itemAt(this.column.texts, wholeAt(this.column.codes, first));
      const paste = lineToPaste(this.rows, first, { name, value, known });
      log.add({ ...rowPlace(this.rows, first), column: name, code, value, expected, count, paste });
    }
  }
}

/** The mapping of a value, ready to be pasted; where nothing is near, the choice is left to see. */
function lineToPaste(
  rows: Rows,
  index: number,
  { name, value, known }: { name: string; value: string; known: readonly string[] },
): string {
  if (known.length === 0) return "";
  const { resource } = partAt(rows, index);
  const near = alikeCode(value, known);
  const few = known.length <= 6 ? known.join(" or ") : "one of these";
  const line = JSON.stringify({ [name]: { [value]: near ?? `… ${few} …` } });
  const where = `"reading" of the resource "${resource.name}" in datapackage.json`;
  return near === undefined
    ? `If it means one of them, put this into ${where} with the right one: "values": ${line}.`
    : `If it means ${near}, put this into ${where}: "values": ${line}.`;
}

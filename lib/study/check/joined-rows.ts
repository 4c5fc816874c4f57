import { itemAt, wholeAt } from "../../entry.js";
import type { Field } from "../package/dictionary.js";
import type { CellValue } from "./cells.js";
import { Fates } from "./fates.js";
import type { ReadColumn, Rows } from "./rows.js";

/**
 * The files of one kind as one table, one below the other: an export per visit, per tester or per
 * golfer. Each row keeps its file and its row there.
 */
export function joinedRows(files: readonly Rows[]): Rows {
  const [first] = files;
  if (first === undefined) throw new RangeError("no file to join");
  if (files.length === 1) return first;
  const starts: number[] = [];
  let rowCount = 0;
  for (const file of files) {
    starts.push(rowCount);
    rowCount += file.rowCount;
  }
  const fields = allFields(files);
  const place = { files, starts, rowCount };
  return {
    kind: first.kind,
    file: namesOf(files),
    parts: files.flatMap(({ parts }, k) =>
      parts.map((part) => ({ ...part, start: part.start + itemAt(starts, k) })),
    ),
    rowCount,
    fields,
    columns: new Map(
      fields
        .filter(({ name }) => files.some(({ columns }) => columns.has(name)))
        .map((field) => [field.name, joinedColumn(field, place)]),
    ),
    fates: joinedFates(place),
  };
}

interface Place {
  readonly files: readonly Rows[];
  readonly starts: readonly number[];
  readonly rowCount: number;
}

const namedFiles = 3;

function namesOf(files: readonly Rows[]): string {
  const names = files.map(({ file }) => file);
  if (names.length <= namedFiles) return names.join(", ");
  return `${itemAt(names, 0)} and ${names.length - 1} more files`;
}

function allFields(files: readonly Rows[]): Field[] {
  const byName = new Map<string, Field>();
  for (const { fields } of files)
    for (const field of fields) if (!byName.has(field.name)) byName.set(field.name, field);
  return [...byName.values()];
}

/** A text that two files have in common is one level, as it is within a file. */
function joinedColumn(field: Field, { files, starts, rowCount }: Place): ReadColumn {
  const codes = new Int32Array(rowCount);
  const values: CellValue[] = [];
  const texts: string[] = [];
  const known = new Map<string, number>();
  const levelOf = (value: CellValue, text: string) => {
    const key = `${typeof value}\n${value}\n${text}`;
    const level = known.get(key) ?? values.length;
    if (level === values.length) {
      known.set(key, level);
      values.push(value);
      texts.push(text);
    }
    return level;
  };
  for (const [k, file] of files.entries()) {
    const start = itemAt(starts, k);
    const column = file.columns.get(field.name);
    if (!column) codes.fill(levelOf(null, ""), start, start + file.rowCount);
    else {
      const levels = Int32Array.from(column.values, (value, i) =>
        levelOf(value, itemAt(column.texts, i)),
      );
      // Files of one kind mostly agree in their first texts, so that many columns are copied whole.
      if (levels.every((level, i) => level === i)) codes.set(column.codes, start);
      else
        for (let i = 0; i < file.rowCount; i++)
          codes[start + i] = wholeAt(levels, wholeAt(column.codes, i));
    }
  }
  return { field, codes, values, texts };
}

function joinedFates({ files, starts, rowCount }: Place): Fates {
  const fates = new Fates(rowCount);
  for (const [k, file] of files.entries()) {
    if (file.fates.reasons.length === 0) continue;
    for (let i = 0; i < file.rowCount; i++) {
      const fate = file.fates.of(i);
      if (fate) fates.leaveOut(itemAt(starts, k) + i, fate.reason, fate.by);
    }
  }
  return fates;
}

import { wholeAt } from "../../entry.js";
import type { CodedColumn } from "../check/sheet.js";
import { dictionary, type ResourceName } from "./dictionary.js";
import type { Reading } from "./file-reading.js";
import type { Json } from "./json.js";
import { isRecord, recordsIn, textPairs } from "./json.js";
import { convertible } from "./resource-fields.js";
import type { Misfit } from "./validator.js";

/** A number with a text behind it, such as "30,5 kg". */
const numberWithText = /^([-+\u2212]?\d[\d.,]*)\s*(\D\S*(?:\s\S+)?)$/;

/** The number and the text behind it; null where a cell is not laid out so. */
export function numberAndUnit(cell: string): { number: string; unit: string } | null {
  const [, number, unit] = numberWithText.exec(cell) ?? [];
  return number === undefined || unit === undefined ? null : { number, unit };
}

/** Columns of trials, whose unit stands in a column of its own, row by row. */
const measured = ["force", "speed"];

/**
 * Takes the units that the mapping names out of the cells. A trial's unit becomes a column, so that
 * each row is converted by its own; a cell without one has no unit, and a cell with another text is
 * left as it is: both are then reported.
 */
export function withoutCellUnits(
  columns: readonly CodedColumn[],
  { cellUnits }: Reading,
): CodedColumn[] {
  return columns.flatMap((column) => {
    const units = Object.hasOwn(cellUnits, column.name) ? cellUnits[column.name] : undefined;
    if (!units) return [column];
    const parts = column.levels.map((level) => {
      const parted = numberAndUnit(level.trim());
      const unit = parted && Object.hasOwn(units, parted.unit) ? units[parted.unit] : undefined;
      if (parted && unit !== undefined) return { level: parted.number, unit };
      // What is no number at all is reported for that, not for a unit too.
      return { level, unit: /^[-+\u2212]?[\d.,]+$/.test(level.trim()) ? "" : firstOf(units) };
    });
    const plain = { ...column, levels: parts.map(({ level }) => level) };
    return measured.includes(column.name)
      ? [
          plain,
          unitColumn(
            column,
            parts.map(({ unit }) => unit),
          ),
        ]
      : [plain];
  });
}

function firstOf(units: Readonly<Record<string, string>>): string {
  return Object.values(units)[0] ?? "";
}

function unitColumn({ codes }: CodedColumn, unitOfLevel: readonly string[]): CodedColumn {
  const levels = [...new Set(unitOfLevel)];
  const places = Int32Array.from(unitOfLevel, (unit) => levels.indexOf(unit));
  return { name: "unit", levels, codes: codes.map((code) => wholeAt(places, code)) };
}

/** Units in cells that could not be converted, or that contradict the unit of their column. */
export function cellUnitFaults(
  { schema, reading }: Json,
  kind: ResourceName,
  at: string,
): Misfit[] {
  const stated = isRecord(reading) ? reading : {};
  const given = isRecord(stated.cellUnits) ? stated.cellUnits : {};
  const fields = recordsIn(isRecord(schema) ? schema.fields : undefined);
  return Object.entries(given).flatMap(([name, texts]) =>
    Object.entries(textPairs(texts)).flatMap(([text, value]): Misfit[] => {
      const where = `${at}.reading.cellUnits.${name}.${text}`;
      const ours = dictionary[kind].find((field) => field.name === name);
      if (measured.includes(name) && ours) {
        const sample = name === "force" ? "kgf" : "mph";
        const expected = `a unit of ${name}, such as ${sample}`;
        return convertible(value, sample) ? [] : [{ where, value, expected }];
      }
      if (ours?.unit === undefined)
        return [{ where, value: name, expected: "a column of numbers with a unit, such as force" }];
      const fieldUnit = fields.find((field) => field.name === name)?.unit;
      const unit = textPairs(stated.units)[name] ?? fieldUnit ?? ours.unit;
      if (value === unit) return [];
      const expected = `${String(unit)}, the unit of this column; another one is stated in reading.units`;
      return [{ where, value, expected }];
    }),
  );
}

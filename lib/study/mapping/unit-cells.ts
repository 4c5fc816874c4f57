import { numberAndUnit } from "../package/cell-units.js";
import { type Concept, conceptOf, isUnitWord } from "./heading-words.js";
import type { RawColumn } from "./raw-table.js";

/** Columns of texts, in which a number with letters behind it is a code and no measured value. */
const texts: ReadonlySet<Concept> = new Set<Concept>([
  "participant",
  "arm",
  "sex",
  "plays",
  "writes",
  "date",
  "time",
  "note",
  "unit",
  "status",
  "device",
  "gym",
  "completed",
]);

/**
 * A column with its unit behind each number ("30.5 kg") as numbers, with the unit of each cell beside
 * them. Cells that hold no unit, or one that is not known, stay as they are.
 */
export function withoutUnits(column: RawColumn): RawColumn {
  const { name, cells, values } = column;
  if (texts.has(conceptOf(name) ?? "other")) return column;
  const parted = new Map(
    values.flatMap((value) => {
      const parts = numberAndUnit(value);
      return parts && isUnitWord(parts.unit) ? [[value, parts] as const] : [];
    }),
  );
  if (parted.size === 0 || parted.size < 0.5 * values.length) return column;
  const numbers = cells.map((cell) => parted.get(cell)?.number ?? cell);
  return {
    name,
    cells: numbers,
    values: [...new Set(numbers)].filter((cell) => cell !== ""),
    units: cells.map((cell) => parted.get(cell)?.unit ?? ""),
  };
}

/** The units that stand in the cells of columns, each with the number of its cells. */
export function unitsIn(columns: readonly RawColumn[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const unit of columns.flatMap(({ units }) => units ?? []))
    if (unit !== "") counts.set(unit, (counts.get(unit) ?? 0) + 1);
  return counts;
}

/** The unit in the cells of a column that most of them have, in small letters; "" where none has one. */
export function usualUnit(column: RawColumn): string {
  const [most] = [...unitsIn([column])].sort((a, b) => b[1] - a[1]);
  return most?.[0].toLowerCase() ?? "";
}

/** States that the cells of a column hold its one unit; another one in it is then an error of its row. */
export function takeUnitInCells(
  reading: { readonly cellUnits: Record<string, Record<string, string>> },
  column: RawColumn,
  { ours, unit }: { ours: string; unit: string },
): void {
  const usual = usualUnit(column);
  const same = [...unitsIn([column]).keys()].filter((text) => text.toLowerCase() === usual);
  if (same.length > 0)
    reading.cellUnits[ours] = Object.fromEntries(same.map((text) => [text, unit]));
}

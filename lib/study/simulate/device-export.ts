import { csvText, type Delimiter } from "../../csv-writing.js";
import { InputError } from "../../errors.js";
import type { ResourceName } from "../package/dictionary.js";
import { dictionary } from "../package/dictionary.js";

type Row = Readonly<Record<string, string | number | null>>;

/** How a device of the lab exports one kind of rows: with headings, codes and dates of its own. */
export interface DeviceExport {
  /** Name of the file, such as "speed-meter.csv". */
  readonly path: string;
  /** What stands between two cells; with a semicolon, numbers have a decimal comma. */
  readonly delimiter: Delimiter;
  /** How the file is read: the keys of `reading` in datapackage.json. */
  readonly reading: {
    /** Their column → ours, in the order of the file. */
    readonly columns: Readonly<Record<string, string>>;
    /** Our column → their value → ours. */
    readonly values?: Readonly<Record<string, Readonly<Record<string, string>>>>;
    /** Our column → the text that every row has, and that the file leaves out. */
    readonly constants?: Readonly<Record<string, string>>;
    /** Our column → how its dates are written, such as "%d.%m.%Y". */
    readonly format?: Readonly<Record<string, string>>;
  };
}

/**
 * Rows as a device exports them: the way back from what `reading` says. A column is left out only
 * where it is empty or is the constant that the reading states.
 */
export function exportedText(
  name: ResourceName,
  rows: readonly Row[],
  { path, delimiter, reading }: DeviceExport,
): string {
  const { columns, values = {}, constants = {}, format = {} } = reading;
  refuseLostColumns(rows, { columns, constants, path });
  const typeOf = new Map(dictionary[name].map((field) => [field.name, field.type]));
  const theirs = (ours: string, value: string | number | null | undefined) => {
    if (value === null || value === undefined) return null;
    const [code] = Object.entries(values[ours] ?? {}).find(([, own]) => own === value) ?? [];
    if (code !== undefined) return code;
    const layout = format[ours];
    if (layout !== undefined) return datedAs(String(value), layout);
    if (typeOf.get(ours) !== "number" || delimiter === ",") return value;
    return String(value).replace(".", ",");
  };
  const lines = rows.map((row) =>
    Object.fromEntries(
      Object.entries(columns).map(([heading, ours]) => [heading, theirs(ours, row[ours])]),
    ),
  );
  return csvText(Object.keys(columns), lines, delimiter);
}

/** An ISO date in another layout. */
function datedAs(iso: string, layout: string): string {
  const [year = "", month = "", day = ""] = iso.split("-");
  return layout.replace("%Y", year).replace("%m", month).replace("%d", day);
}

function refuseLostColumns(
  rows: readonly Row[],
  {
    columns,
    constants,
    path,
  }: Required<Pick<DeviceExport["reading"], "columns" | "constants">> & { path: string },
): void {
  const kept = new Set(Object.values(columns));
  for (const row of rows)
    for (const [name, value] of Object.entries(row)) {
      if (kept.has(name) || value === null || value === constants[name]) continue;
      throw new InputError({
        expected: `a column for ${name}, or a constant that every row has`,
        got: `${name} ${value}`,
        where: `export ${path}`,
      });
    }
}

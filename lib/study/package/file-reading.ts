import { isRecord, type Json, textOr, textPairs, textsIn } from "./json.js";

/** What one column of a wide file measures: our columns and the value that each has there. */
export type WideColumn = Readonly<Record<string, string>>;

/** How a lab's own export becomes our columns, without editing the export. */
export interface Reading {
  /** Their column → our column. */
  readonly columns: Readonly<Record<string, string>>;
  /** Our column → their value → our value. */
  readonly values: Readonly<Record<string, Readonly<Record<string, string>>>>;
  /** Our column → the one text that stands for every row. */
  readonly constants: Readonly<Record<string, string>>;
  /** Our column → the unit that the file has it in, where the file has no column of units. */
  readonly units: Readonly<Record<string, string>>;
  /** Our column → a unit as its cells have it behind the number → the unit that it means. */
  readonly cellUnits: Readonly<Record<string, Readonly<Record<string, string>>>>;
  /** One column per trial: what each of their columns measures, and the column its cells become. */
  readonly wide?: {
    readonly valueColumn: string;
    readonly columns: Readonly<Record<string, WideColumn>>;
  };
  /** Their columns that are not read, on purpose. */
  readonly ignore: readonly string[];
  /** Their column → the values of rows that belong to this resource; other rows are left out. */
  readonly only: Readonly<Record<string, readonly string[]>>;
  /** Their column → the values of rows that hold no data, such as a line of means. */
  readonly leaveOut: Readonly<Record<string, readonly string[]>>;
  /** Their columns in which an empty cell repeats the cell above, as merged cells do. */
  readonly fillDown: readonly string[];
  /** Our column that numbers the trials of a golfer's visit, hand and position in file order. */
  readonly numberRows?: string;
  /** Whether the file repeats the same facts of a golfer in several rows. */
  readonly onePerGolfer: boolean;
}

/** Reads the mapping of a file, which has its shape. */
export function readingOf(from: Json, path: string): Reading {
  const { wide, numberRows, fileName } = from;
  return {
    columns: textPairs(from.columns),
    values: recordsByName(from.values, textPairs),
    constants: {
      ...textPairs(from.constants),
      ...(typeof fileName === "string" ? factsInPath(fileName, path) : {}),
    },
    units: textPairs(from.units),
    cellUnits: recordsByName(from.cellUnits, textPairs),
    ...(isRecord(wide)
      ? {
          wide: {
            valueColumn: textOr(wide.valueColumn),
            columns: recordsByName(wide.columns, textPairs),
          },
        }
      : {}),
    ignore: textsIn(from.ignore),
    only: recordsByName(from.only, textsIn),
    leaveOut: recordsByName(from.leaveOut, textsIn),
    fillDown: textsIn(from.fillDown),
    ...(typeof numberRows === "string" ? { numberRows } : {}),
    onePerGolfer: from.onePerGolfer === true,
  };
}

function recordsByName<T>(from: unknown, read: (value: unknown) => T): Record<string, T> {
  const entries = Object.entries(isRecord(from) ? from : {});
  return Object.fromEntries(entries.map(([name, value]) => [name, read(value)]));
}

/** A column in braces within a pattern of file names. */
export const partsOfName = /\{([a-z_]+)\}/;

/**
 * What a file's name says of its rows: "visits/{participant}_{occasion}.csv" reads the golfer and
 * the visit from "visits/007_w0.csv". Null when the pattern does not fit the path.
 */
export function factsInPath(pattern: string, path: string): Record<string, string> | null {
  const names: string[] = [];
  const pieces = pattern.split(/(\{[a-z_]+\})/).map((piece) => {
    const name = partsOfName.exec(piece)?.[1];
    if (name === undefined) return piece.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
    names.push(name);
    return "([^/]+?)";
  });
  const found = new RegExp(`^${pieces.join("")}$`, "u").exec(path);
  if (!found) return null;
  return Object.fromEntries(names.map((name, i) => [name, found[i + 1] ?? ""]));
}

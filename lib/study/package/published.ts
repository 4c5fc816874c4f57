import { itemAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { frozen } from "../../stats/estimate.js";
import { shown } from "../../stats/input.js";
import { readCsv } from "../check/csv.js";
import { cellText, type Sheet } from "../check/sheet.js";
import { descriptorName, readStudyFiles, type StudyFiles } from "../files.js";
import { isRecord, type Json, recordsIn } from "./json.js";
import { readDescriptor } from "./read-descriptor.js";

/** A column of a published table, as its descriptor has it. */
export interface PublishedColumn {
  /** Name of the column in the file. */
  readonly name: string;
  /** Type of the values. */
  readonly type: "string" | "number" | "integer";
  /** Unit of the values; left out for texts and pure numbers. */
  readonly unit?: string;
  /** What the column contains. */
  readonly description: string;
}

/** A table of figures read in the literature, with where they come from and what to mind. */
export interface PublishedTable {
  /** Name of this record. */
  readonly kind: "publishedTable";
  /** Name of the table in its descriptor. */
  readonly name: string;
  /** Title as a reader sees it. */
  readonly title: string;
  /** The columns in the order of the file. */
  readonly columns: readonly PublishedColumn[];
  /** Texts and numbers by column name; null where the source prints nothing. */
  readonly rows: readonly Readonly<Record<string, string | number | null>>[];
  /** Citations, with a web address where there is one. */
  readonly sources: readonly { readonly title: string; readonly path?: string }[];
  /** What to mind when the figures are used. */
  readonly caveats: readonly string[];
  /** The lines of provenance that the file opens with. */
  readonly provenance: readonly string[];
}

const folder = "published";

/**
 * Reads one of the published tables of data/published: "correlations", "pooled-correlations",
 * "training-effects", "speed-lines", "skin-friction", "norms-tomkinson2025", "norms-steiber2016-height",
 * "norms-steiber2016-age", "norms-anchors", "nhanes-grip-ranges", "nhanes-grip-categories",
 * "club-pull-worked" or "coverage" (of this library's own intervals). Read its caveats before its numbers.
 * @param name of the table
 * @returns its rows with column types, units, sources and caveats
 * @throws InputError when there is no such table, or a cell is not what its column says
 * @see data/published/datapackage.json for what every column means
 * @example publishedTable("norms-tomkinson2025").rows.length // 34
 */
export function publishedTable(name: string): PublishedTable {
  const files = readStudyFiles(folder);
  const resource = resourceNamed(name, files);
  const path = String(resource.path);
  const bytes = files.files.get(path);
  if (!bytes) throw refused("a file that can be read", path);
  const { provenance, body } = opened(bytes);
  const columns = columnsOf(resource);
  return frozen({
    kind: "publishedTable",
    name,
    title: String(resource.title),
    columns,
    rows: rowsOf(sheetOf(body, path), columns, path),
    sources: (resource.sources ?? []) as PublishedTable["sources"],
    caveats: (resource.caveats ?? []) as string[],
    provenance,
  });
}

function resourceNamed(name: string, { files }: StudyFiles): Json {
  const bytes = files.get(descriptorName);
  const descriptor = bytes && readDescriptor(bytes);
  const resources = isRecord(descriptor) ? recordsIn(descriptor.resources) : [];
  const found = resources.find((resource) => resource.name === name);
  if (found) return found;
  throw refused(`one of ${resources.map((resource) => resource.name).join(", ")}`, shown(name));
}

/** The file opens with lines of provenance that start with #; the rest is the table. */
function opened(bytes: Uint8Array): { provenance: string[]; body: Uint8Array } {
  const lines = new TextDecoder().decode(bytes).split("\n");
  const first = lines.findIndex((line) => !line.startsWith("#"));
  return {
    provenance: lines.slice(0, first).map((line) => line.replace(/^#\s*/, "")),
    body: new TextEncoder().encode(lines.slice(first).join("\n")),
  };
}

function columnsOf({ schema }: Json): PublishedColumn[] {
  const fields = (schema as { fields: PublishedColumn[] }).fields;
  return fields.map(({ name, type, unit, description }) => {
    return { name, type, ...(unit ? { unit } : {}), description };
  });
}

function sheetOf(body: Uint8Array, path: string): Sheet {
  const result = readCsv(body, { delimiter: "," });
  if (result.kind === "refused") throw refused(result.refusal.expected, result.refusal.got, path);
  const { sheet } = result;
  const [fault] = sheet.faults;
  if (fault) throw refused(fault.expected, fault.value, `${path}, row ${fault.index + 1}`);
  return sheet;
}

function rowsOf(sheet: Sheet, columns: readonly PublishedColumn[], path: string) {
  const coded = columns.map(({ name }) => {
    const found = sheet.columns.find((column) => column.name === name);
    if (!found) throw refused(`a column ${name}`, "none", path);
    return found;
  });
  return Array.from({ length: sheet.rowCount }, (_, i) =>
    Object.fromEntries(
      columns.map((column, k) => [
        column.name,
        readValue(cellText(itemAt(coded, k), i), column, `${path}, ${column.name}, row ${i + 1}`),
      ]),
    ),
  );
}

function readValue(text: string, { type }: PublishedColumn, where: string): string | number | null {
  if (text === "") return null;
  if (type === "string") return text;
  const value = Number(text);
  if (Number.isFinite(value)) return value;
  throw refused("a number", shown(text), where);
}

function refused(expected: string, got: string, where = "name"): InputError {
  return new InputError({ expected, got, where: `publishedTable, ${where}` });
}

import { cellUnitFaults } from "./cell-units.js";
import type { Field, ResourceName } from "./dictionary.js";
import { resourceNames } from "./dictionary.js";
import { factsInPath, partsOfName, type Reading, readingOf } from "./file-reading.js";
import { isRecord, type Json, recordsIn, textOr, textPairs, textsIn } from "./json.js";
import { constraintFaults, mergedFields, unitFaults, withStated } from "./resource-fields.js";
import { resourceShape } from "./study-shape.js";
import { type Misfit, validatorOf } from "./validator.js";

/** One file of the study (a Data Resource). */
export interface Resource {
  /** Name of the resource. */
  readonly name: string;
  /** What the file contains; several resources may be of one kind. */
  readonly kind: ResourceName;
  /** Path of the file inside the study folder. */
  readonly path: string;
  /** Encoding that the descriptor declares; found out from the bytes when left out. */
  readonly encoding?: string;
  /** Table Dialect: how the file is laid out. */
  readonly dialect?: {
    readonly delimiter?: string;
    readonly headerRows?: readonly number[];
    readonly sheetName?: string;
    readonly sheetNumber?: number;
  };
  /** Texts that stand for a missing value. */
  readonly missingValues: readonly string[];
  /** The columns of the file. */
  readonly fields: readonly Field[];
  /** How texts of the file become values. */
  readonly reading: Reading;
}

/** Reads the list of files, which have their shape; of a package only a study's own files are read. */
export function readResources(from: readonly Json[]): Resource[] {
  return from.flatMap((resource) => {
    const kind = kindOf(resource);
    return kind ? pathsOf(resource).map((path) => resourceOf(resource, kind, path)) : [];
  });
}

/** What a resource contains: its `kind`, or its name when that is one of ours. */
export function kindOf({ kind, name }: Json): ResourceName | undefined {
  return resourceNames.find((known) => known === (kind ?? name));
}

/** The paths of a resource: one, or a list of files that are laid out alike. */
export function pathsOf({ path }: Json): string[] {
  return Array.isArray(path) ? textsIn(path) : [textOr(path)];
}

/** A file as messages and tables name it: its path, and its sheet where the descriptor names one. */
export function fileLabel({ path, dialect }: Resource): string {
  const sheet = dialect?.sheetName ?? (dialect?.sheetNumber && `number ${dialect.sheetNumber}`);
  return sheet === undefined ? path : `${path}, sheet ${sheet}`;
}

/** Columns of a file that other resources read from the same file: they are not unread. */
export function namesElsewhere(of: Resource, all: readonly Resource[]): ReadonlySet<string> {
  const others = all.filter((other) => other !== of && fileLabel(other) === fileLabel(of));
  return new Set(
    others.flatMap(({ reading, fields }) => [
      ...Object.keys(reading.columns),
      ...Object.keys(reading.wide?.columns ?? {}),
      ...Object.keys(reading.only),
      ...fields.map(({ name }) => name),
    ]),
  );
}

function resourceOf(from: Json, kind: ResourceName, path: string): Resource {
  const schema = isRecord(from.schema) ? from.schema : {};
  const missingValues = textsIn(schema.missingValues);
  const reading = isRecord(from.reading) ? from.reading : {};
  return {
    name: textOr(from.name) || kind,
    kind,
    path,
    ...(typeof from.encoding === "string" ? { encoding: from.encoding } : {}),
    dialect: {
      ...dialectOf(isRecord(from.dialect) ? from.dialect : {}),
      ...(typeof reading.sheet === "string" ? { sheetName: reading.sheet } : {}),
    },
    missingValues: missingValues.includes("") ? missingValues : ["", ...missingValues],
    fields: mergedFields(
      kind,
      withStated(recordsIn(schema.fields), textPairs(reading.format), textPairs(reading.units)),
    ),
    reading: readingOf(reading, path),
  };
}

const resourceMisfits = validatorOf(resourceShape);

/** What is wrong with the resources that a study is read from, beyond what the standard asks. */
export function resourceFaults(from: unknown): Misfit[] {
  const all: readonly unknown[] = Array.isArray(from) ? from : [];
  const named = all.flatMap((resource, i) => {
    const kind = isRecord(resource) ? kindOf(resource) : undefined;
    return isRecord(resource) && kind ? [{ resource, kind, place: `resources[${i}]` }] : [];
  });
  const names = all.map((resource) => (isRecord(resource) ? resource.name : undefined));
  const repeated = all.flatMap((resource, i) => {
    const name = isRecord(resource) ? resource.name : undefined;
    if (typeof name !== "string" || names.indexOf(name) === i) return [];
    return [{ where: `resources[${i}].name`, value: name, expected: "each name once" }];
  });
  const own = named.flatMap(({ resource, kind, place }) => [
    ...resourceMisfits(resource).map((misfit) => ({
      ...misfit,
      where: misfit.where === "" ? place : `${place}.${misfit.where}`,
    })),
    ...constraintFaults(resource, kind, `${place}.schema.fields`),
    ...unitFaults(resource, kind, place),
    ...cellUnitFaults(resource, kind, place),
    ...fileNameFaults(resource, place),
  ]);
  return [...repeated, ...own];
}

/** A pattern that does not fit a path would leave its rows without the code. */
function fileNameFaults(resource: Json, place: string): Misfit[] {
  const pattern = isRecord(resource.reading) ? resource.reading.fileName : undefined;
  if (typeof pattern !== "string") return [];
  const where = `${place}.reading.fileName`;
  if (!partsOfName.test(pattern)) {
    const expected = 'a file name with a column in braces, such as "{participant}.csv"';
    return [{ where, value: pattern, expected }];
  }
  return pathsOf(resource)
    .filter((path) => factsInPath(pattern, path) === null)
    .map((path) => ({ where, value: pattern, expected: `a pattern that fits ${path}` }));
}

function dialectOf(from: Json): NonNullable<Resource["dialect"]> {
  const { delimiter, headerRows, sheetName, sheetNumber } = from;
  const rows = Array.isArray(headerRows) ? headerRows.filter(Number.isInteger) : [];
  return {
    ...(typeof delimiter === "string" && delimiter !== "" ? { delimiter } : {}),
    ...(rows.length > 0 ? { headerRows: rows } : {}),
    ...(typeof sheetName === "string" ? { sheetName } : {}),
    ...(typeof sheetNumber === "number" ? { sheetNumber } : {}),
  };
}

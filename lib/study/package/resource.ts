import { itemAt, present } from "../../entry.js";
import type { Field, ResourceName } from "./dictionary.js";
import { dictionary, resourceNames } from "./dictionary.js";
import type { Json, JsonParts } from "./json-parts.js";
import { isRecord } from "./json-parts.js";

/** How the columns of a foreign export become ours, without editing the export. */
export interface Reading {
  /** Their column → our column. */
  readonly columns?: Readonly<Record<string, string>>;
  /** Our column → their value → our value. */
  readonly values?: Readonly<Record<string, Readonly<Record<string, string>>>>;
  /** Our column → the one text that stands for every row. */
  readonly constants?: Readonly<Record<string, string>>;
  /** Repeats that stand side by side: their column → the text that goes into `nameColumn`. */
  readonly wide?: {
    readonly columns: Readonly<Record<string, string>>;
    readonly nameColumn: string;
    readonly valueColumn: string;
  };
}

/** One file of the study (a Data Resource). */
export interface Resource {
  readonly name: ResourceName;
  readonly path: string;
  readonly encoding?: string;
  /** Table Dialect: how the file is laid out. */
  readonly dialect?: {
    readonly delimiter?: string;
    readonly headerRows?: readonly number[];
    readonly sheetName?: string;
    readonly sheetNumber?: number;
  };
  readonly missingValues: readonly string[];
  readonly fields: readonly Field[];
  readonly reading: Reading;
}

/** Reads the list of files. */
export function readResources(parts: JsonParts, from: unknown): Resource[] {
  if (!Array.isArray(from) || from.length === 0) {
    parts.fault("resources", from, "a list with at least one file");
    return [];
  }
  const read: Resource[] = [];
  for (const [i, one] of from.entries()) {
    if (!isRecord(one)) parts.fault(`resources[${i}]`, one, "a record");
    else if (wanted(parts, one, i, read)) read.push(resourceOf(parts, one, `resources[${i}].`));
  }
  return read;
}

/** Other resources may lie in the package; only a study's own files are read. */
function wanted(parts: JsonParts, from: Json, i: number, before: readonly Resource[]): boolean {
  if (!resourceNames.includes(from.name as ResourceName)) return false;
  if (!before.some(({ name }) => name === from.name)) return true;
  parts.fault(`resources[${i}].name`, from.name, "each resource once");
  return false;
}

function resourceOf(parts: JsonParts, from: Json, where: string): Resource {
  const name = from.name as ResourceName;
  const path = Array.isArray(from.path) && from.path.length === 1 ? from.path[0] : from.path;
  if (typeof path !== "string" || path === "")
    parts.fault(`${where}path`, from.path, "a file path");
  const schema = isRecord(from.schema) ? from.schema : {};
  const dialect = isRecord(from.dialect) ? from.dialect : {};
  return {
    name,
    path: typeof path === "string" ? path : "",
    ...(typeof from.encoding === "string" ? { encoding: from.encoding } : {}),
    dialect: dialectOf(parts, dialect, `${where}dialect.`),
    missingValues: missingValuesOf(parts, schema, `${where}schema.`),
    fields: fieldsOf(parts, name, schema, `${where}schema.`),
    reading: readingOf(parts, from.reading, `${where}reading`),
  };
}

function fieldsOf(parts: JsonParts, name: ResourceName, schema: Json, where: string): Field[] {
  const given = parts.list(schema, "fields", where);
  for (const [i, field] of given.entries())
    checkConstraints(parts, name, field, `${where}fields[${i}].constraints`);
  return mergedFields(name, given);
}

/** A constraint that cannot be read would be a check that is silently off. */
function checkConstraints(parts: JsonParts, name: ResourceName, field: Json, where: string): void {
  const { constraints = {} } = field;
  if (!isRecord(constraints)) {
    parts.fault(where, constraints, "a record");
    return;
  }
  const { required, pattern } = constraints;
  if (required !== undefined && typeof required !== "boolean")
    parts.fault(`${where}.required`, required, "true or false");
  if (constraints.enum !== undefined && !Array.isArray(constraints.enum))
    parts.fault(`${where}.enum`, constraints.enum, "a list of values");
  if (pattern !== undefined && (typeof pattern !== "string" || !isPlainPattern(pattern)))
    parts.fault(`${where}.pattern`, pattern, "a valid pattern without groups");
  const type = dictionary[name].find((own) => own.name === field.name)?.type ?? typeOf(field);
  if (type !== "number" && type !== "integer") return;
  for (const limit of ["minimum", "maximum"])
    if (constraints[limit] !== undefined && limitOf(constraints[limit]) === undefined)
      parts.fault(`${where}.${limit}`, constraints[limit], "a number");
}

/** A limit as a number, or as the text of one. */
function limitOf(value: unknown): number | undefined {
  const number = typeof value === "string" && value.trim() !== "" ? Number(value) : value;
  return typeof number === "number" && Number.isFinite(number) ? number : undefined;
}

/** Groups could make a pattern take for ever on a hostile cell; character classes are enough. */
function isPlainPattern(pattern: string): boolean {
  if (pattern.length > 200 || /[()]/.test(pattern)) return false;
  if ((pattern.match(/[*+{]/g) ?? []).length > 3) return false;
  try {
    new RegExp(pattern, "u");
    return true;
  } catch {
    return false;
  }
}

function missingValuesOf(parts: JsonParts, schema: Json, where: string): string[] {
  const values = parts.texts(schema, "missingValues", where);
  return values.includes("") ? values : ["", ...values];
}

function dialectOf(parts: JsonParts, from: Json, where: string): NonNullable<Resource["dialect"]> {
  const delimiter = parts.text(from, "delimiter", where);
  if (delimiter !== "" && (delimiter.length !== 1 || /["\r\n]/.test(delimiter) || delimiter > "~"))
    parts.fault(`${where}delimiter`, delimiter, "one character");
  const rows = from.headerRows;
  const headerRows =
    Array.isArray(rows) && Number.isInteger(rows[0]) ? (rows as number[]) : undefined;
  if (rows !== undefined && (headerRows?.length !== 1 || itemAt(headerRows, 0) < 1))
    parts.fault(`${where}headerRows`, rows, "the number of one row, such as [1]");
  return {
    ...(delimiter === "" ? {} : { delimiter }),
    ...(headerRows ? { headerRows } : {}),
    ...(typeof from.sheetName === "string" ? { sheetName: from.sheetName } : {}),
    ...(typeof from.sheetNumber === "number" ? { sheetNumber: from.sheetNumber } : {}),
  };
}

function readingOf(parts: JsonParts, from: unknown, where: string): Reading {
  if (from === undefined) return {};
  if (!isRecord(from)) {
    parts.fault(where, from, "a record of columns, values, constants or wide");
    return {};
  }
  const wide = isRecord(from.wide) ? from.wide : undefined;
  const values = isRecord(from.values) ? from.values : {};
  return {
    columns: parts.pairs(from.columns, `${where}.columns`),
    values: Object.fromEntries(
      Object.entries(values).map(([key, map]) => [key, parts.pairs(map, `${where}.values.${key}`)]),
    ),
    constants: parts.pairs(from.constants, `${where}.constants`),
    ...(wide
      ? {
          wide: {
            columns: parts.pairs(wide.columns, `${where}.wide.columns`),
            nameColumn: parts.must(wide, "nameColumn", `${where}.wide.`),
            valueColumn: parts.must(wide, "valueColumn", `${where}.wide.`),
          },
        }
      : {}),
  };
}

const types = ["string", "number", "integer", "date", "time", "datetime", "boolean"];

/** Our fields, tightened by what the package says of them, then the package's own further fields. */
function mergedFields(resource: ResourceName, given: readonly Json[]): Field[] {
  const known = dictionary[resource];
  const own = known.map((field) => {
    const more = given.find(({ name }) => name === field.name);
    return more ? merged(field, more) : field;
  });
  const further = given
    .filter(({ name }) => typeof name === "string" && !known.some((field) => field.name === name))
    .map((field) => merged({ name: String(field.name), type: typeOf(field) }, field));
  return [...own, ...further];
}

function typeOf(field: Json): Field["type"] {
  return types.includes(String(field.type)) ? (field.type as Field["type"]) : "string";
}

function merged(field: Field, more: Json): Field {
  const constraints = isRecord(more.constraints) ? more.constraints : {};
  return {
    ...field,
    ...(typeof more.format === "string" ? { format: more.format } : {}),
    ...(typeof more.decimalChar === "string" ? { decimalChar: more.decimalChar } : {}),
    ...(typeof more.unit === "string" ? { unit: more.unit } : {}),
    constraints: {
      ...constraintsOf(constraints),
      ...field.constraints,
      ...narrowed(field, constraints),
    },
  };
}

function constraintsOf(from: Json): NonNullable<Field["constraints"]> {
  const [minimum, maximum] = [limitOf(from.minimum), limitOf(from.maximum)];
  return {
    ...(from.required === true ? { required: true } : {}),
    ...(Array.isArray(from.enum) ? { enum: from.enum.map(String) } : {}),
    ...(minimum === undefined ? {} : { minimum }),
    ...(maximum === undefined ? {} : { maximum }),
    ...(typeof from.pattern === "string" && isPlainPattern(from.pattern)
      ? { pattern: from.pattern }
      : {}),
  };
}

/** A package may narrow our limits; it cannot widen them. */
function narrowed(field: Field, from: Json): NonNullable<Field["constraints"]> {
  const own = field.constraints ?? {};
  const given = constraintsOf(from);
  return {
    ...(given.required ? { required: true } : {}),
    ...(own.enum && given.enum
      ? { enum: own.enum.filter((v) => present(given.enum).includes(v)) }
      : {}),
    ...(given.minimum === undefined
      ? {}
      : { minimum: Math.max(given.minimum, own.minimum ?? given.minimum) }),
    ...(given.maximum === undefined
      ? {}
      : { maximum: Math.min(given.maximum, own.maximum ?? given.maximum) }),
  };
}

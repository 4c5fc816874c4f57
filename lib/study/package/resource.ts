import { present } from "../../entry.js";
import type { Field, ResourceName } from "./dictionary.js";
import { dictionary, resourceNames } from "./dictionary.js";
import { isRecord, type Json, recordsIn, textOr, textPairs, textsIn } from "./json.js";
import { plainPattern, resourceShape } from "./study-shape.js";
import { type Misfit, validatorOf } from "./validator.js";

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
  /** Name of the resource, which says what the file contains. */
  readonly name: ResourceName;
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
    const name = nameOf(resource);
    return name ? [resourceOf(resource, name)] : [];
  });
}

function nameOf({ name }: Json): ResourceName | undefined {
  return resourceNames.find((known) => known === name);
}

function resourceOf(from: Json, name: ResourceName): Resource {
  const schema = isRecord(from.schema) ? from.schema : {};
  const missingValues = textsIn(schema.missingValues);
  return {
    name,
    path: textOr(Array.isArray(from.path) ? from.path[0] : from.path),
    ...(typeof from.encoding === "string" ? { encoding: from.encoding } : {}),
    dialect: dialectOf(isRecord(from.dialect) ? from.dialect : {}),
    missingValues: missingValues.includes("") ? missingValues : ["", ...missingValues],
    fields: mergedFields(name, recordsIn(schema.fields)),
    reading: readingOf(isRecord(from.reading) ? from.reading : {}),
  };
}

const resourceMisfits = validatorOf(resourceShape);

/** What is wrong with the resources that a study is read from, beyond what the standard asks. */
export function resourceFaults(from: unknown): Misfit[] {
  const named = (Array.isArray(from) ? from : []).flatMap((resource: unknown, i) => {
    const name = isRecord(resource) ? nameOf(resource) : undefined;
    return isRecord(resource) && name ? [{ resource, name, place: `resources[${i}]` }] : [];
  });
  return named.flatMap(({ resource, name, place }, i) => [
    ...(named.findIndex((other) => other.name === name) < i
      ? [{ where: `${place}.name`, value: name, expected: "each resource once" }]
      : []),
    ...resourceMisfits(resource).map((misfit) => ({
      ...misfit,
      where: misfit.where === "" ? place : `${place}.${misfit.where}`,
    })),
    ...constraintFaults(resource, name, `${place}.schema.fields`),
  ]);
}

/** A constraint that cannot be read would be a check that is silently off. */
function constraintFaults({ schema }: Json, name: ResourceName, where: string): Misfit[] {
  const fields = isRecord(schema) && Array.isArray(schema.fields) ? schema.fields : [];
  return fields.flatMap((field: unknown, i) => {
    if (!isRecord(field) || !isRecord(field.constraints)) return [];
    const place = `${where}[${i}].constraints`;
    const { pattern } = field.constraints;
    const value = typeof pattern === "string" && !isPlainPattern(pattern) ? pattern : undefined;
    return [
      ...(value === undefined
        ? []
        : [{ where: `${place}.pattern`, value, expected: plainPattern }]),
      ...limitFaults(field, field.constraints, { name, place }),
    ];
  });
}

function limitFaults(
  field: Json,
  constraints: Json,
  { name, place }: { name: ResourceName; place: string },
): Misfit[] {
  const known = dictionary[name].find((ours) => ours.name === field.name);
  const type = known?.type ?? typeOf(field);
  if (type !== "number" && type !== "integer") return [];
  return ["minimum", "maximum"]
    .filter((limit) => constraints[limit] !== undefined)
    .filter((limit) => limitOf(constraints[limit]) === undefined)
    .map((limit) => ({
      where: `${place}.${limit}`,
      value: constraints[limit],
      expected: "a number",
    }));
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

function readingOf({ columns, values, constants, wide }: Json): Reading {
  const byColumn = Object.entries(isRecord(values) ? values : {});
  return {
    columns: textPairs(columns),
    values: Object.fromEntries(byColumn.map(([name, map]) => [name, textPairs(map)])),
    constants: textPairs(constants),
    ...(isRecord(wide)
      ? {
          wide: {
            columns: textPairs(wide.columns),
            nameColumn: textOr(wide.nameColumn),
            valueColumn: textOr(wide.valueColumn),
          },
        }
      : {}),
  };
}

const types = ["string", "number", "integer", "date", "time", "datetime", "boolean"];

/** Our fields, tightened by what the package says of them, then the package's own further fields. */
function mergedFields(resource: ResourceName, given: readonly Json[]): Field[] {
  const known = dictionary[resource];
  const ours = known.map((field) => {
    const more = given.find(({ name }) => name === field.name);
    return more ? merged(field, more) : field;
  });
  const further = given
    .filter(({ name }) => typeof name === "string" && !known.some((field) => field.name === name))
    .map((field) => merged({ name: String(field.name), type: typeOf(field) }, field));
  return [...ours, ...further];
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
  const ours = field.constraints ?? {};
  const given = constraintsOf(from);
  return {
    ...(given.required ? { required: true } : {}),
    ...(ours.enum && given.enum
      ? { enum: ours.enum.filter((v) => present(given.enum).includes(v)) }
      : {}),
    ...(given.minimum === undefined
      ? {}
      : { minimum: Math.max(given.minimum, ours.minimum ?? given.minimum) }),
    ...(given.maximum === undefined
      ? {}
      : { maximum: Math.min(given.maximum, ours.maximum ?? given.maximum) }),
  };
}

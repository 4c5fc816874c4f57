import { present } from "../../entry.js";
import { readUnit } from "../../units/unit.js";
import type { Field, ResourceName } from "./dictionary.js";
import { dictionary } from "./dictionary.js";
import { isRecord, type Json, recordsIn, textPairs } from "./json.js";
import { plainPattern } from "./study-shape.js";
import type { Misfit } from "./validator.js";

type Texts = Readonly<Record<string, string>>;

/** The fields of the schema, with the date formats and units that the reading states. */
export function withStated(fields: readonly Json[], formats: Texts, units: Texts): Json[] {
  const names = new Set([...Object.keys(formats), ...Object.keys(units)]);
  const stated = [...names].map((name) => ({
    ...fields.find((field) => field.name === name),
    name,
    ...(Object.hasOwn(formats, name) ? { format: formats[name] } : {}),
    ...(Object.hasOwn(units, name) ? { unit: units[name] } : {}),
  }));
  return [...fields.filter(({ name }) => !names.has(String(name))), ...stated];
}

const types = ["string", "number", "integer", "date", "time", "datetime", "boolean"];

/** Our fields, tightened by what the package says of them, then the package's own further fields. */
export function mergedFields(resource: ResourceName, given: readonly Json[]): Field[] {
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
    ...(typeof more.unit === "string" ? unitOf(field, more.unit) : {}),
    constraints: {
      ...constraintsOf(constraints),
      ...field.constraints,
      ...narrowed(field, constraints),
    },
  };
}

/** A column of ours keeps its unit; a file that has another one is converted. */
function unitOf({ unit }: Field, given: string): Pick<Field, "unit" | "fileUnit"> {
  if (unit === undefined) return { unit: given };
  return given === unit ? { unit } : { unit, fileUnit: given };
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

/** A unit that cannot be converted would leave the numbers as they are, silently. */
export function unitFaults({ schema, reading }: Json, kind: ResourceName, place: string): Misfit[] {
  const fields = recordsIn(isRecord(schema) ? schema.fields : undefined);
  const units = textPairs(isRecord(reading) ? reading.units : undefined);
  const given = [
    ...fields.map(({ name, unit }, i) => {
      return { name, unit, where: `${place}.schema.fields[${i}].unit` };
    }),
    ...Object.entries(units).map(([name, unit]) => {
      return { name, unit, where: `${place}.reading.units.${name}` };
    }),
  ];
  return given.flatMap(({ name, unit, where }) => {
    const ours = dictionary[kind].find((field) => field.name === name)?.unit;
    if (typeof unit !== "string" || unit === ours) return [];
    if (ours === undefined) {
      if (where.includes(".schema.")) return [];
      const expected =
        "a column of one unit, such as mass_kg; the unit of trials goes into reading.constants.unit";
      return [{ where, value: name, expected }];
    }
    const expected = `${ours}, or a unit that is converted to it`;
    return convertible(unit, ours) ? [] : [{ where, value: unit, expected }];
  });
}

/** Whether a unit is known and converts to another one. */
export function convertible(given: string, ours: string): boolean {
  try {
    return readUnit(given).quantity === readUnit(ours).quantity;
  } catch {
    return false;
  }
}

/** A constraint that cannot be read would be a check that is silently off. */
export function constraintFaults({ schema }: Json, kind: ResourceName, where: string): Misfit[] {
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
      ...limitFaults(field, field.constraints, { kind, place }),
    ];
  });
}

function limitFaults(
  field: Json,
  constraints: Json,
  { kind, place }: { kind: ResourceName; place: string },
): Misfit[] {
  const known = dictionary[kind].find((ours) => ours.name === field.name);
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

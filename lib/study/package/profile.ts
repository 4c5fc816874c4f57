import { frozen } from "../../stats/estimate.js";
import { isRecord, type Json } from "./json.js";
import { packageShape } from "./profile-shape.js";
import { type Misfit, validatorOf } from "./validator.js";

/** One point where a descriptor departs from the Data Package standard. */
export interface ProfileFault {
  /** A path such as `resources[0].schema.fields[2].type`; empty for the descriptor as a whole. */
  readonly where: string;
  /** What stands there, shortened to one line; "nothing" when it is missing. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
  /** "must" breaks the standard; "should" is its advice. */
  readonly rule: "must" | "should";
  /** The departure as a sentence. */
  readonly message: string;
}

/** How a descriptor compares with the Data Package standard. */
export interface PackageCheck {
  /** Name of this record. */
  readonly kind: "checkPackage";
  /** The standard that the descriptor was compared with. */
  readonly standard: "Data Package v2";
  /** True when nothing breaks a "must". */
  readonly valid: boolean;
  /** Every point where the descriptor departs from the standard. */
  readonly faults: readonly ProfileFault[];
}

const shapeFaults = validatorOf(packageShape);

type Draft = Misfit & { rule?: "must" | "should" };

/**
 * Checks a datapackage.json, already parsed, against the Data Package standard (version 2): the shape
 * of package, resource, table dialect, table schema, field and constraints, then what shapes cannot
 * say: names that must differ, and keys that must name fields and resources that exist.
 * @param descriptor the parsed JSON; anything at all
 * @returns every fault, with a path to it; nothing is thrown
 * @see https://datapackage.org/standard/data-package/
 * @example checkPackage({ resources: [] }).faults[0].message // "resources: expected a list with at least one resource, got []"
 */
export function checkPackage(descriptor: unknown): PackageCheck {
  const misfits: Draft[] = shapeFaults(descriptor);
  const resources = resourcesOf(descriptor);
  // names are compared only once the resources have their shape, else one slip makes three faults
  const shaped = !misfits.some(({ where }) => where.startsWith("resources"));
  const drafts = [
    ...misfits,
    ...(shaped ? repeated(resources.map(({ name }) => name)).map(nameFault) : []),
    ...(shaped ? resources.flatMap((one, i) => resourceFaults(one, i, resources)) : []),
    ...advice(descriptor, resources),
  ];
  const faults = drafts.map(faultOf);
  const valid = faults.every(({ rule }) => rule === "should");
  return frozen({ kind: "checkPackage", standard: "Data Package v2", valid, faults });
}

function faultOf({ where, value, expected, rule = "must" }: Draft): ProfileFault {
  const shown = value === undefined ? "nothing" : String(JSON.stringify(value)).slice(0, 80);
  const message = `${where || "datapackage.json"}: expected ${expected}, got ${shown}`;
  return { where, value: shown, expected, rule, message };
}

function resourcesOf(descriptor: unknown): Json[] {
  const list = isRecord(descriptor) ? descriptor.resources : undefined;
  return Array.isArray(list) ? list.map((one) => (isRecord(one) ? one : {})) : [];
}

function repeated(values: readonly unknown[]): [number, unknown][] {
  return [...values.entries()].filter(([i, value]) => {
    return typeof value === "string" && values.indexOf(value) < i;
  });
}

function nameFault([i, value]: [number, unknown]): Draft {
  return { where: `resources[${i}].name`, value, expected: "a name no other resource has" };
}

function resourceFaults(resource: Json, i: number, all: readonly Json[]): Draft[] {
  const where = `resources[${i}]`;
  const schema = isRecord(resource.schema) ? resource.schema : {};
  return [
    ...mixedPlaces(resource.path, where),
    ...keyFaults(schema, `${where}.schema`),
    ...referenceFaults(schema, `${where}.schema`, all),
    ...fieldFaults(schema, `${where}.schema`),
  ];
}

function mixedPlaces(path: unknown, where: string): Draft[] {
  if (!Array.isArray(path)) return [];
  const web = path.filter((one) => /^\w+:\/\//.test(String(one))).length;
  if (web === 0 || web === path.length) return [];
  return [{ where: `${where}.path`, value: path, expected: "only paths or only addresses" }];
}

function fieldNames(schema: Json): string[] {
  const fields = Array.isArray(schema.fields) ? schema.fields : [];
  return fields.map((field) => (isRecord(field) ? String(field.name) : ""));
}

/** A key may be one name (as in version 1) or a list of names. */
function listed(key: unknown): string[] {
  if (typeof key === "string") return [key];
  return Array.isArray(key) ? key.filter((name) => typeof name === "string") : [];
}

function unknownNames(key: unknown, known: readonly string[], where: string): Draft[] {
  return listed(key)
    .filter((name) => !known.includes(name))
    .map((value) => ({ where, value, expected: "the name of a field of this schema" }));
}

function keyFaults(schema: Json, where: string): Draft[] {
  const known = fieldNames(schema);
  const unique = Array.isArray(schema.uniqueKeys) ? schema.uniqueKeys : [];
  return [
    ...unknownNames(schema.primaryKey, known, `${where}.primaryKey`),
    ...unique.flatMap((key, i) => unknownNames(key, known, `${where}.uniqueKeys[${i}]`)),
  ];
}

function referenceFaults(schema: Json, where: string, all: readonly Json[]): Draft[] {
  const keys = Array.isArray(schema.foreignKeys) ? schema.foreignKeys.filter(isRecord) : [];
  return keys.flatMap((key, i) => referenceFault(schema, key, `${where}.foreignKeys[${i}]`, all));
}

function referenceFault(schema: Json, key: Json, where: string, all: readonly Json[]): Draft[] {
  const reference = isRecord(key.reference) ? key.reference : {};
  const name = reference.resource || undefined; // "" means this table, as in version 1
  const target = name === undefined ? { schema } : all.find((one) => one.name === name);
  if (!target) {
    const expected = "the name of a resource of this package";
    return [{ where: `${where}.reference.resource`, value: name, expected }];
  }
  const ends = [listed(key.fields), listed(reference.fields)] as const;
  const expected = `as many fields as the key has, ${ends[0].length}`;
  const value = reference.fields;
  return [
    ...unknownNames(key.fields, fieldNames(schema), `${where}.fields`),
    ...(isRecord(target.schema)
      ? unknownNames(reference.fields, fieldNames(target.schema), `${where}.reference.fields`)
      : []),
    ...(ends[0].length === ends[1].length
      ? []
      : [{ where: `${where}.reference.fields`, value, expected }]),
  ];
}

/** An enum must lie within the categories; two fields of one name were allowed in version 1. */
function fieldFaults(schema: Json, where: string): Draft[] {
  const fields = Array.isArray(schema.fields) ? schema.fields.filter(isRecord) : [];
  const doubles = repeated(fieldNames(schema)).map(([i, value]): Draft => {
    const expected = "a name no other field has";
    return { where: `${where}.fields[${i}].name`, value, expected, rule: "should" };
  });
  return [...doubles, ...fields.flatMap((field, i) => enumFaults(field, `${where}.fields[${i}]`))];
}

function enumFaults(field: Json, where: string): Draft[] {
  const allowed = isRecord(field.constraints) ? field.constraints.enum : undefined;
  if (!Array.isArray(field.categories) || !Array.isArray(allowed)) return [];
  const categories = field.categories.map((one) => (isRecord(one) ? one.value : one));
  return allowed
    .filter((value) => !categories.includes(value))
    .map((value) => ({
      where: `${where}.constraints.enum`,
      value,
      expected: "values that are among the categories",
    }));
}

function advice(descriptor: unknown, resources: readonly Json[]): Draft[] {
  const named = isRecord(descriptor) ? [["name", descriptor.name] as const] : [];
  const all = [
    ...named,
    ...resources.map(({ name }, i) => [`resources[${i}].name`, name] as const),
  ];
  const odd = all.filter(([, name]) => typeof name === "string" && !/^[a-z0-9._-]+$/.test(name));
  const expected = "lower-case letters, digits, . - or _";
  return odd.map(([where, value]) => ({ where, value, expected, rule: "should" }));
}

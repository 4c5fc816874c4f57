import { Ajv, type ErrorObject } from "ajv";
import { isRecord } from "./json.js";

/** A place that does not fit its schema: where, what stands there and what should. */
export interface Misfit {
  /** A path such as `resources[0].schema.fields[2].type`; empty for the value as a whole. */
  readonly where: string;
  /** What stands there. */
  readonly value: unknown;
  /** What should be there instead, in words. */
  readonly expected: string;
}

/** Whether descriptors can be validated here; a page cannot. */
export const validates: boolean = true;

/** Finds everything in a value that does not fit a schema. */
export type Validator = (value: unknown) => Misfit[];

/**
 * A validator for a JSON Schema (draft 7) in which every `description` says what is expected. The
 * schema is compiled when it is first used. Where a value may have one of several shapes, the misfit
 * is reported inside the shape of its own type, because that says more than "none of these".
 * @see https://json-schema.org/draft-07
 */
export function validatorOf(schema: object): Validator {
  let check: ReturnType<Ajv["compile"]> | undefined;
  return (value) => {
    check ??= compiler().compile(schema);
    return check(value) ? [] : misfitsOf(check.errors ?? []);
  };
}

function compiler(): Ajv {
  const ajv = new Ajv({
    allErrors: true, // every fault of a descriptor is reported at once
    verbose: true, // an error carries the part of the schema that it is about, and so its description
    ownProperties: true, // a key named after a prototype's is a stranger
    strict: false,
    code: { optimize: false }, // a study is read once in a process: compiling costs more than validating
    validateSchema: false, // a test holds our schemas against the meta-schema
    meta: false,
  });
  // The library compares every two records of a list; a hostile list would take for ever.
  ajv.removeKeyword("uniqueItems");
  ajv.addKeyword({
    keyword: "uniqueItems",
    type: "array",
    schemaType: "boolean",
    validate: (wanted: boolean, list: readonly unknown[]) =>
      !wanted || new Set(list.map((item) => JSON.stringify(item))).size === list.length,
  });
  return ajv;
}

function misfitsOf(errors: readonly ErrorObject[]): Misfit[] {
  const shapes = errors.filter(({ keyword }) => keyword === "anyOf" || keyword === "oneOf");
  const told = errors.filter((error) => shapes.every((choice) => isTold(error, choice)));
  const found = told.map(misfitOf);
  const wholes = told.flatMap((error, i) =>
    error.keyword === "required" ? [] : [found[i]?.where],
  );
  const seen = new Set<string>();
  return found.filter(({ where }) => {
    const inside = wholes.some((whole) => whole !== undefined && isInside(where, whole));
    if (inside || seen.has(where)) return false;
    seen.add(where);
    return true;
  });
}

/** Of a choice between shapes, what is reported: the errors of the alike shape, or that none fits. */
function isTold(error: ErrorObject, choice: ErrorObject): boolean {
  const inner = error.schemaPath.startsWith(`${choice.schemaPath}/`);
  if (error !== choice && !(inner && isAt(error.instancePath, choice.instancePath))) return true;
  const alike = alikeShape(choice);
  if (alike < 0) return error === choice;
  return error.schemaPath.startsWith(`${choice.schemaPath}/${alike}/`);
}

function isAt(path: string, place: string): boolean {
  return path === place || path.startsWith(`${place}/`);
}

/** The shape of the value's own type; a text that is none of several is better reported as a whole. */
function alikeShape({ keyword, schema, data }: ErrorObject): number {
  if (keyword === "oneOf" || !Array.isArray(schema)) return -1;
  const type = Array.isArray(data) ? "array" : isRecord(data) ? "object" : undefined;
  return type === undefined ? -1 : schema.findIndex((shape) => shape?.type === type);
}

function misfitOf({ keyword, instancePath, params, parentSchema, data }: ErrorObject): Misfit {
  const where = pathOf(instancePath);
  if (keyword !== "required") return { where, value: data, expected: expectedBy(parentSchema) };
  const key = String(params.missingProperty);
  const properties: unknown = parentSchema?.properties;
  const wanted = isRecord(properties) ? properties[key] : undefined;
  const expected = isRecord(wanted) ? expectedBy(wanted) : "a value";
  return { where: where === "" ? key : `${where}.${key}`, value: undefined, expected };
}

function expectedBy(schema: ErrorObject["parentSchema"]): string {
  return String(schema?.description ?? schema?.type ?? "another value");
}

/** "/resources/0/name" as "resources[0].name". */
function pathOf(pointer: string): string {
  return pointer
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"))
    .reduce((path, step) => {
      if (/^\d+$/.test(step)) return `${path}[${step}]`;
      return path === "" ? step : `${path}.${step}`;
    }, "");
}

function isInside(where: string, whole: string): boolean {
  if (where === whole) return false;
  return whole === "" || where.startsWith(`${whole}.`) || where.startsWith(`${whole}[`);
}

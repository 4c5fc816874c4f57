/** The part of JSON Schema (draft 7) that our shapes use; `description` says what is expected. */
export interface Shape {
  readonly type?: "object" | "array" | "string" | "integer" | "boolean";
  readonly description?: string;
  readonly enum?: readonly unknown[];
  readonly pattern?: string;
  readonly minimum?: number;
  readonly required?: readonly string[];
  readonly minProperties?: number;
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly items?: Shape;
  readonly minItems?: number;
  readonly uniqueItems?: boolean;
  readonly anyOf?: readonly Shape[];
  readonly oneOf?: readonly Shape[];
}

/** A place that does not fit its shape: where, what stands there and what should. */
export interface Misfit {
  /** A path such as `resources[0].schema.fields[2].type`. */
  readonly where: string;
  readonly value: unknown;
  readonly expected: string;
}

/** Everything in a value that does not fit a shape, in the order of the shape. */
export function misfits(value: unknown, shape: Shape, where = ""): Misfit[] {
  const itself = { where, value, expected: shape.description ?? String(shape.type) };
  if (shape.anyOf && !shape.anyOf.some((one) => fits(value, one))) {
    // faults inside the choice of the same type tell more than "none of these"
    const alike = shape.anyOf.find(({ type }) => type === typeOf(value) && type !== "string");
    return alike ? misfits(value, alike, where) : [itself];
  }
  if (!fitsItself(value, shape)) return [itself];
  if (Array.isArray(value)) return itemMisfits(value, shape, where);
  return isObject(value) ? recordMisfits(value, shape, where) : [];
}

function fits(value: unknown, shape: Shape): boolean {
  return misfits(value, shape).length === 0;
}

/** Whether a value as a whole fits, whatever its items and properties hold. */
function fitsItself(value: unknown, shape: Shape): boolean {
  if (shape.type !== undefined && typeOf(value) !== shape.type) return false;
  if (shape.enum && !shape.enum.includes(value)) return false;
  if (shape.oneOf && shape.oneOf.filter((one) => fits(value, one)).length !== 1) return false;
  if (typeof value === "string") return shape.pattern === undefined || matches(value, shape);
  if (typeof value === "number") return value >= (shape.minimum ?? value);
  if (Array.isArray(value)) return listFits(value, shape);
  return !isObject(value) || Object.keys(value).length >= (shape.minProperties ?? 0);
}

function matches(value: string, { pattern = "" }: Shape): boolean {
  return new RegExp(pattern, "u").test(value);
}

function listFits(list: readonly unknown[], { minItems = 0, uniqueItems }: Shape): boolean {
  if (list.length < minItems) return false;
  return !uniqueItems || new Set(list.map((item) => JSON.stringify(item))).size === list.length;
}

function itemMisfits(list: readonly unknown[], { items }: Shape, where: string): Misfit[] {
  return items ? list.flatMap((item, i) => misfits(item, items, `${where}[${i}]`)) : [];
}

function recordMisfits(record: Record<string, unknown>, shape: Shape, where: string): Misfit[] {
  const { required = [], properties = {} } = shape;
  const absent = required.filter((key) => !Object.hasOwn(record, key));
  const present = Object.entries(properties).filter(([key]) => Object.hasOwn(record, key));
  return [
    ...absent.map((key) => ({
      where: joined(where, key),
      value: undefined,
      expected: properties[key]?.description ?? "a value",
    })),
    ...present.flatMap(([key, inner]) => misfits(record[key], inner, joined(where, key))),
  ];
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function typeOf(value: unknown): Shape["type"] | "number" | "null" {
  if (value === null) return "null";
  if (Array.isArray(value)) return "array";
  if (typeof value === "number") return Number.isInteger(value) ? "integer" : "number";
  return typeof value as "object" | "string" | "boolean";
}

function joined(where: string, key: string): string {
  return where === "" ? key : `${where}.${key}`;
}

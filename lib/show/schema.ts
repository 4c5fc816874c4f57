import * as v from "valibot";
import { InputError } from "../errors.js";
import { deepFrozen, valueInWords } from "./record.js";

/** The first place where an output is not what its schema says. */
export interface SchemaProblem {
  /** The field by its path: "source.files, index 2"; "" for the output as a whole. */
  readonly field: string;
  /** What should stand there, in words. */
  readonly expected: string;
  /** What stands there, in words. */
  readonly found: string;
}

/** T with every field required and nothing readonly: what two types are compared by. */
type Fields<T> = T extends readonly (infer E)[]
  ? Fields<E>[]
  : T extends object
    ? { -readonly [K in keyof T]-?: Fields<Exclude<T[K], undefined>> }
    : T;
type Same<A, B> = [A, B] extends [B, A] ? true : false;

/**
 * A schema of exactly the type T: a field that only one of the two has, or has otherwise, does not
 * compile, so that the documented type and the schema cannot drift apart.
 */
export function schemaOf<T>() {
  return <S extends v.GenericSchema<unknown, T>>(
    schema: Same<Fields<v.InferOutput<S>>, Fields<T>> extends true ? S : never,
  ): v.GenericSchema<unknown, T> => schema;
}

const aText = "a text that is not empty";
export const text = v.pipe(
  v.string(aText),
  v.check((words) => words.trim() !== "", aText),
);

/** A unit: "" for a pure number. */
export const unit = v.string('a unit, "" for a pure number');

const anId = "an id of letters, digits, '.', '-' or '_', at most 120 long";
/** Ids name anchors and files. */
export const identifier = v.pipe(
  v.string(anId),
  v.regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,119}$/, anId),
);

const aSentence = "a sentence that starts with a capital and ends with a full stop";
export const sentence = v.pipe(
  v.string(aSentence),
  v.check(
    (words) => /^[\p{Lu}\p{N}"“(]/u.test(words.trim()) && /[.!?]["”)]?$/.test(words.trim()),
    aSentence,
  ),
);

export const finite = v.pipe(v.number("a finite number"), v.finite("a finite number"));

const aCount = "a whole number, 0 or more";
export const count = v.pipe(v.number(aCount), v.integer(aCount), v.minValue(0, aCount));

export const texts = v.array(text, "a list of texts");
/** Columns may be long: one look at each number, and no issue of its own for each. */
export const numbers = v.custom<readonly number[]>(
  (values) => Array.isArray(values) && values.every(Number.isFinite),
  "a list of finite numbers",
);

function fieldOf(issue: v.BaseIssue<unknown>): string {
  let field = "";
  for (const { key } of issue.path ?? []) {
    if (typeof key === "number") field += `${field ? ", " : ""}index ${key}`;
    else if (/index \d+$/.test(field)) field += `, ${String(key)}`;
    else field += `${field ? "." : ""}${String(key)}`;
  }
  return field;
}

/** A strict record says only that a field is too much or missing: which one is in the path. */
function expectedOf({ type, expected, message }: v.BaseIssue<unknown>): string {
  if (!/object$/.test(type)) return message;
  if (expected === "never") return "no field of this name";
  return expected === "Object" ? "a record" : "a value";
}

/** An output that was read: what its schema says it is, or the first place where it is not. */
export type Read<T> =
  | { readonly kind: "read"; readonly output: T }
  | { readonly kind: "problem"; readonly problem: SchemaProblem };

/** Reads an output that may hold anything; fields of nested records that no schema knows are left out. */
export function readOutput<T>(schema: v.GenericSchema<unknown, T>, output: unknown): Read<T> {
  const result = v.safeParse(schema, output, { abortEarly: true });
  if (result.success) return { kind: "read", output: result.output };
  const [issue] = result.issues;
  const problem = {
    field: fieldOf(issue),
    expected: expectedOf(issue),
    found: valueInWords(issue.input),
  };
  return { kind: "problem", problem };
}

/**
 * The record of an output, checked and frozen: what a writer shows.
 * @param where the output by kind and id: "finding lead-address-change"
 * @throws InputError that names the first field which is not what the schema says
 */
export function outputRecord<T>(
  schema: v.GenericSchema<unknown, T>,
  record: unknown,
  where: string,
): T {
  const read = readOutput(schema, record);
  if (read.kind === "read") return deepFrozen(read.output);
  const { field, expected, found } = read.problem;
  throw new InputError({ expected, got: found, where: field ? `${where}, ${field}` : where });
}

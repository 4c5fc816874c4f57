import { present } from "../entry.js";
import { nearestName } from "../options.js";

/** What an option holds: nothing (it is there or not), a text, a number, a whole number, a port, or several texts. */
export type OptionShape = "flag" | "text" | "number" | "whole" | "port" | "list";

/** The options a command knows, by name without the dashes. */
export type OptionShapes = Readonly<Record<string, OptionShape>>;

type Value<S extends OptionShape> = S extends "flag"
  ? boolean
  : S extends "number" | "whole" | "port"
    ? number | undefined
    : S extends "list"
      ? readonly string[]
      : string | undefined;

export type Options<S extends OptionShapes> = { readonly [K in keyof S]: Value<S[K]> };

/** The command line asks for something that is not there; the message says what is. */
export class UsageError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "UsageError";
  }
}

/**
 * Reads `--name value`, `--name=value`, `--flag` and plain words; after `--` all words are plain.
 * @throws UsageError for an unknown option (with the nearest known one), a missing or a wrong value
 */
export function readOptions<S extends OptionShapes>(
  args: readonly string[],
  shapes: S,
): { options: Options<S>; words: string[] } {
  const found: Record<string, unknown> = {};
  for (const [name, shape] of Object.entries(shapes)) {
    found[name] = shape === "flag" ? false : shape === "list" ? [] : undefined;
  }
  const words: string[] = [];
  const rest = [...args];
  while (rest.length > 0) {
    const arg = present(rest.shift());
    if (arg === "--") words.push(...rest.splice(0));
    else if (arg.startsWith("--")) take(arg, rest, shapes, found);
    else if (/^-[A-Za-z]/.test(arg)) throw unknown(arg, Object.keys(shapes));
    else words.push(arg);
  }
  return { options: found as Options<S>, words };
}

function take(
  arg: string,
  rest: string[],
  shapes: OptionShapes,
  found: Record<string, unknown>,
): void {
  const [, name = "", inline] = present(/^--([^=]*)(?:=(.*))?$/s.exec(arg));
  const shape = Object.hasOwn(shapes, name) ? shapes[name] : undefined;
  if (!shape) throw unknown(`--${name}`, Object.keys(shapes));
  if (shape === "flag") {
    if (inline !== undefined) throw new UsageError(`--${name} takes no value`);
    found[name] = true;
    return;
  }
  const value = inline ?? rest.shift();
  if (value === undefined || (inline === undefined && value.startsWith("--"))) {
    throw new UsageError(`--${name} needs a value`);
  }
  if (shape === "list") (found[name] as string[]).push(value);
  else if (shape === "text") found[name] = value;
  else found[name] = shape === "number" ? positive(name, value) : whole(name, value, shape);
}

const largestPort = 65535;

function whole(name: string, text: string, shape: "whole" | "port"): number {
  const most = shape === "port" ? largestPort : Number.MAX_SAFE_INTEGER;
  const value = Number(text);
  if (/^\d+$/.test(text) && value >= 1 && value <= most) return value;
  const range = shape === "port" ? `from 1 to ${most}` : "above 0";
  throw new UsageError(`--${name} needs a whole number ${range}, got ${JSON.stringify(text)}`);
}

function positive(name: string, text: string): number {
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value) || value <= 0) {
    throw new UsageError(`--${name} needs a number above 0, got ${JSON.stringify(text)}`);
  }
  return value;
}

function unknown(arg: string, names: readonly string[]): UsageError {
  const near = nearestName(arg.replace(/^-+/, ""), names);
  return new UsageError(`unknown option ${arg}${near ? `; did you mean --${near}?` : ""}`);
}

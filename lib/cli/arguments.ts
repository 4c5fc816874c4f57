import { parseArgs } from "node:util";
import { nearestName } from "../options.js";

/** The value of an option: none (a flag), a text, a number, a whole number, a port, or several texts. */
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

/** The command line was used wrongly; the message says what is expected. */
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
  for (const token of tokensOf(args, shapes)) {
    if (token.kind === "positional") words.push(token.value);
    if (token.kind === "option") take(token, shapes, found);
  }
  return { options: found as Options<S>, words };
}

/** One option as Node's parser reads it. */
interface OptionToken {
  readonly name: string;
  /** As typed, with its dashes. */
  readonly rawName: string;
  readonly value?: string | undefined;
  /** The value was typed behind an equals sign. */
  readonly inlineValue?: boolean | undefined;
}

/** Node's parser splits the words; the shapes decide what they mean, so that messages are ours. */
function tokensOf(args: readonly string[], shapes: OptionShapes) {
  const options = Object.fromEntries(
    Object.entries(shapes).map(([name, shape]) => [
      name,
      { type: shape === "flag" ? ("boolean" as const) : ("string" as const) },
    ]),
  );
  const { tokens } = parseArgs({
    args: [...args],
    options,
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  return tokens;
}

function take(token: OptionToken, shapes: OptionShapes, found: Record<string, unknown>): void {
  const { name, rawName, value, inlineValue } = token;
  const shape = rawName === `--${name}` && Object.hasOwn(shapes, name) ? shapes[name] : undefined;
  if (!shape) throw unknown(rawName, Object.keys(shapes));
  if (shape === "flag") {
    if (value !== undefined) throw new UsageError(`--${name} takes no value`);
    found[name] = true;
    return;
  }
  if (value === undefined || (!inlineValue && value.startsWith("--"))) {
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

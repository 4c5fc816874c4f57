import { inspect } from "node:util";
import { itemAt, present } from "../entry.js";
import { libraryFolder } from "./build.js";
import {
  type CellFrame,
  cellFrames,
  placeInSource,
  type SourcePlace,
  type Transpile,
} from "./cell-place.js";
import type { SpelledOut } from "./shorthand.js";

/** A diagnostic of the type checker, as tslab's converter reports it; positions count from 0. */
export interface Diagnostic {
  /** Where the diagnostic begins in the source that the kernel received. */
  readonly start: { readonly line: number; readonly character: number };
  /** The compiler's message, in English. */
  readonly messageText: string;
  /** The compiler's number of the diagnostic; 1000 to 1999 are syntax errors. */
  readonly code: number;
}

/** Why a cell failed, as the kernel side knows it. */
export interface CellFault {
  /** How the cell failed: it threw, did not compile, left a rejected promise or was interrupted. */
  readonly kind: "exception" | "types" | "rejection" | "interrupted";
  /** Class of the error, or a heading such as "Type error" or "Thrown value". */
  readonly name: string;
  /** Text of the error with its cause, cut after 2000 characters; for types, the diagnostics. */
  readonly message: string;
  /** The cell whose code is at fault; a late rejection may come from an earlier cell. */
  readonly cell?: string;
  /** Where in the cell's source the error arose; left out when it cannot be found. */
  readonly place?: SourcePlace | undefined;
  /** Calls in the user's cells that led to the error, innermost first: cell id, function, line. */
  readonly frames: readonly {
    readonly cell: string;
    readonly name: string;
    readonly line?: number;
  }[];
}

/** What the kernel remembers of every cell that ran, to explain a later error. */
export interface CellCode {
  /** The source as its author wrote it. */
  readonly source: string;
  /** The source as the kernel got it; only asked for when the cell fails. */
  readonly spelled: () => SpelledOut;
  /** The JavaScript that ran, with the executor's wrapper. */
  compiled: string;
}

const longestMessage = 2000;
const mostFrames = 5;

/** The diagnostics of a cell that did not pass the type checker. Codes 1000 to 1999 are syntax. */
export function typeFault(cell: string, code: CellCode, found: readonly Diagnostic[]): CellFault {
  const first = itemAt(found, 0);
  const syntax = first.code >= 1000 && first.code < 2000;
  const { line, character } = first.start;
  const column = code.spelled().columnOf(line + 1, character + 1);
  const here = ({ start }: Diagnostic) => start.line === line && start.character === character;
  // a diagnostic with its reasons comes as several, all at one place
  const message = found.filter(here).map(({ messageText }) => messageText);
  const others = found.filter((one) => !here(one)).length;
  return {
    kind: "types",
    name: syntax ? "Syntax error" : "Type error",
    message:
      message.join(" ") + (others > 0 ? ` (and ${others} more)` : "") + libraryAdvice(message),
    cell,
    place: placed(code, line + 1, column),
    frames: [],
  };
}

/** A study in a folder of its own gets the library by npm; it is easily forgotten. */
function libraryAdvice(message: readonly string[]): string {
  if (!message.some((text) => text.startsWith("Cannot find module 'tautline'"))) return "";
  const library = JSON.stringify(libraryFolder());
  return ` Run npm install ${library} in the study's folder once.`;
}

/** An error thrown by a cell, or the reason of a promise that it left rejected. */
export function thrownFault(
  thrown: unknown,
  rejected: boolean,
  cells: ReadonlyMap<string, CellCode>,
  transpile: Transpile,
): CellFault {
  const frames = cellFrames(
    thrown instanceof Error || hasStack(thrown) ? String(thrown.stack) : "",
  );
  const known = frames.filter(
    (frame, i) => cells.has(frame.cell) && (frame.name !== "" || frames[i - 1]?.name !== ""),
  );
  const placed = known.slice(0, mostFrames).map((frame) => ({
    frame,
    place: sourceOf(frame, cells, transpile),
  }));
  const first = placed[0];
  return {
    kind: isInterrupt(thrown) ? "interrupted" : rejected ? "rejection" : "exception",
    ...described(thrown),
    ...(first && { cell: first.frame.cell, place: first.place }),
    frames: placed
      .filter(({ frame }, i) => i > 0 || frame.name !== "")
      .map(({ frame, place }) => ({
        cell: frame.cell,
        name: frame.name,
        ...(place && { line: place.line }),
      })),
  };
}

function sourceOf(
  frame: CellFrame,
  cells: ReadonlyMap<string, CellCode>,
  transpile: Transpile,
): SourcePlace | undefined {
  const code = present(cells.get(frame.cell));
  try {
    const place = placeInSource(code.spelled().source, code.compiled, frame, transpile);
    return place && placed(code, place.line, code.spelled().columnOf(place.line, place.column));
  } catch {
    return undefined; // an error is explained without its place rather than not at all
  }
}

/** A place with its line as the author wrote it. */
function placed(code: CellCode, line: number, column: number): SourcePlace | undefined {
  const text = code.source.split("\n")[line - 1];
  return text === undefined ? undefined : { line, column, text };
}

function hasStack(value: unknown): value is { stack: string } {
  return typeof value === "object" && value !== null && typeof (value as Error).stack === "string";
}

function isInterrupt(thrown: unknown): boolean {
  if (!(thrown instanceof Error)) return false;
  const code = (thrown as NodeJS.ErrnoException).code;
  return (
    code === "ERR_SCRIPT_EXECUTION_INTERRUPTED" || thrown.message === "Interrupted asynchronously"
  );
}

function described(thrown: unknown): { name: string; message: string } {
  if (!(thrown instanceof Error) && !hasStack(thrown)) {
    return {
      name: "Thrown value",
      message: inspect(thrown, { depth: 2 }).slice(0, longestMessage),
    };
  }
  const error = thrown as Error;
  const cause = error.cause === undefined ? "" : ` (because of ${causeOf(error.cause)})`;
  return {
    name: String(error.name || "Error"),
    message: `${String(error.message)}${cause}`.slice(0, longestMessage),
  };
}

function causeOf(cause: unknown): string {
  return cause instanceof Error ? `${cause.name}: ${cause.message}` : inspect(cause, { depth: 1 });
}

/** The lines that a Jupyter front end shows under a failed cell. */
export function traceback(fault: CellFault): string[] {
  const lines = [`${fault.name}: ${fault.message}`];
  if (fault.place) {
    const { line, column, text } = fault.place;
    lines.push(`  line ${line}: ${text.trim()}`);
    const from = text.length - text.trimStart().length;
    lines.push(`${" ".repeat(`  line ${line}: `.length + Math.max(0, column - 1 - from))}^`);
  }
  for (const frame of fault.frames) {
    lines.push(`  in ${frame.name || "the cell"}${frame.line ? `, line ${frame.line}` : ""}`);
  }
  return lines;
}

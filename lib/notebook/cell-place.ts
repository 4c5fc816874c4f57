import { SourceMap } from "node:module";
import { itemAt, present } from "../entry.js";

/** A position in a cell's source, counted from 1, with the text of that line. */
export interface SourcePlace {
  /** Line of the cell's source, from 1. */
  readonly line: number;
  /** Column in the line, from 1. */
  readonly column: number;
  /** The whole line, without its line break. */
  readonly text: string;
}

/** One frame of a stack that lies in a cell. */
export interface CellFrame {
  /** Id of the cell. */
  readonly cell: string;
  /** The function's name, "" at the cell's top level. */
  readonly name: string;
  /** Line of the compiled code, from 1. */
  readonly line: number;
  /** Column of the compiled code, from 1. */
  readonly column: number;
}

/** Turns TypeScript into CommonJS and tells the source map: `ts.transpileModule` of the kernel. */
export type Transpile = (source: string) => { outputText: string; sourceMapText?: string };

/** The file name under which a cell's code is compiled, so that stacks can name the cell. */
export function cellFileName(cell: string): string {
  return `cell:${cell}`;
}

/** The frames of a stack that lie in cells, innermost first. */
export function cellFrames(stack: string): CellFrame[] {
  const frames: CellFrame[] = [];
  const pattern = /^\s*at (?:(?:async )?(.*?) \()?cell:([\w-]+):(\d+):(\d+)\)?$/;
  for (const row of stack.split("\n")) {
    const match = pattern.exec(row);
    if (!match) continue;
    const [, name = "", cell, line, column] = match;
    const topLevel = name === "eval" || name === "Object.<anonymous>" || name === "<anonymous>";
    frames.push({
      cell: present(cell),
      name: topLevel ? "" : name.replace(/^(?:Object|Proxy|exports)\./, ""),
      line: Number(line),
      column: Number(column),
    });
  }
  return frames;
}

/**
 * Finds the place in a cell's source that a position in its compiled code came from. The kernel
 * compiles a cell in two steps without a source map; here the source is compiled once more in one
 * step with a map, and the failing line is looked up in that result by its text, since both
 * compilations print the same statement the same way but for the `exports.` prefixes.
 */
export function placeInSource(
  source: string,
  compiled: string,
  at: { line: number; column: number },
  transpile: Transpile,
): SourcePlace | undefined {
  const { outputText, sourceMapText } = transpile(source);
  const ran = compiled.split("\n");
  const failing = ran[at.line - 1];
  if (failing === undefined || sourceMapText === undefined) return undefined;
  const mapped = outputText.split("\n");
  const line = sameStatement(ran, at.line - 1, mapped);
  if (line === undefined) return undefined;
  const column = sameWord(failing, at.column - 1, itemAt(mapped, line));
  const entry = new SourceMap(JSON.parse(sourceMapText)).findEntry(line, column);
  if (!("originalLine" in entry)) return undefined;
  const text = source.split("\n")[entry.originalLine];
  if (text === undefined) return undefined;
  return { line: entry.originalLine + 1, column: entry.originalColumn + 1, text };
}

/** The line of `mapped` that prints the statement of `ran[index]`, the same repetition of it. */
function sameStatement(
  ran: readonly string[],
  index: number,
  mapped: readonly string[],
): number | undefined {
  const wanted = bare(itemAt(ran, index));
  let repetition = ran.slice(0, index).filter((line) => bare(line) === wanted).length;
  let last: number | undefined;
  for (const [i, line] of mapped.entries()) {
    if (bare(line) !== wanted) continue;
    last = i;
    if (repetition-- === 0) return i;
  }
  return last;
}

/** A line without what only one of the two compilations writes. */
function bare(line: string): string {
  return line
    .replace(/^\((async )?function\(exports, require\) \{ /, "")
    .replace(/\(0, \w+\.(\w+)\)/g, "$1")
    .replace(/^\s*(?:export )?(?:const |exports\.)tsLastExpr\d* = /, "")
    .replace(/\bexports\.(\w+ = )?/g, "")
    .replace(/\b\w+_1\./g, "")
    .replace(/[\s;]+/g, "");
}

/** Where the word at a column of one line stands in the other line. */
function sameWord(from: string, column: number, to: string): number {
  const words = [...from.matchAll(/[\p{L}\p{N}_$]+/gu)];
  const word = words.find((match) => match.index + match[0].length > column && !scaffold(match[0]));
  if (!word) return Math.max(0, to.search(/\S/));
  const repetition = words.filter(
    (other) => other[0] === word[0] && other.index < word.index,
  ).length;
  const places = [...to.matchAll(/[\p{L}\p{N}_$]+/gu)].filter((match) => match[0] === word[0]);
  return (places[repetition] ?? places.at(-1))?.index ?? Math.max(0, to.search(/\S/));
}

function scaffold(word: string): boolean {
  return word === "0" || word === "exports" || /_1$/.test(word);
}

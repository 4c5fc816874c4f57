import { createRequire, syncBuiltinESMExports } from "node:module";
import { basename, join, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { present } from "../entry.js";
import { FileHashes } from "./file-hashes.js";

type AnyFunction = (this: unknown, ...args: unknown[]) => unknown;

/** The content hash of a file that a notebook read; `null` if it asked for one that is not there. */
export type ReadFiles = Record<string, string | null>;

/** Something a cell did that its record cannot account for. */
export interface Reach {
  /** Id of the cell. */
  readonly cell: string;
  /** A clause for a sentence: "reads outside data/: ../notes.txt". */
  readonly what: string;
}

/** What this process read, and what its cells did beyond reading data. */
export interface Watched {
  /** The files read so far, sorted by path relative to the root, each with its SHA-256. */
  files(): ReadFiles;
  /** The files that the last run of a cell read, each with its SHA-256 at that moment. */
  filesOf(cell: string): ReadFiles;
  /** A cell begins to run: what an earlier run of it read no longer counts for the cell. */
  begin(cell: string): void;
  /** What cells did that the record cannot account for, each pair of cell and act once. */
  reaches(): readonly Reach[];
}

/** The hook that lib/study calls with the absolute path of each file it reads. */
const readHook = Symbol.for("tautline.read");

const require = createRequire(import.meta.url);
const fs = require("node:fs") as typeof import("node:fs");
const programs = require("node:child_process") as typeof import("node:child_process");
const programStarters = [
  "spawn",
  "spawnSync",
  "exec",
  "execSync",
  "execFile",
  "execFileSync",
  "fork",
];
const code = /\.(?:[cm]?js|[cm]?tsx?|node|wasm)$/;
const notData =
  /(?:^|[\\/])(?:node_modules|\.git|\.tautline|dist|package\.json|tsconfig\.json)(?:[\\/]|$)/;

/**
 * Starts to record which data files this process reads, each with the hash of what it held at that
 * moment. The study reader reports its files through the hook; the functions of node:fs are watched
 * too, so that a cell that reads a file on its own is not taken for unchanged later. A cell that
 * reads outside data/ or starts another program is noted: its results rest on more than the data.
 * @param runningCell id of the cell that runs now, if one does
 */
export function watchReads(root: string, runningCell: () => string | undefined): Watched {
  const seen = new Map<string, string | null>();
  const byCell = new Map<string, Map<string, string | null>>();
  const hashes = new FileHashes();
  const reaches = new Map<string, Reach>();
  const base = resolve(root) + sep;
  const reached = (what: string) => {
    const cell = runningCell();
    if (cell !== undefined) reaches.set(`${cell}\n${what}`, { cell, what });
  };
  let isOwnRead = false; // reading a file to hash it opens the file, which is watched too
  const note = (path: unknown) => {
    const name = isOwnRead ? undefined : pathOf(path);
    if (name === undefined || notData.test(name) || code.test(name)) return;
    if (!name.startsWith(join(base, "data", sep)))
      reached(`reads outside data/: ${nameFrom(base, name)}`);
    if (!name.startsWith(base)) return;
    const inside = name.slice(base.length);
    const cell = runningCell();
    const ofCell = cell === undefined ? undefined : byCell.get(cell);
    if (seen.has(inside) && (!ofCell || ofCell.has(inside))) return;
    isOwnRead = true;
    const hash = hashes.of(name);
    isOwnRead = false;
    if (!seen.has(inside)) seen.set(inside, hash);
    ofCell?.set(inside, hash);
  };
  (globalThis as Record<symbol, unknown>)[readHook] = note;
  watch(fs, ["readFileSync", "readFile", "createReadStream", "openSync", "open"], note);
  watch(fs.promises, ["readFile", "open"], note);
  watch(programs, programStarters, (program) => reached(`starts another program: ${program}`));
  syncBuiltinESMExports();
  return {
    files: () => Object.fromEntries([...seen].sort(([a], [b]) => (a < b ? -1 : 1))),
    filesOf: (cell) => Object.fromEntries(byCell.get(cell) ?? []),
    begin: (cell) => void byCell.set(cell, new Map()),
    reaches: () => [...reaches.values()],
  };
}

/** How a message names a file: from the study's folder if it lies there, else by its own name. */
function nameFrom(base: string, path: string): string {
  return path.startsWith(base) ? path.slice(base.length).replaceAll(sep, "/") : basename(path);
}

function watch(target: object, names: readonly string[], note: (path: unknown) => void): void {
  const functions = target as Record<string, AnyFunction>;
  for (const name of names) {
    const original = present(functions[name]);
    functions[name] = function (...args) {
      note(args[0]);
      return original.apply(this, args);
    };
  }
}

function pathOf(path: unknown): string | undefined {
  if (typeof path === "string") return resolve(path);
  if (path instanceof URL && path.protocol === "file:") return fileURLToPath(path);
  return Buffer.isBuffer(path) ? resolve(path.toString()) : undefined;
}

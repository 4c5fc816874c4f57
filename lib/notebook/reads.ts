import { createHash } from "node:crypto";
import { createRequire, syncBuiltinESMExports } from "node:module";
import { resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { present } from "../entry.js";

type AnyFunction = (this: unknown, ...args: unknown[]) => unknown;

/** The content hash of a file that a notebook read; `null` if it asked for one that is not there. */
export type ReadFiles = Record<string, string | null>;

/** The hook that lib/study calls with the absolute path of each file it reads. */
const readHook = Symbol.for("tautline.read");

const fs = createRequire(import.meta.url)("node:fs") as typeof import("node:fs");
const plainRead = fs.readFileSync;
const code = /\.(?:[cm]?js|[cm]?tsx?|node|wasm)$/;
const notData =
  /(?:^|[\\/])(?:node_modules|\.git|\.tautline|dist|package\.json|tsconfig\.json)(?:[\\/]|$)/;

/**
 * Starts to record which data files this process reads, each with the hash of what it held at that
 * moment. The study reader reports its files through the hook; the functions of node:fs are watched
 * too, so that a cell that reads a file on its own is not taken for unchanged later.
 */
export function watchReads(root: string): { files(): ReadFiles } {
  const seen = new Map<string, string | null>();
  const base = resolve(root) + sep;
  const note = (path: unknown) => {
    const name = pathOf(path);
    if (name === undefined || !name.startsWith(base)) return;
    const inside = name.slice(base.length);
    if (seen.has(inside) || notData.test(inside) || code.test(inside)) return;
    seen.set(inside, hashOf(name));
  };
  (globalThis as Record<symbol, unknown>)[readHook] = note;
  watch(fs, ["readFileSync", "readFile", "createReadStream", "openSync", "open"], note);
  watch(fs.promises, ["readFile", "open"], note);
  syncBuiltinESMExports();
  return { files: () => Object.fromEntries([...seen].sort(([a], [b]) => (a < b ? -1 : 1))) };
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

function hashOf(path: string): string | null {
  try {
    return createHash("sha256").update(plainRead(path)).digest("hex");
  } catch {
    return null;
  }
}

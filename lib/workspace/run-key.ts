import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { buildFolder } from "../notebook/build.js";
import { type Notebook, sorted } from "../notebook/nbformat.js";
import type { ReadFiles } from "../notebook/reads.js";
import { readSealed, writeSealed } from "../sealed-file.js";
import { drawingBuild, drawingHashes } from "./drawings.js";
import { stateFolder, stateFolderName } from "./lock.js";

const runsName = "runs.json";

/** Everything that a notebook's results can depend on, as hashes. */
export interface RunKey {
  /** Hash of each cell's kind and source, in order. */
  readonly cells: readonly string[];
  /** Hash of each file that the run read, by path. */
  readonly data: ReadFiles;
  /** Hash of the library's build. */
  readonly library: string;
  /** Hash of the lockfile, or "none". */
  readonly lockfile: string;
  /** Version of Node. */
  readonly node: string;
  /** The programs that drew the figures. */
  readonly drawing: string;
  /** Hash of each figure's numbers and of the drawing that was made from them here. */
  readonly drawings: Readonly<Record<string, string>>;
  /** Hash of the whole file as it was recorded. */
  readonly record: string;
}

/** The parts of the key that all notebooks of a run share. */
export type Surroundings = Pick<RunKey, "library" | "lockfile" | "node" | "drawing">;

/** The SHA-256 of a text or of bytes: 64 hexadecimal digits. */
export function hashOf(content: string | Uint8Array): string {
  return createHash("sha256").update(content).digest("hex");
}

/**
 * Parts of the build that no cell of a recorded run can reach: kernel-display.ts loads of report/
 * only what plays a simulation in place, and only in a front end.
 */
const notForCells = /^(?:cli\/|report\/|browser|page-library)/;

/** Hashes the library's build, the lockfile and the version of Node, once a run. */
export function surroundings(root: string): Surroundings {
  const hash = createHash("sha256");
  const files = readdirSync(buildFolder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => /\.(?:js|d\.ts|json)$/.test(path) && !notForCells.test(path))
    .sort();
  for (const path of files) {
    hash.update(`${path}\n`).update(readFileSync(join(buildFolder, path)));
  }
  const lockfile = join(root, "package-lock.json");
  return {
    library: hash.digest("hex"),
    lockfile: existsSync(lockfile) ? hashOf(readFileSync(lockfile)) : "none",
    node: process.version,
    drawing: drawingBuild(),
  };
}

function cellHashes(notebook: Notebook): string[] {
  return notebook.cells.map((cell) => hashOf(`${cell.cell_type}\n${cell.source}`));
}

/** The key under which a run is remembered. */
export function runKey(
  notebook: Notebook,
  recorded: string,
  data: ReadFiles,
  around: Surroundings,
): RunKey {
  const drawings = drawingHashes(notebook);
  return { cells: cellHashes(notebook), data, ...around, drawings, record: hashOf(recorded) };
}

/** Why a notebook has to run, in words; an empty list when nothing has changed since its record. */
export function reasonsToRun(
  notebook: Notebook,
  text: string,
  remembered: RunKey | undefined,
  root: string,
  around: Surroundings,
): string[] {
  if (!remembered) return ["not run on this machine yet"];
  const reasons = [
    ...cellReasons(cellHashes(notebook), remembered.cells),
    ...dataReasons(remembered.data, root),
  ];
  if (around.library !== remembered.library) reasons.push("the library changed");
  if (around.drawing !== remembered.drawing) reasons.push("the drawing of figures changed");
  if (around.lockfile !== remembered.lockfile) reasons.push("package-lock.json changed");
  if (around.node !== remembered.node) reasons.push(`Node ${remembered.node} → ${around.node}`);
  if (reasons.length === 0 && hashOf(text) !== remembered.record) {
    reasons.push("the recorded file was changed by something else");
  }
  return reasons;
}

function cellReasons(now: readonly string[], before: readonly string[]): string[] {
  if (now.length !== before.length) {
    const more = now.length - before.length;
    return [
      `${Math.abs(more)} cell${Math.abs(more) === 1 ? "" : "s"} ${more > 0 ? "added" : "removed"}`,
    ];
  }
  const changed = now.flatMap((hash, i) => (hash === before[i] ? [] : [i + 1]));
  if (changed.length === 0) return [];
  return [`cell${changed.length === 1 ? "" : "s"} ${changed.join(", ")} changed`];
}

function dataReasons(read: ReadFiles, root: string): string[] {
  return Object.entries(read).flatMap(([path, hash]) => {
    const file = join(root, path);
    if (!existsSync(file)) return hash === null ? [] : [`${path} is gone`];
    if (hash === null) return [`${path} is there now`];
    return hashOf(readFileSync(file)) === hash ? [] : [`${path} changed`];
  });
}

/**
 * The keys of the notebooks that were run on this machine. They are not shared (see .gitignore), and
 * the file is sealed: a memory that came with the study would let a forged record pass as unchanged.
 */
export class RememberedRuns {
  private readonly root: string;
  private readonly keys: Record<string, RunKey>;

  constructor(root: string) {
    this.root = root;
    this.keys = readKeys(join(root, stateFolderName, runsName));
  }

  of(notebook: string): RunKey | undefined {
    return Object.hasOwn(this.keys, notebook) ? this.keys[notebook] : undefined;
  }

  remember(notebook: string, key: RunKey): void {
    this.keys[notebook] = key;
    writeSealed(join(stateFolder(this.root), runsName), sorted(this.keys));
  }
}

/** A file that cannot be read, or was not written here, costs a run, never a failure. */
function readKeys(path: string): Record<string, RunKey> {
  const keys = (readSealed(path) ?? {}) as Record<string, RunKey>;
  const whole = (key: RunKey) =>
    Array.isArray(key?.cells) && typeof key.data === "object" && typeof key.drawings === "object";
  return Object.fromEntries(Object.entries(keys).filter(([, key]) => whole(key)));
}

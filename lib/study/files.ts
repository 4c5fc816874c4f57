import {
  closeSync,
  constants,
  existsSync,
  fstatSync,
  lstatSync,
  openSync,
  readdirSync,
  readFileSync,
  statSync,
} from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname, join, resolve } from "node:path";
import { InputError } from "../errors.js";
import { limits } from "./check/csv.js";
import { dataFile } from "./check/data-file.js";
import { isRecord, recordsIn } from "./package/json.js";
import { readDescriptor } from "./package/read-descriptor.js";

/** A file that a study names and that was not read. */
export interface FileFault {
  /** Path of the file as the study names it. */
  readonly path: string;
  /** Why it was not read. */
  readonly code: "file-missing" | "file-refused" | "file-too-large";
  /** What was found, such as the size of the file. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
}

/** The bytes of a study: datapackage.json and the files it names, by their path in the folder. */
export interface StudyFiles {
  /** Name of the study's folder. */
  readonly name: string;
  /** Bytes by path. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Files that could not be read. */
  readonly faults: readonly FileFault[];
  /** Files of the folder that the descriptor does not name, by their path. */
  readonly unread?: readonly string[];
}

/** Name of the file that describes a study (Data Package v2). */
export const descriptorName = "datapackage.json";

/**
 * Reads a study from the disk. A plain name is looked up as `data/<name>` in the working directory
 * and in each folder above it; anything with a slash is a path.
 * @throws InputError when there is no such study
 */
export function readStudyFiles(nameOrPath: string): StudyFiles {
  const folder = studyFolder(nameOrPath);
  const files = new Map<string, Uint8Array>();
  const faults: FileFault[] = [];
  const take = (path: string) => {
    const got = readInside(folder, path);
    if (got instanceof Uint8Array) files.set(path, got);
    else faults.push(got);
  };
  take(descriptorName);
  for (const path of namedPaths(files.get(descriptorName))) if (!files.has(path)) take(path);
  const named = new Set([...files.keys(), ...faults.map(({ path }) => path)]);
  const unread = filesBelow(folder).filter((path) => !named.has(path));
  return { name: basename(folder), files, faults, unread };
}

/** A study with every data file of its folder, named by the descriptor or not. */
export function readFolder(folder: string): StudyFiles {
  const study = readStudyFiles(folder);
  const files = new Map(study.files);
  const faults = [...study.faults];
  for (const path of study.unread ?? []) {
    if (!dataFile.test(path)) continue;
    const got = readInside(folder, path);
    if (got instanceof Uint8Array) files.set(path, got);
    else faults.push(got);
  }
  return { ...study, files, faults };
}

/** Folders below a study's that are looked into. */
const deepestFolder = 3;
/** Notebooks, and what programs leave behind, are no files of a study. */
const notOfStudy = /^\.|\.ipynb$|^~\$|^Thumbs\.db$/i;
/** Folders that the program itself writes, or that hold other programs. */
const ownFolders = new Set(["sheets", "out", "node_modules", "notebooks"]);

/** The paths of the files in a study's folder, in order. */
export function filesBelow(folder: string, depth = 0): string[] {
  const entries = readdirSync(folder, { withFileTypes: true });
  return entries
    .filter(({ name }) => !notOfStudy.test(name))
    .flatMap((entry) => {
      if (!entry.isDirectory()) return [entry.name];
      if (depth >= deepestFolder || ownFolders.has(entry.name)) return [];
      return filesBelow(join(folder, entry.name), depth + 1).map((path) => `${entry.name}/${path}`);
    })
    .sort()
    .slice(0, mostFiles);
}

/** The folder of a study, by name or path. */
export function studyFolder(nameOrPath: string): string {
  const where = "openStudy";
  if (typeof nameOrPath !== "string" || nameOrPath === "" || nameOrPath.includes("\0"))
    throw new InputError({ expected: "a study's name or path", got: String(nameOrPath), where });
  const isPath = /[\\/]/.test(nameOrPath) || nameOrPath === "." || nameOrPath === "..";
  const tried = isPath ? [resolve(nameOrPath)] : [...dataFolders(nameOrPath), resolve(nameOrPath)];
  const found = tried.find((folder) => existsSync(join(folder, descriptorName)));
  if (found) return found;
  const known = studyNames();
  const hint = known.length > 0 ? `; studies here: ${known.join(", ")}` : "";
  throw new InputError({
    expected: `a folder with ${descriptorName}`,
    got: `"${nameOrPath}"${hint}`,
    where,
  });
}

function dataFolders(name: string): string[] {
  return foldersAbove(process.cwd()).map((folder) => join(folder, "data", name));
}

function foldersAbove(start: string): string[] {
  const folders = [start];
  for (let at = start; dirname(at) !== at; at = dirname(at)) folders.push(dirname(at));
  return folders;
}

/** Names of the studies in the nearest `data/` folder at or above the working directory. */
export function studyNames(): string[] {
  const data = foldersAbove(process.cwd())
    .map((folder) => join(folder, "data"))
    .find((folder) => existsSync(folder) && statSync(folder).isDirectory());
  if (!data) return [];
  return readdirSync(data)
    .filter((name) => isStudy(join(data, name, descriptorName)))
    .sort();
}

/** Every data package in data/ below the root, with the files that its descriptor names and no other. */
export function dataPackages(root: string): StudyFiles[] {
  const data = join(root, "data");
  if (!existsSync(data)) return [];
  return readdirSync(data)
    .map((name) => join(data, name))
    .filter((folder) => existsSync(join(folder, descriptorName)))
    .sort()
    .map(readStudyFiles);
}

/** A data package is a study when it says so; published tables lie in packages of their own. */
export function isStudy(descriptor: string): boolean {
  try {
    const read = readDescriptor(readFileSync(descriptor));
    return isRecord(read) && Object.hasOwn(read, "study");
  } catch {
    return false;
  }
}

/** Files that one study may name: a file per golfer and visit of a large study. */
const mostFiles = 5_000;

/** Paths that the descriptor names; whether it is sound is judged elsewhere. */
function namedPaths(descriptor: Uint8Array | undefined): string[] {
  if (!descriptor) return [];
  try {
    const read = readDescriptor(descriptor);
    return recordsIn(isRecord(read) ? read.resources : undefined)
      .flatMap((resource) => resource.path ?? [])
      .filter((path): path is string => typeof path === "string" && path !== "")
      .slice(0, mostFiles);
  } catch {
    return [];
  }
}

function readInside(folder: string, path: string): Uint8Array | FileFault {
  const refuse = (code: FileFault["code"], expected: string, value = path): FileFault => {
    return { path, code, value, expected };
  };
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is refused
  if (/^[\\/]|^[a-zA-Z]:|\\|(^|\/)\.\.?(\/|$)|[\x00-\x1f]/.test(path))
    return refuse("file-refused", "a plain path inside the study folder");
  const parts = path.split("/");
  for (let depth = 1; depth <= parts.length; depth++) {
    const step = join(folder, ...parts.slice(0, depth));
    const entry = lstatSync(step, { throwIfNoEntry: false });
    if (!entry) return refuse("file-missing", "a file of this name in the study folder");
    if (entry.isSymbolicLink()) return refuse("file-refused", "a file, not a link to one");
    if (depth === parts.length && !entry.isFile()) return refuse("file-refused", "a plain file");
  }
  return readPlain(join(folder, ...parts), refuse);
}

function readPlain(
  file: string,
  refuse: (code: FileFault["code"], expected: string, value?: string) => FileFault,
): Uint8Array | FileFault {
  let handle: number;
  try {
    // Opened without following a link that may have replaced the file since it was looked at.
    handle = openSync(file, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
  } catch (error) {
    return refuse("file-refused", "a file that can be read", (error as Error).name);
  }
  try {
    const { size } = fstatSync(handle);
    if (size > limits.fileBytes)
      return refuse("file-too-large", `at most ${limits.fileBytes >> 20} MB`, `${size} bytes`);
    tellReader(file);
    return readFileSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Reports which data a notebook has read. */
function tellReader(file: string): void {
  const listener = (globalThis as Record<symbol, unknown>)[Symbol.for("tautline.read")];
  if (typeof listener === "function") listener(file);
}

let sheetReader: unknown;

/** The workbook reader that danfojs-node uses, loaded when the first workbook is met. */
export function loadSheetReader(): unknown {
  sheetReader ??= createRequire(import.meta.url)("xlsx");
  return sheetReader;
}

import { existsSync, mkdirSync, readdirSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { writeAtomically } from "../whole-file.js";
import { RequestError } from "./request-error.js";
import { studyRoot } from "./study-root.js";

/** Where a new study goes. */
export interface StudyPlace {
  /** The folder with data/ and notebooks/. */
  readonly root: string;
  /** Name of the study's folder in data/. */
  readonly name: string;
}

/** What npm, git and the system leave in a folder that nobody has used yet. */
const leftByOthers = new Set([
  ...["package.json", "package-lock.json", "node_modules", ".npmrc"],
  ...[".git", ".gitignore", ".gitattributes", ".DS_Store"],
]);

/**
 * Where a study of this name goes: data/<name> of the workspace around the folder, or of the folder
 * itself where it is empty or belongs to no workspace. A path names its data folder itself. Without
 * a word an empty folder gives the study its own name.
 * @throws RequestError for a path that is not data/<name>, and without a word in a folder in use
 */
export function placeOfNewStudy(word: string | undefined, cwd: string): StudyPlace {
  if (word === undefined || word === ".") {
    if (isUnused(cwd)) return { root: resolve(cwd), name: basename(resolve(cwd)) };
    throw new RequestError("name the study; its folder is made in data/");
  }
  const path = word.replace(/[\\/]+$/, "");
  if (!/[\\/]/.test(path)) return { root: rootAround(cwd), name: path };
  const folder = resolve(cwd, path);
  if (basename(dirname(folder)) === "data") {
    return { root: dirname(dirname(folder)), name: basename(folder) };
  }
  throw new RequestError(
    `${word} is no place for a study: give its name, or a path to data/<name>`,
  );
}

function isUnused(folder: string): boolean {
  return readdirSync(folder).every((name) => leftByOthers.has(name));
}

function rootAround(cwd: string): string {
  if (isUnused(cwd)) return resolve(cwd);
  try {
    return studyRoot(cwd);
  } catch (error) {
    if (error instanceof RequestError) return resolve(cwd);
    throw error;
  }
}

const ownFiles = new Map([
  ["package.json", '{\n  "private": true,\n  "type": "module"\n}\n'],
  [".gitignore", "node_modules/\nout/\n.tautline/\n"],
]);

/** Writes the files of a folder of one's own that are not there yet; returns their names. */
export function writeOwnFiles(root: string): string[] {
  return writeMissing(root, ownFiles).written;
}

/** Files that were written, and files that were there already and stay as they are. */
export interface Written {
  /** Paths below the root. */
  readonly written: string[];
  /** Paths below the root. */
  readonly kept: string[];
}

/** Writes the files that are not there yet. A file that is there is never changed. */
export function writeMissing(root: string, files: ReadonlyMap<string, string>): Written {
  const kept = [...files.keys()].filter((path) => existsSync(join(root, path)));
  const missing = [...files].filter(([path]) => !kept.includes(path));
  for (const [path, text] of missing) {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeAtomically(join(root, path), text);
  }
  return { written: missing.map(([path]) => path), kept };
}

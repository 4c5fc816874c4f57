import { createHash } from "node:crypto";
import { lstatSync, mkdirSync, readFileSync, realpathSync, rmSync } from "node:fs";
import { dirname, isAbsolute, join, relative, resolve, sep } from "node:path";
import { InputError } from "../errors.js";
import { readSealed, writeSealed } from "../sealed-file.js";
import { writeAtomically } from "../whole-file.js";

type Content = string | Uint8Array;

/** Writes a file whole or not at all, below a folder; folders on the way are made. */
export function placeFile(folder: string, path: string, content: Content): string {
  const whole = insideOf(folder, path);
  mkdirSync(dirname(whole), { recursive: true });
  writeAtomically(whole, content);
  return whole;
}

/**
 * The folder that a command writes to. Where it lies below the study's root, which may have come
 * from somebody else, no part of the way from there is a link; elsewhere the links are the user's own.
 * @throws InputError when a part of the way is a link
 */
export function outputFolder(root: string, out: string): string {
  const path = resolve(out);
  const way = relative(resolve(root), path);
  const below = way !== "" && !way.startsWith("..") && !isAbsolute(way);
  return below ? insideOf(root, way.split(sep).join("/")) : path;
}

/**
 * A path below a folder, absolute.
 * @throws InputError when it leads out of the folder, or a part of the way is a link
 */
function insideOf(folder: string, path: string): string {
  const base = resolve(folder);
  const whole = resolve(base, path);
  const where = "files to be written";
  if (!whole.startsWith(base.endsWith(sep) ? base : base + sep)) {
    throw new InputError({ expected: `a path inside ${folder}`, got: JSON.stringify(path), where });
  }
  let step = base;
  for (const part of whole.slice(base.length).split(sep).filter(Boolean)) {
    step = join(step, part);
    const entry = lstatSync(step, { throwIfNoEntry: false });
    if (entry?.isSymbolicLink()) {
      const expected = "folders and files; nothing is written or removed through a link";
      throw new InputError({ expected, got: `the link ${step}`, where });
    }
  }
  return whole;
}

/** What a run of the report left in its folder; only this machine's own list is believed. */
interface Written {
  /** The folder it was written to. */
  readonly folder: string;
  /** Paths inside the folder, with forward slashes. */
  readonly paths: readonly string[];
  /** SHA-256 by path of files that a later run need not write again. */
  readonly kept: Readonly<Record<string, string>>;
}

/** Hidden list, in a report's folder, of what a run wrote there. */
const listName = ".written.json";

/**
 * Writes the files of a report, assets before the pages that ask for them, and removes what an
 * earlier run wrote into this folder and this one did not. Other files are somebody's own. Every path
 * is looked at before anything is written.
 * @param files by path inside the folder, with forward slashes; nothing for a file that stays as it is
 * @param heavy paths that a later run leaves as they are when it would write the same
 */
export function replaceFiles(
  folder: string,
  files: ReadonlyMap<string, Content | undefined>,
  heavy: readonly string[] = [],
): void {
  const before = writtenIn(folder);
  const stale = (before?.paths ?? []).filter((path) => !files.has(path));
  for (const path of [listName, ...files.keys(), ...stale]) insideOf(folder, path);
  writeFiles(folder, files);
  for (const path of stale) rmSync(insideOf(folder, path), { force: true });
  const kept = heavy.flatMap((path): [string, string][] => {
    const content = files.get(path);
    const hash = content === undefined ? before?.kept[path] : hashOf(content);
    return hash === undefined ? [] : [[path, hash]];
  });
  const written: Written = {
    folder: realpathSync(folder),
    paths: [...files.keys()].sort(),
    kept: Object.fromEntries(kept),
  };
  writeSealed(insideOf(folder, listName), written);
}

/** Writes files into a folder, those deeper down before those that ask for them. */
export function writeFiles(folder: string, files: ReadonlyMap<string, Content | undefined>): void {
  const depth = (path: string) => path.split("/").length;
  const order = [...files].sort(([a], [b]) => depth(b) - depth(a) || (a < b ? -1 : 1));
  for (const [path] of order) insideOf(folder, path);
  for (const [path, content] of order) {
    if (content !== undefined) placeFile(folder, path, content);
  }
}

/** Whether a file is, byte for byte, what an earlier run of this machine wrote there. */
export function isUnchanged(folder: string, path: string): boolean {
  try {
    return writtenIn(folder)?.kept[path] === hashOf(readFileSync(insideOf(folder, path)));
  } catch {
    return false; // it is not there
  }
}

/** Without a list of this machine about this folder, nothing is known to be stale. */
function writtenIn(folder: string): Written | undefined {
  const list = readSealed(join(folder, listName)) as Written | undefined;
  return list?.folder !== undefined && list.folder === realpathSync(folder) ? list : undefined;
}

function hashOf(content: Content): string {
  return createHash("sha256").update(content).digest("hex");
}

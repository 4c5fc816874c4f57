import {
  closeSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  writeSync,
} from "node:fs";
import { basename, dirname, join } from "node:path";

/** Replaces a file as a whole: a stop at any moment leaves the old one or the new one. */
export function writeWhole(path: string, content: string | Uint8Array): void {
  mkdirSync(dirname(path), { recursive: true });
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  const bytes = typeof content === "string" ? Buffer.from(content) : content;
  try {
    const file = openSync(beside, "w");
    try {
      for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(beside, path);
  } catch (error) {
    rmSync(beside, { force: true });
    throw error;
  }
}

/** Writes files into a folder, assets before the pages that ask for them. */
export function writeFiles(out: string, files: ReadonlyMap<string, string | Uint8Array>): void {
  const depth = (path: string) => path.split("/").length;
  const order = [...files].sort(([a], [b]) => depth(b) - depth(a) || (a < b ? -1 : 1));
  for (const [path, content] of order) writeWhole(join(out, path), content);
}

/** Removes files of a kind that an earlier run wrote and this one did not. */
export function removeStale(folder: string, kept: ReadonlySet<string>, kind: RegExp): void {
  let names: string[];
  try {
    names = readdirSync(folder);
  } catch {
    return; // no folder, nothing stale
  }
  for (const name of names) if (kind.test(name) && !kept.has(name)) rmSync(join(folder, name));
}

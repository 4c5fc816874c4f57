import {
  closeSync,
  fchmodSync,
  fsyncSync,
  openSync,
  readdirSync,
  renameSync,
  statSync,
  unlinkSync,
  writeSync,
} from "node:fs";
import { basename, dirname, join } from "node:path";

const temporary = /^\..*\.(\d+)\.tmp$/;
const underWay = new Set<string>();

process.on("exit", () => {
  for (const path of underWay) removeQuietly(path);
});

/**
 * Replaces a file as a whole: the new content is written beside it, pushed to the disk and renamed
 * over it. A stop at any moment leaves the old file or the new one. The file keeps its mode.
 */
export function writeAtomically(path: string, content: string | Uint8Array): void {
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  underWay.add(beside);
  try {
    write(beside, typeof content === "string" ? Buffer.from(content) : content, modeOf(path));
    renameSync(beside, path);
  } catch (error) {
    removeQuietly(beside);
    throw error;
  } finally {
    underWay.delete(beside);
  }
}

function write(path: string, bytes: Uint8Array, mode: number | undefined): void {
  // A leftover or a planted link of this name is removed; opening never follows one.
  removeQuietly(path);
  const file = openSync(path, "wx", mode ?? 0o644);
  try {
    if (mode !== undefined) fchmodSync(file, mode); // opening takes away what the umask says
    for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function modeOf(path: string): number | undefined {
  try {
    return statSync(path).mode & 0o777;
  } catch {
    return undefined;
  }
}

/** Removes a file that may be gone already: renamed, or never made. */
export function removeQuietly(path: string): void {
  try {
    unlinkSync(path);
  } catch {
    // it is not there
  }
}

/** What writes that are under way, or were killed in the middle, have in a folder; and whose. */
export function temporariesIn(folder: string): { readonly path: string; readonly owner: number }[] {
  return readdirSync(folder).flatMap((name) => {
    const owner = temporary.exec(name)?.[1];
    return owner ? [{ path: join(folder, name), owner: Number(owner) }] : [];
  });
}

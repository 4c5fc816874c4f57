import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { writeAtomically } from "../whole-file.js";

/** Writes a file whole or not at all, in a folder that may not be there yet. */
export function placeFile(path: string, content: string | Uint8Array): void {
  mkdirSync(dirname(path), { recursive: true });
  writeAtomically(path, content);
}

/** Writes files into a folder, assets before the pages that ask for them. */
export function writeFiles(out: string, files: ReadonlyMap<string, string | Uint8Array>): void {
  const depth = (path: string) => path.split("/").length;
  const order = [...files].sort(([a], [b]) => depth(b) - depth(a) || (a < b ? -1 : 1));
  for (const [path, content] of order) placeFile(join(out, path), content);
}

/** Hidden list, in a report's folder, of what a run wrote there. */
const listName = ".written.json";

/**
 * Removes what an earlier run wrote into this folder and this one did not, and nothing else: other
 * files are somebody's own.
 * @param kept paths inside the folder, with forward slashes
 */
export function removeStale(folder: string, kept: readonly string[]): void {
  const stays = new Set(kept);
  for (const path of listedIn(folder)) {
    const inside = /^(?:[\w-][\w.-]*\/)*[\w-][\w.-]*$/.test(path);
    if (inside && !stays.has(path)) rmSync(join(folder, path), { force: true });
  }
  placeFile(join(folder, listName), `${JSON.stringify([...stays].sort(), null, 1)}\n`);
}

/** Without a list that can be read, nothing is known to be stale. */
function listedIn(folder: string): string[] {
  try {
    const list: unknown = JSON.parse(readFileSync(join(folder, listName), "utf8"));
    return Array.isArray(list) ? list.filter((path) => typeof path === "string") : [];
  } catch {
    return [];
  }
}

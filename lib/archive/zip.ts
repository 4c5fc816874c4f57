import { type Zippable, zipSync } from "fflate";
import { present } from "../entry.js";

/** Files of an archive by their path in it, with "/" between folders. */
export type ArchiveFiles = ReadonlyMap<string, Uint8Array>;

/**
 * One zip file of all files. The same files give the same bytes, on any day and in any time zone:
 * names stand in the order of their code units and every file has the oldest date that a zip can
 * hold, because its content, not the clock, is what counts.
 */
export function writeArchive(files: ArchiveFiles): Uint8Array {
  const mtime = new Date(1980, 0, 1);
  const names = [...files.keys()].sort();
  const entries = names.map((name) => [name, present(files.get(name))] as const);
  return zipSync(Object.fromEntries(entries) as Zippable, { mtime, level: 6 });
}

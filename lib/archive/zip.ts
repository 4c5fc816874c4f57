import { type Zippable, zipSync } from "fflate";
import { present } from "../entry.js";

/** Files of an archive by their path in it, with "/" between folders. */
export type ArchiveFiles = ReadonlyMap<string, Uint8Array>;

/**
 * One zip file of all files. The same files and day give the same bytes, whenever and in whatever
 * time zone it is written: names stand in the order of their code units, and every file carries the
 * archive's day, which comes from the record and not from a clock.
 * @param day of the archive, year-month-day
 */
export function writeArchive(files: ArchiveFiles, day: string): Uint8Array {
  const names = [...files.keys()].sort();
  const entries = names.map((name) => [name, present(files.get(name))] as const);
  return zipSync(Object.fromEntries(entries) as Zippable, { mtime: zipTime(day), level: 6 });
}

/** A zip holds days between 1980 and 2099; a day outside becomes the nearest it can hold. */
export function zipDay(day: string): string {
  if (day < "1980") return "1980-01-01";
  return day > "2100" ? "2099-12-31" : day;
}

/** Midnight of the day in local time, which is what a zip holds. */
function zipTime(day: string): Date {
  const [year = 1980, month = 1, date = 1] = zipDay(day).split("-").map(Number);
  return new Date(year, month - 1, date);
}

import { readdirSync, readFileSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import { spreadsheetCsv } from "../csv-writing.js";
import { itemAt } from "../entry.js";
import { type ReadHandedIn, readHandedIn } from "../learn/hand-in.js";
import { marksOf } from "../learn/marks.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { marksPage } from "../report/marks-page.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  usage: "tautline marks <folder> [options]",
  what: "Marks the files that students handed in: right and wrong, tries, the most common mistake.",
  options: [
    { name: "--out <folder>", what: "where marks.csv and marks.html go (the folder itself)" },
    { name: "--json", what: "one JSON document on the standard output; writes nothing" },
  ],
  examples: [{ line: "tautline marks handed-in", what: "every .txt file in the folder handed-in" }],
};

const columns = [
  "code",
  "exercise",
  "asks",
  "answer",
  "right",
  "tries",
  "minutes",
  "slip",
] as const;

/** Marks a class from the text files in a folder. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, { out: "text", json: "flag" });
  if (words.length !== 1) throw new UsageError("name one folder with the files of the students");
  const folder = resolve(io.cwd, itemAt(words, 0));
  const { texts, faults } = handedInFiles(folder);
  const marks = marksOf(texts);
  const warnings = [...faults, ...marks.warnings];
  if (options.json) {
    io.out(`${JSON.stringify({ ...marks, warnings }, null, 2)}\n`);
    return exitCodes.fine;
  }
  const out = outputFolder(folder, resolve(io.cwd, options.out ?? folder));
  const rows = marks.marks.map((mark) => ({ ...mark, right: mark.right ? "yes" : "no" }));
  placeFile(out, "marks.csv", spreadsheetCsv([...columns], rows));
  placeFile(out, "marks.html", marksPage({ ...marks, warnings }));
  const students = new Set(texts.map(({ code }) => code)).size;
  const files = texts.length === students ? "" : ` (${texts.length} files)`;
  io.out(
    `${students} student${students === 1 ? "" : "s"}${files} marked, in ${relative(io.cwd, out) || "."}: marks.csv, marks.html\n`,
  );
  for (const warning of warnings) io.err(`${printable(warning)}\n`);
  return warnings.length > 0 ? exitCodes.differences : exitCodes.fine;
}

function handedInFiles(folder: string): { texts: ReadHandedIn[]; faults: string[] } {
  const texts: ReadHandedIn[] = [];
  const faults: string[] = [];
  for (const name of textFiles(folder)) {
    try {
      texts.push(readHandedIn(readFileSync(join(folder, name), "utf8")));
    } catch (error) {
      faults.push(`${name}: ${error instanceof Error ? error.message : String(error)}`);
    }
  }
  if (texts.length === 0 && faults.length === 0)
    throw new UsageError(`${folder} contains no .txt file that was handed in`);
  return { texts, faults };
}

function textFiles(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith(".txt"))
      .sort();
  } catch (error) {
    throw new UsageError(`${folder} cannot be read: ${(error as Error).message}`);
  }
}

import { join, relative, resolve } from "node:path";
import { outputFolder, writeFiles } from "../report/folder.js";
import { unreadableOutputs } from "../report/recorded.js";
import { type TableFormat, writeTableFiles } from "../report/table-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { recordedAmong } from "./figures.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { namedStudy } from "./study-word.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Writes every recorded table as CSV, with the digits shown and with all of them, and a workbook for each notebook.",
  usage: "tautline tables [notebook…] [options]",
  options: [
    { name: "--format <list>", what: "csv, xlsx, separated by commas (both)" },
    {
      name: "--tidy",
      what: "the analysis data set of a study in long format, with its dictionary, as CSV",
    },
    { name: "--out <folder>", what: "where the files go (out/tables)" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline tables", what: "all tables and workbooks" },
    {
      line: "tautline tables winter-block/3-change --format xlsx",
      what: "one notebook's workbook",
    },
    {
      line: "tautline tables winter-block --tidy",
      what: "golfer × visit × hand × position, for other programs",
    },
  ],
};

const shapes = { format: "text", tidy: "flag", out: "text", json: "flag" } as const;
const formats = ["csv", "xlsx"] as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  const out = outputFolder(root, resolve(io.cwd, options.out ?? join(root, "out", "tables")));
  if (options.tidy) return tidy({ words, out, json: options.json }, io);
  const notebooks = recordedAmong(words, root, io.cwd);
  for (const problem of unreadableOutputs(notebooks)) io.err(`${printable(problem)}\n`);
  const files = writeTableFiles({ notebooks, out, formats: formatsOf(options.format) });
  const named = files.map((file) => relative(io.cwd, file));
  if (options.json) io.out(`${JSON.stringify({ files: named })}\n`);
  else io.out(`${named.map((name) => `${name}\n`).join("")}${named.length} files written.\n`);
  return exitCodes.fine;
}

/** The analysis data set of a study, and what its columns mean. */
async function tidy(
  { words, out, json }: { words: readonly string[]; out: string; json: boolean },
  io: Io,
): Promise<number> {
  const { openStudy } = await import("../study/open.js");
  const { tidyFiles } = await import("../study/tables/tidy.js");
  const files = tidyFiles(openStudy(namedStudy(words, io.cwd)));
  writeFiles(out, files);
  const named = [...files.keys()].map((name) => relative(io.cwd, join(out, name)));
  if (json) io.out(`${JSON.stringify({ files: named })}\n`);
  else io.out(`${named.join("\n")}\n${named.length} files written.\n`);
  return exitCodes.fine;
}

function formatsOf(text: string | undefined): TableFormat[] {
  const asked = text === undefined ? [...formats] : text.split(",").map((part) => part.trim());
  const unknown = asked.find((format) => !(formats as readonly string[]).includes(format));
  if (unknown !== undefined)
    throw new UsageError(`--format knows csv and xlsx, got ${JSON.stringify(unknown)}`);
  return asked as TableFormat[];
}

import { join, relative, resolve } from "node:path";
import type { Part, SiteVerdict } from "../report/context.js";
import { outputFolder } from "../report/folder.js";
import { readNotebooks } from "../report/recorded.js";
import { type WrittenReport, writeReport } from "../report/site.js";
import { dataPackages } from "../study/files.js";
import { studyAccounts } from "../study/study-account.js";
import { lastChecks } from "../workspace/last-checks.js";
import { notebookPaths } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Makes the report from the recorded notebooks, without running them.",
  usage: "tautline report [options]",
  options: [
    { name: "--out <folder>", what: "where the pages go (out)" },
    { name: "--one-file", what: "everything in one page that can be sent by mail" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline report", what: "out/index.html and a page for each notebook" },
    { line: "tautline report --one-file --out send", what: "send/index.html alone, about 6 MB" },
  ],
};

const shapes = { out: "text", "one-file": "flag", json: "flag" } as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  if (words.length > 0) throw new UsageError(`report takes no words, got ${words[0]}`);
  const root = studyRoot(io.cwd);
  const out = options.out === undefined ? join(root, "out") : resolve(io.cwd, options.out);
  const { pages, problems } = await report(root, out, { oneFile: options["one-file"] });
  for (const problem of problems) io.err(`${printable(problem)}\n`);
  const named = pages.map((page) => relative(io.cwd, page));
  if (options.json) io.out(`${JSON.stringify({ pages: named, problems })}\n`);
  else io.out(`Report: ${named.find((page) => page.endsWith("index.html"))}\n`);
  return problems.length > 0 ? exitCodes.differences : exitCodes.fine;
}

/** Writes the pages of all recorded notebooks, with the studies that they name. */
export async function report(
  root: string,
  out: string,
  options: { oneFile?: boolean; parts?: readonly Part[] | undefined } = {},
): Promise<WrittenReport> {
  const notebooks = readNotebooks(root, notebookPaths(root));
  return writeReport({
    notebooks,
    out: outputFolder(root, out),
    studies: studyAccounts(
      root,
      notebooks.map(({ study }) => study),
    ),
    data: dataPackages(root),
    verdict: verdictOf(root),
    ...options,
  });
}

/** The last check of each notebook on this machine; none where nothing was ever run. */
function verdictOf(root: string): SiteVerdict | undefined {
  const checks = Object.entries(lastChecks(root));
  if (checks.length === 0) return undefined;
  return { notebooks: checks.map(([notebook, check]) => ({ notebook, ...check })) };
}

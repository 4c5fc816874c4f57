import { basename, dirname, join, relative, resolve } from "node:path";
import { itemAt } from "../entry.js";
import { coachDrawings } from "../report/coach-drawings.js";
import { coachFindings, coachPage } from "../report/coach-page.js";
import { fileNames } from "../report/file-name.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { golferSheet } from "../report/golfer-sheet.js";
import { readNotebooks, unreadableOutputs } from "../report/recorded.js";
import { golferAccounts } from "../study/golfer-account.js";
import { openStudy } from "../study/open.js";
import { studyAccounts } from "../study/study-account.js";
import { notebookPaths } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { namedStudy } from "./study-word.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Writes a page for each golfer with their own results, and a page for the coach.",
  usage: "tautline handouts <study> [options]",
  options: [
    { name: "--golfer <code>", what: "only this golfer's sheet; may be repeated" },
    { name: "--finding <id>", what: "a finding that opens the coach's page; may be repeated" },
    { name: "--out <folder>", what: "where the pages go (out/handouts/<study>)" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline handouts winter-block", what: "every golfer's sheet and the coach's page" },
    { line: "tautline handouts coach-nine --golfer 1-3", what: "one golfer's sheet" },
  ],
};

const shapes = { golfer: "list", finding: "list", out: "text", json: "flag" } as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const folder = namedStudy(words, io.cwd);
  const root = studyRoot(dirname(folder));
  const name = basename(folder);
  const chosen = options.out ?? join(root, "out", "handouts", name);
  const out = outputFolder(root, resolve(io.cwd, chosen));
  const files =
    options.golfer.length === 0
      ? [await coachFile(root, name, { out, findings: options.finding }, io)]
      : [];
  files.push(...golferFiles(folder, options.golfer, out));
  const named = files.filter((file) => file !== undefined).map((file) => relative(io.cwd, file));
  if (options.json) io.out(`${JSON.stringify({ files: named })}\n`);
  else {
    io.out(`${named.length} pages written in ${relative(io.cwd, out)}.\n`);
    io.err("A golfer's sheet contains personal results: give it to that golfer only.\n");
  }
  return exitCodes.fine;
}

function golferFiles(folder: string, codes: readonly string[], out: string): string[] {
  const accounts = golferAccounts(openStudy(folder));
  const unknown = codes.find((code) => !accounts.some((account) => account.code === code));
  if (unknown !== undefined)
    throw new UsageError(`there is no golfer ${JSON.stringify(unknown)} in this study`);
  const names = fileNames(accounts.map(({ code }) => `golfer-${code}`));
  return accounts.flatMap((account, i) =>
    codes.length === 0 || codes.includes(account.code)
      ? [placeFile(out, `${itemAt(names, i)}.html`, golferSheet(account))]
      : [],
  );
}

interface CoachOrder {
  readonly out: string;
  readonly findings: readonly string[];
}

async function coachFile(
  root: string,
  name: string,
  { out, findings }: CoachOrder,
  io: Io,
): Promise<string | undefined> {
  const [study] = studyAccounts(root, [name]);
  if (!study) return undefined;
  const notebooks = readNotebooks(root, notebookPaths(root)).filter((one) => one.study === name);
  for (const problem of unreadableOutputs(notebooks)) io.err(`${printable(problem)}\n`);
  const opening = coachFindings(notebooks, { findings });
  const unknown = findings.find((id) => !opening.some(({ finding }) => finding.id === id));
  if (unknown !== undefined) {
    throw new UsageError(`no notebook of this study states a finding ${JSON.stringify(unknown)}`);
  }
  const drawings = await coachDrawings(notebooks, opening[0]);
  return placeFile(out, "coach.html", coachPage(study, notebooks, { findings, drawings }));
}

import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { basename, dirname, join, relative, resolve } from "node:path";
import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { outputFolder } from "../report/folder.js";
import { emptyStudy, type StarterOptions } from "../study/plan/starter.js";
import { installing, rootAbove } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";

export const help: Help = {
  usage: "tautline new <folder> [options]",
  what: "Makes an empty study: datapackage.json with design and plan, CSV files with their headers, a first notebook.",
  options: [
    { name: "--title <text>", what: "title of the study" },
    {
      name: "--arms <a,b>",
      what: "ids of the arms, the control last; one id for a study without control",
    },
    { name: "--weeks <0,6>", what: "weeks of the test occasions" },
    { name: "--hands <lead,trail>", what: "hands that are measured (both)" },
    { name: "--positions <a,b>", what: "positions of the grip test (seated,address)" },
    { name: "--clubs <a,b>", what: "clubs that are swung (driver)" },
    { name: "--trials <n>", what: "grip trials per visit, hand and position (3)" },
    { name: "--swings <n>", what: "swings per visit and club (8)" },
    { name: "--seed <n>", what: "seed of everything random in the study, default 1" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline new data/spring", what: "two arms, weeks 0 and 6" },
    { line: "tautline new data/club --arms grip --weeks 0,4", what: "one arm, no control" },
    {
      line: "tautline new data/pilot --hands lead --positions address --trials 2 --swings 5",
      what: "a design of its own",
    },
  ],
};

/**
 * Makes the folder of a new study; an existing folder must be empty, and no part of the way to it
 * from the workspace is a link.
 */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    title: "text",
    arms: "text",
    weeks: "text",
    hands: "text",
    positions: "text",
    clubs: "text",
    trials: "whole",
    swings: "whole",
    seed: "whole",
    json: "flag",
  });
  if (words.length !== 1) throw new UsageError("name one folder for the study");
  const folder = outputFolder(rootAbove(io.cwd) ?? io.cwd, resolve(io.cwd, itemAt(words, 0)));
  const files = filesFor({
    name: basename(folder),
    title: options.title,
    arms: options.arms?.split(","),
    weeks: options.weeks?.split(",").map(week),
    hands: options.hands?.split(","),
    positions: options.positions?.split(","),
    clubs: options.clubs?.split(","),
    trials: options.trials,
    swings: options.swings,
    seed: options.seed,
  });
  makeFolder(folder, files);
  const shown = relative(io.cwd, folder) || ".";
  if (options.json)
    io.out(`${JSON.stringify({ kind: "new", folder: shown, files: [...files.keys()] })}\n`);
  else io.out(nextSteps(shown, [...files.keys()], hasLibrary(folder)));
  return exitCodes.fine;
}

/** What an empty study refuses was typed on the command line, so it is wrong use. */
function filesFor(asked: StarterOptions): ReadonlyMap<string, string> {
  try {
    return emptyStudy(asked);
  } catch (error) {
    throw error instanceof InputError ? new UsageError(error.message) : error;
  }
}

function week(text: string): number {
  return text.trim() === "" ? Number.NaN : Number(text);
}

/** The folder appears with all its files or not at all. */
function makeFolder(folder: string, files: ReadonlyMap<string, string>): void {
  if (existsSync(folder) && readdirSync(folder).length > 0)
    throw new UsageError(`${folder} is not empty; a new study needs a folder of its own`);
  mkdirSync(dirname(folder), { recursive: true });
  const beside = mkdtempSync(join(dirname(folder), ".new-study-"));
  try {
    for (const [path, text] of files) writeFileSync(join(beside, path), text);
    if (existsSync(folder)) rmSync(folder, { recursive: true });
    renameSync(beside, folder);
  } catch (error) {
    rmSync(beside, { recursive: true, force: true });
    throw error;
  }
}

/** Whether a notebook in the folder would find the library. */
function hasLibrary(folder: string): boolean {
  const found = existsSync(join(folder, "node_modules", "tautline"));
  return found || (dirname(folder) !== folder && hasLibrary(dirname(folder)));
}

function nextSteps(folder: string, files: readonly string[], installed: boolean): string {
  return `${[
    `A new study is in ${folder}:`,
    ...files.map((file) => `  ${file}`),
    "",
    "Next:",
    `  1. Read the study block of datapackage.json and record the plan before you test anybody: tautline plan ${folder}`,
    `  2. Put the golfers' codes into participants.csv. Keep names elsewhere, under lock.`,
    `  3. tautline sheets ${folder}   writes the recording sheets`,
    `  4. tautline map ${folder}      proposes how exports of a device are read`,
    `  5. tautline check ${folder}    checks what was recorded`,
    ...(installed ? [] : [`  6. ${installing()}   lets notebooks here use the library`]),
  ].join("\n")}\n`;
}

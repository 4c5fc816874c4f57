import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { dirname, join, relative } from "node:path";
import { InputError, unlessRefused } from "../errors.js";
import { outputFolder } from "../report/folder.js";
import { descriptorName } from "../study/files.js";
import { type StudyOutline, studyOutline } from "../study/package/study-outline.js";
import { emptyStudy, type StarterOptions } from "../study/plan/starter.js";
import { notebookFiles, seriesFiles } from "../workspace/notebook-set/study-notebooks.js";
import {
  placeOfNewStudy,
  type StudyPlace,
  type Written,
  writeMissing,
  writeOwnFiles,
} from "../workspace/own-folder.js";
import { RequestError } from "../workspace/request-error.js";
import { installing } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";

export const help: Help = {
  usage: "tautline new [study] [options]",
  what: "Makes an empty study: data/<study> with design, plan and CSV files with their headers, and notebooks/<study> with a notebook for every question that the design can answer. In an empty folder it also sets up the folder itself.",
  options: [
    { name: "--title <text>", what: "title of the study" },
    {
      name: "--arms <a,b>",
      what: "ids of the arms, the control last; one id for a study without control",
    },
    { name: "--weeks <0,6>", what: "weeks of the visits" },
    { name: "--hands <lead,trail>", what: "hands that are measured (both)" },
    { name: "--positions <a,b>", what: "positions of the grip test (seated,address)" },
    { name: "--clubs <a,b>", what: "clubs that are swung (driver)" },
    { name: "--trials <n>", what: "grip trials per visit, hand and position (3)" },
    { name: "--swings <n>", what: "swings per visit and club (8)" },
    { name: "--seed <n>", what: "seed of all random numbers in the study, default 1" },
    {
      name: "--notebooks",
      what: "only the notebooks that an existing study lacks; existing notebooks stay unchanged",
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline new spring", what: "two arms, weeks 0 and 6" },
    { line: "tautline new club --arms grip --weeks 0,4", what: "one arm, no control" },
    {
      line: "tautline new pilot --hands lead --positions address --trials 2 --swings 5",
      what: "a design of its own",
    },
    { line: "tautline new --notebooks winter-block", what: "adds the notebooks that are missing" },
  ],
};

/** Makes the folders of a new study, or the notebooks that an existing one lacks. */
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
    notebooks: "flag",
    json: "flag",
  });
  if (words.length > 1) throw new UsageError("name one study");
  const { title, arms, weeks, hands, positions, clubs, trials, swings, seed } = options;
  const place = placed(words[0], io.cwd);
  // no part of the way to a folder is a link
  for (const part of [place.name, "series"])
    outputFolder(place.root, join(place.root, "notebooks", part));
  const asked = {
    title,
    arms: arms?.split(","),
    weeks: weeks?.split(",").map(week),
    hands: hands?.split(","),
    positions: positions?.split(","),
    clubs: clubs?.split(","),
    trials,
    swings,
    seed,
  };
  if (options.notebooks) {
    const [odd] = Object.entries(asked).flatMap(([name, value]) =>
      value === undefined ? [] : name,
    );
    if (odd)
      throw new UsageError(`--${odd} is for a new study; --notebooks adds to one that is there`);
  }
  const files = options.notebooks ? [] : newStudy(place, asked);
  const { written, kept } = addNotebooks(place);
  if (options.json) {
    const { root, name } = place;
    const shown = {
      study: name,
      folder: relative(io.cwd, root) || ".",
      files: [...files, ...written],
      kept,
    };
    io.out(`${JSON.stringify({ kind: "new", ...shown })}\n`);
  } else if (options.notebooks) io.out(addedText(place, { written, kept }));
  else io.out(nextSteps(place, [...files, ...written], io.cwd));
  return exitCodes.fine;
}

function placed(word: string | undefined, cwd: string): StudyPlace {
  try {
    return placeOfNewStudy(word, cwd);
  } catch (error) {
    throw error instanceof RequestError ? new UsageError(error.message) : error;
  }
}

/** Writes the data folder of a new study and what a folder of one's own needs; returns the paths. */
function newStudy({ root, name }: StudyPlace, asked: Omit<StarterOptions, "name">): string[] {
  const files = filesFor({ ...asked, name });
  makeFolder(outputFolder(root, join(root, "data", name)), files);
  return [...writeOwnFiles(root), ...[...files.keys()].map((path) => `data/${name}/${path}`)];
}

function addNotebooks({ root, name }: StudyPlace): Written {
  const folder = join(root, "data", name);
  if (!existsSync(folder)) {
    throw new UsageError(`there is no study data/${name}; leave --notebooks out to make one`);
  }
  const ofStudy = writeMissing(root, notebookFiles(studyOutline(folder)));
  const series = writeMissing(root, seriesFiles(studiesIn(root)));
  return {
    written: [...ofStudy.written, ...series.written],
    kept: [...ofStudy.kept, ...series.kept],
  };
}

/** The studies of the folder that can be read; another data package is none. */
function studiesIn(root: string): StudyOutline[] {
  return readdirSync(join(root, "data"))
    .sort()
    .filter((name) => existsSync(join(root, "data", name, descriptorName)))
    .flatMap((name) => unlessRefused(() => studyOutline(join(root, "data", name))) ?? []);
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

function addedText({ name }: StudyPlace, { written, kept }: Written): string {
  const lines = [
    written.length > 0 ? `New in notebooks/${name}:` : `notebooks/${name} has every notebook.`,
    ...written.map((path) => `  ${path}`),
    ...(kept.length > 0 ? ["Already there, not changed:", ...kept.map((path) => `  ${path}`)] : []),
  ];
  return `${lines.join("\n")}\n`;
}

function nextSteps({ root, name }: StudyPlace, files: readonly string[], cwd: string): string {
  const folder = relative(cwd, root) || ".";
  const steps = [
    `Read the study block of data/${name}/datapackage.json and record the plan before the first test: tautline plan ${name}`,
    "Put the golfers' codes into participants.csv. Keep names elsewhere, under lock.",
    `tautline sheets ${name}   writes the recording sheets`,
    `tautline map ${name}      proposes how exports of a device are read`,
    `tautline check ${name}    checks what was recorded`,
    "tautline rebuild   runs the notebooks and makes the report",
  ];
  const all = hasLibrary(root)
    ? steps
    : [`${installing()}   lets the notebooks use the library`, ...steps];
  return `${[
    `A new study is in ${folder === "." ? "this folder" : folder}:`,
    ...files.map((file) => `  ${file}`),
    "",
    "Next:",
    ...all.map((step, i) => `  ${i + 1}. ${step}`),
  ].join("\n")}\n`;
}

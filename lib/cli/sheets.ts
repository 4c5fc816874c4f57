import { existsSync, readFileSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import { csvText } from "../csv-writing.js";
import { itemAt } from "../entry.js";
import { fileNames } from "../report/file-name.js";
import { outputFolder, writeFiles } from "../report/folder.js";
import { openStudy } from "../study/open.js";
import {
  columnsOf,
  gripRows,
  recordingSheets,
  type SheetPerson,
  swingRows,
} from "../study/plan/sheets.js";
import { sheetPage } from "../study/plan/sheets-page.js";
import type { Study } from "../study/study.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { namedStudy } from "./study-word.js";
import { occasionsOf, peopleOf, type Units, unitsOf } from "./tested-people.js";

export const help: Help = {
  usage: "tautline sheets <study> [options]",
  what: "Writes recording sheets: CSV files to fill in and a page to print, in a balanced random order.",
  options: [
    { name: "--occasion <id>", what: "one visit only; all of them without it" },
    { name: "--people <n>", what: "sheets for n codes, when participants.csv is still empty" },
    { name: "--force-unit <u>", what: "unit the dynamometer shows, default kgf" },
    { name: "--speed-unit <u>", what: "unit the speed device shows, default mph" },
    { name: "--seed <n>", what: "seed of the order, default the study's own" },
    { name: "--out <folder>", what: "where to write, default sheets/ in the study's folder" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline sheets winter-block", what: "all occasions, for the golfers in the file" },
    {
      line: "tautline sheets spring --people 12",
      what: "codes G01 to G12, before anyone is enrolled",
    },
  ],
};

/** Writes the recording sheets of a study. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    occasion: "text",
    people: "whole",
    "force-unit": "text",
    "speed-unit": "text",
    seed: "whole",
    out: "text",
    json: "flag",
  });
  const folder = namedStudy(words, io.cwd);
  const study = openStudy(folder);
  const people = peopleOf(study, options.people, "sheets");
  const units = unitsOf(options["force-unit"], options["speed-unit"]);
  const seed = options.seed ?? study.plan.seed;
  const known = study.design.occasions.map(({ id }) => id);
  const names = fileNames(known);
  const wanted = occasionsOf(known, options.occasion);
  const written = known.flatMap((occasion, i) => {
    if (!wanted.includes(occasion)) return [];
    const sheets = recordingSheets(people, { occasion, design: study.design, seed });
    return filesOf(itemAt(names, i), sheets, people, { study, ...units });
  });
  const out = outputFolder(folder, resolve(io.cwd, options.out ?? join(folder, "sheets")));
  refuseFilledIn(out, written);
  writeFiles(out, new Map(written));
  const paths = written.map(([path]) => path);
  report(io, relative(io.cwd, out) || ".", paths, options.json);
  return exitCodes.fine;
}

function filesOf(
  name: string,
  sheets: ReturnType<typeof recordingSheets>,
  people: readonly SheetPerson[],
  { study, ...units }: Units & { readonly study: Study },
): [string, string][] {
  const page = sheetPage(sheets, {
    people,
    study: { title: study.title, design: study.design, cautions: study.cautions },
    ...units,
  });
  const grip = csvText(columnsOf("grip-trials"), gripRows(sheets, units.forceUnit));
  const swings = csvText(columnsOf("swing-trials"), swingRows(sheets, units.speedUnit));
  return [
    [`${name}.html`, page],
    ...(sheets.grip.length > 0 ? [[`${name}-grip-trials.csv`, grip] as [string, string]] : []),
    ...(sheets.swings.length > 0 ? [[`${name}-swing-trials.csv`, swings] as [string, string]] : []),
  ];
}

/** A sheet that differs from the one to be written may hold the day's values. */
function refuseFilledIn(folder: string, written: readonly [string, string][]): void {
  const sheets = written.filter(([path]) => path.endsWith(".csv"));
  const changed = sheets.find(([path, text]) => {
    const whole = join(folder, path);
    return existsSync(whole) && readFileSync(whole, "utf8") !== text;
  });
  if (!changed) return;
  throw new UsageError(
    `${join(folder, changed[0])} is there and differs: it may be filled in; move it, or choose another folder with --out`,
  );
}

function report(io: Io, folder: string, files: readonly string[], json: boolean): void {
  if (json) {
    io.out(`${JSON.stringify({ kind: "sheets", folder, files })}\n`);
    return;
  }
  const lines = files.map((file) => `  ${file}`);
  io.out(
    `Recording sheets in ${folder}:\n${lines.join("\n")}\n\nPrint the pages, or fill in the CSV files; then add their rows to grip-trials.csv and swing-trials.csv.\n`,
  );
}

import { readFileSync } from "node:fs";
import { basename, dirname, join, relative, resolve } from "node:path";
import { formContent } from "../form/form-content.js";
import { fileName } from "../report/file-name.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { formPage } from "../report/form-page.js";
import { descriptorName } from "../study/files.js";
import { openStudy } from "../study/open.js";
import { readDescriptor } from "../study/package/read-descriptor.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { namedStudy } from "./study-word.js";
import { occasionsOf, peopleOf, unitsOf } from "./tested-people.js";

export const help: Help = {
  usage: "tautline form <study> [options]",
  what: "Writes a recording form for the tablet: one file that works without a network.",
  options: [
    { name: "--occasion <id>", what: "one visit only; all of them without it" },
    { name: "--earlier", what: "carry each golfer's earlier values, to compare at entry" },
    { name: "--diary", what: "the golfer's training diary instead of the form for tests" },
    { name: "--people <n>", what: "a form for n codes, when participants.csv is still empty" },
    { name: "--force-unit <u>", what: "unit the dynamometer shows, default kgf" },
    { name: "--speed-unit <u>", what: "unit the speed device shows, default mph" },
    { name: "--seed <n>", what: "seed of the order, default the study's own" },
    { name: "--out <folder>", what: "where to write, default out/forms/<study>" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    {
      line: "tautline form winter-block --occasion w6 --earlier",
      what: "the form of the last visit",
    },
    { line: "tautline form winter-block --diary", what: "the training diary for the golfers" },
  ],
};

const shapes = {
  occasion: "text",
  earlier: "flag",
  diary: "flag",
  people: "whole",
  "force-unit": "text",
  "speed-unit": "text",
  seed: "whole",
  out: "text",
  json: "flag",
} as const;

/** Writes the recording form of a study. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  if (options.diary && (options.earlier || options.occasion !== undefined))
    throw new UsageError("--diary has neither visits nor earlier values");
  const folder = namedStudy(words, io.cwd);
  const study = openStudy(folder);
  const known = study.design.occasions.map(({ id }) => id);
  const [occasion] = options.occasion === undefined ? [] : occasionsOf(known, options.occasion);
  const content = formContent(study, studyBlockOf(folder), {
    purpose: options.diary ? "diary" : "tests",
    people: peopleOf(study, options.people, "form"),
    occasion,
    seed: options.seed ?? study.plan.seed,
    ...unitsOf(options["force-unit"], options["speed-unit"]),
    withEarlier: options.earlier,
  });
  const root = studyRoot(dirname(folder));
  const chosen = options.out ?? join(root, "out", "forms", basename(folder));
  const out = outputFolder(root, resolve(io.cwd, chosen));
  const name = options.diary
    ? "diary"
    : `form${occasion === undefined ? "" : `-${fileName(occasion)}`}`;
  const path = relative(io.cwd, placeFile(out, `${name}.html`, await formPage(content)));
  if (options.json) io.out(`${JSON.stringify({ kind: "form", file: path })}\n`);
  else io.out(closingWords(path, options.diary, options.earlier));
  return exitCodes.fine;
}

function studyBlockOf(folder: string): Readonly<Record<string, unknown>> {
  const descriptor = readDescriptor(readFileSync(join(folder, descriptorName)));
  return (descriptor as { study: Readonly<Record<string, unknown>> }).study;
}

function closingWords(path: string, isDiary: boolean, withEarlier: boolean): string {
  const next = isDiary
    ? "Give the file to the golfers; each enters a code, and sends back the file that the diary makes."
    : "Open the file on the tablet; it needs no network. After the test, download its files there.";
  const personal = withEarlier
    ? "The form contains earlier values of the golfers: keep it on devices of the laboratory.\n"
    : "";
  return `${path}\n${next}\nThen: tautline check <study> --add <files>\n${personal}`;
}

import { existsSync, readFileSync } from "node:fs";
import { basename, dirname, join, relative, resolve } from "node:path";
import {
  type ArchivedNotebook,
  dataFiles,
  notebooksOfStudy,
  shareable,
} from "../archive/contents.js";
import { newestDay } from "../archive/credits.js";
import { sha256 } from "../archive/hashes.js";
import { makeArchive } from "../archive/making.js";
import { writeArchive } from "../archive/zip.js";
import type { Part } from "../report/context.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { sharingCheck } from "../study/check/sharing.js";
import { descriptorName, readStudyFiles } from "../study/files.js";
import { openStudy } from "../study/open.js";
import { isRecord, type Json } from "../study/package/json.js";
import { readDescriptor } from "../study/package/read-descriptor.js";
import type { Study } from "../study/study.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { report } from "./report.js";
import { namedStudy } from "./study-word.js";

export const help: Help = {
  usage: "tautline archive <study> [options]",
  what: "Makes one zip file of a study to deposit, run again and check: data, notebooks, report, library, hashes (RO-Crate 1.2).",
  options: [
    { name: "--out <file>", what: "where to write (out/<study>.zip)" },
    {
      name: "--date <day>",
      what: "day of the archive (the latest day recorded in the study)",
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    {
      line: "tautline archive winter-block",
      what: "out/winter-block.zip, after a check for personal data",
    },
    { line: "tautline verify --archive out/winter-block.zip", what: "check it; run nothing" },
  ],
};

const shapes = { out: "text", date: "text", json: "flag" } as const;

/** Makes the archive; personal data stop it, small groups are reported. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const folder = namedStudy(words, io.cwd);
  const root = studyRoot(folder);
  const name = basename(folder);
  if (dirname(folder) !== join(root, "data")) {
    throw new UsageError(`the study must be in ${join(root, "data")}, but it is ${folder}`);
  }
  const descriptor = `data/${name}/${descriptorName}`;
  if (!sharingWarnings(root, [descriptor], io)) return exitCodes.differences;
  const study = openStudy(folder);
  const filesOf = (one: string) => filesInPackage(root, one);
  const notebooks = notebooksOfStudy(root, name, filesOf);
  const data = shareable(root, dataFiles(name, notebooks, filesOf), notebooks);
  const warnings = sharingWarnings(root, data, io);
  if (!warnings) return exitCodes.differences;
  const date = dayOf(options.date, study, notebooks);
  const { files, versions, notes } = await makeArchive({
    root,
    name,
    study,
    descriptor,
    described: describedIn(root, descriptor),
    notebooks,
    data,
    date,
    makeReport,
  });
  const out = options.out ? resolve(io.cwd, options.out) : join(root, "out", `${name}.zip`);
  const bytes = writeArchive(files, date);
  placeFile(outputFolder(root, dirname(out)), basename(out), bytes);
  const written = { file: relative(io.cwd, out), bytes: bytes.length, files: files.size };
  const hash = sha256(bytes);
  const all = [...warnings, ...notes];
  for (const warning of all) io.err(`Note: ${warning}\n`);
  if (options.json) {
    const document = {
      kind: "archive",
      study: name,
      ...written,
      sha256: hash,
      versions,
      notes: all,
    };
    io.out(`${JSON.stringify(document)}\n`);
  } else io.out(writtenText(written, hash));
  return exitCodes.fine;
}

/** The pages of an archive name the programs that it was made with. */
export function makeReport(root: string, out: string, parts: readonly Part[]) {
  return report(root, out, { parts });
}

interface Written {
  readonly file: string;
  readonly bytes: number;
  readonly files: number;
}

function writtenText({ file, bytes, files }: Written, hash: string): string {
  const size = (bytes / 2 ** 20).toFixed(1);
  const check = `tautline verify --archive ${JSON.stringify(file)}`;
  return `${file}: ${files} files, ${size} MB.\nSHA-256 ${hash}: publish it with the deposited file, so that everybody can compare.\nCheck it with ${check}\n`;
}

/** The files of a data package in data/; none for a folder that is no data package. */
function filesInPackage(root: string, name: string): Iterable<string> {
  const folder = join(root, "data", name);
  return existsSync(join(folder, descriptorName)) ? readStudyFiles(folder).files.keys() : [];
}

/** A study's descriptor, parsed. */
export function describedIn(root: string, path: string): Json {
  const descriptor = readDescriptor(readFileSync(join(root, path)));
  return isRecord(descriptor) ? descriptor : {};
}

/** Warnings of the check before sharing, or undefined when it stops the archive. */
function sharingWarnings(root: string, data: readonly string[], io: Io) {
  const bytesOf = (path: string) => readFileSync(join(root, path));
  const { stops, warnings } = sharingCheck(root, data, bytesOf);
  if (stops.length === 0) return warnings;
  for (const stop of stops) io.err(`${stop}\n`);
  io.err(
    "tautline archive: nothing was written, because these data should not be shared as they are.\n",
  );
  return undefined;
}

function dayOf(
  asked: string | undefined,
  study: Study,
  notebooks: readonly ArchivedNotebook[],
): string {
  if (asked !== undefined) {
    const real = /^\d{4}-\d{2}-\d{2}$/.test(asked) && isDay(asked);
    if (real) return asked;
    throw new UsageError(`--date needs a day such as 2025-03-01, got ${JSON.stringify(asked)}`);
  }
  const newest = newestDay(study, notebooks);
  if (newest !== undefined) return newest;
  throw new UsageError("no day is recorded in the study or its notebooks; give one with --date");
}

function isDay(text: string): boolean {
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

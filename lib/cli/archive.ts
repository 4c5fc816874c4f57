import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { basename, dirname, join, relative, resolve } from "node:path";
import {
  dataFiles,
  notebooksOfStudy,
  type PackedNotebook,
  readFiles,
} from "../archive/contents.js";
import { type Credits, creditsOf, newestDay } from "../archive/credits.js";
import { packedLibrary } from "../archive/library.js";
import { privacyOf } from "../archive/privacy-check.js";
import { type PackInput, withDescriptions } from "../archive/record-of-archive.js";
import { type PackageFiles, writeArchive } from "../archive/zip.js";
import { descriptorName } from "../study/files.js";
import { openStudy } from "../study/open.js";
import type { Study } from "../study/study.js";
import { writeAtomically } from "../whole-file.js";
import { studyRoot } from "../workspace/root.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { readOptions, UsageError } from "./options.js";
import { privateFolder, writeNewFiles } from "./private-folder.js";
import { report } from "./report.js";
import { namedStudy } from "./study-word.js";

export const help: Help = {
  usage: "tautline pack <study> [options]",
  what: "Makes one zip file of a study that can be archived, run again and checked: data, notebooks, report, library, hashes (RO-Crate 1.2).",
  options: [
    { name: "--out <file>", what: "where to write (out/<study>.zip)" },
    {
      name: "--date <day>",
      what: "day of the package; else the latest day that is recorded in it",
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline pack winter-block", what: "out/winter-block.zip, after a look at privacy" },
    { line: "tautline verify --pack out/winter-block.zip", what: "does it come out the same?" },
  ],
};

const shapes = { out: "text", date: "text", json: "flag" } as const;

/** Makes the package; personal data stop it, small groups are warned about. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const folder = namedStudy(words, io.cwd);
  const root = studyRoot(folder);
  const name = basename(folder);
  if (dirname(folder) !== join(root, "data")) {
    throw new UsageError(`a study that is packed lies in ${join(root, "data")}, not in ${folder}`);
  }
  if (!privacyWarnings(root, [`data/${name}/${descriptorName}`], io)) return exitCodes.differences;
  const study = openStudy(folder);
  const notebooks = notebooksOfStudy(root, name);
  const data = dataFiles(root, name, notebooks);
  const warnings = privacyWarnings(root, data, io);
  if (!warnings) return exitCodes.differences;
  const { content, versions, notes } = await packageOf({
    root,
    name,
    study,
    notebooks,
    data,
    date: dayOf(options.date, study, notebooks),
  });
  const out = options.out ? resolve(io.cwd, options.out) : join(root, "out", `${name}.zip`);
  const bytes = writeArchive(content);
  mkdirSync(dirname(out), { recursive: true });
  writeAtomically(out, bytes);
  const written = { file: relative(io.cwd, out), bytes: bytes.length, files: content.size };
  const all = [...warnings, ...notes];
  for (const warning of all) io.err(`Note: ${warning}\n`);
  if (options.json) {
    io.out(`${JSON.stringify({ kind: "pack", study: name, ...written, versions, notes: all })}\n`);
  } else io.out(told(written));
  return exitCodes.fine;
}

function told({ file, bytes, files }: { file: string; bytes: number; files: number }): string {
  const size = (bytes / 2 ** 20).toFixed(1);
  const check = `tautline verify --pack ${JSON.stringify(file)}`;
  return `${file}: ${files} files, ${size} MB.\nCheck it with ${check}\n`;
}

/** Warnings of the look at privacy, or undefined when it stops the package. */
function privacyWarnings(root: string, data: readonly string[], io: Io) {
  const { stops, warnings } = privacyOf(root, data);
  if (stops.length === 0) return warnings;
  for (const stop of stops) io.err(`${stop}\n`);
  io.err(
    "tautline pack: nothing was written, because these data should not be shared as they are.\n",
  );
  return undefined;
}

function dayOf(
  asked: string | undefined,
  study: Study,
  notebooks: readonly PackedNotebook[],
): string {
  if (asked !== undefined) {
    const real = /^\d{4}-\d{2}-\d{2}$/.test(asked) && isDay(asked);
    if (real) return asked;
    throw new UsageError(`--date is a day such as 2025-03-01, got ${JSON.stringify(asked)}`);
  }
  const newest = newestDay(study, notebooks);
  if (newest !== undefined) return newest;
  throw new UsageError("no day is recorded in the study or its notebooks; say one with --date");
}

function isDay(text: string): boolean {
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

async function packageOf(input: PackInput) {
  const { root, name, study, notebooks, data } = input;
  const library = packedLibrary(name);
  const records = readFiles(root, [...data, ...notebooks.map(({ path }) => path)]);
  const credits = creditsIn(root, name);
  const pages = await reportOf(records);
  const files = new Map([...records, ...library.files, ...pages]);
  const notes = [...creditNotes(credits, name), ...libraryNotes(library.unbuilt)];
  return { ...withDescriptions(input, files, credits, library.version, study), notes };
}

function creditsIn(root: string, name: string): Credits {
  return creditsOf(JSON.parse(readFileSync(join(root, "data", name, descriptorName), "utf8")));
}

function creditNotes({ contributors, licences }: Credits, name: string): string[] {
  const place = `data/${name}/${descriptorName}`;
  return [
    ...(contributors.length > 0 ? [] : [`no authors are named: add contributors to ${place}`]),
    ...(licences.length > 0 ? [] : [`no licence is stated: add licenses to ${place}`]),
  ];
}

function libraryNotes(unbuilt: readonly string[]): string[] {
  if (unbuilt.length === 0) return [];
  const first = unbuilt.slice(0, 3).join(", ");
  return [`the library was changed after it was built (${first}): run npm run build, then rebuild`];
}

/** The report of exactly the notebooks that go into the package. */
async function reportOf(records: PackageFiles): Promise<Map<string, Uint8Array>> {
  const folder = privateFolder();
  try {
    writeNewFiles(folder.path, records);
    const out = join(folder.path, "out");
    await report(folder.path, out);
    const paths = readdirSync(out, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) =>
        relative(folder.path, join(entry.parentPath, entry.name)).replaceAll("\\", "/"),
      );
    return readFiles(folder.path, paths.sort());
  } finally {
    folder.remove();
  }
}

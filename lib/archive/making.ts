import { readdirSync } from "node:fs";
import { join, relative } from "node:path";
import type { Part } from "../report/context.js";
import { privateFolder, writeNewFiles } from "../workspace/private-folder.js";
import { readFiles } from "./contents.js";
import { type Credits, creditsOf } from "./credits.js";
import { type ArchiveSubject, withDescriptions } from "./descriptions.js";
import { libraryFiles } from "./library.js";
import { partsOf, programsNow } from "./program-list.js";
import type { ArchiveFiles } from "./zip.js";

/** What an archive is made from. */
export interface ArchiveInput extends ArchiveSubject {
  /** Folder of the studies. */
  readonly root: string;
  /** The study's datapackage.json, parsed: its authors and licences are credited. */
  readonly described: Readonly<Record<string, unknown>>;
  /** Data files that go into the archive, relative to the root. */
  readonly data: readonly string[];
  /** Makes the report that goes into the archive. */
  readonly makeReport: MakeReport;
}

/** Makes the report of the notebooks below a root, in the folder `out`, by the programs it names. */
export type MakeReport = (
  root: string,
  out: string,
  parts: readonly Part[],
) => Promise<{ readonly problems: readonly string[] }>;

/** An archive before it is written as one file. */
export interface ArchiveResult {
  /** Bytes of each file, by path. */
  readonly files: ArchiveFiles;
  /** Versions of the programs that made the record, by name. */
  readonly versions: Readonly<Record<string, string>>;
  /** What a person should add or correct before the archive is shared. */
  readonly notes: readonly string[];
}

/** Collects everything that an archive contains: data, notebooks, report, library, descriptions. */
export async function makeArchive(input: ArchiveInput): Promise<ArchiveResult> {
  const { root, name, notebooks, data, descriptor } = input;
  const library = libraryFiles(name);
  const records = readFiles(root, [...data, ...notebooks.map(({ path }) => path)]);
  const credits = creditsOf(input.described);
  const programs = programsNow(library.version);
  const problems: string[] = [];
  const pages = await reportOf(records, async (root, out) => {
    const made = await input.makeReport(root, out, partsOf(programs));
    problems.push(...made.problems);
  });
  const files = new Map([...records, ...library.files, ...pages]);
  return {
    files: withDescriptions(input, files, credits, programs),
    versions: Object.fromEntries(programs.map(({ name: of, version }) => [of, version])),
    notes: [...problems, ...creditNotes(credits, descriptor), ...library.notes],
  };
}

function creditNotes({ contributors, licences }: Credits, descriptor: string): string[] {
  return [
    ...(contributors.length > 0 ? [] : [`no authors are named: add contributors to ${descriptor}`]),
    ...(licences.length > 0 ? [] : [`no licence is stated: add licenses to ${descriptor}`]),
  ];
}

/** The report of exactly the notebooks that go into the archive, by the path of each file in it. */
export async function reportOf(
  records: ArchiveFiles,
  makeReport: (root: string, out: string) => Promise<unknown>,
): Promise<Map<string, Uint8Array>> {
  const folder = privateFolder();
  try {
    writeNewFiles(folder.path, records);
    const out = join(folder.path, "out");
    await makeReport(folder.path, out);
    const paths = readdirSync(out, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && !entry.name.startsWith("."))
      .map((entry) =>
        relative(folder.path, join(entry.parentPath, entry.name)).replaceAll("\\", "/"),
      );
    return readFiles(folder.path, paths.sort());
  } finally {
    folder.remove();
  }
}

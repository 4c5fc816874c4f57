import { readFileSync, statSync } from "node:fs";
import { inNotebookOrder } from "../workspace/notebook-files.js";
import { RequestError } from "../workspace/request-error.js";
import { crateName } from "./crate.js";
import type { CrateProgram } from "./crate-parts.js";
import {
  type ArchiveAccount,
  type ArchivedFileFault,
  archiveAccount,
  fileFaults,
  sha256,
  timeFaults,
} from "./hashes.js";
import { librarySources, libraryVersion } from "./library.js";
import { programsNow } from "./program-list.js";
import { ArchiveFault, archiveLimits, readArchive } from "./reading.js";
import type { ArchiveFiles } from "./zip.js";

/** A program whose version differs from the one that the archive was made with. */
export interface OtherProgram {
  /** Name of the program. */
  readonly name: string;
  /** Version that made the archive. */
  readonly archived: string;
  /** Version that is installed here. */
  readonly here: string;
}

/** An archive that was read and compared with its own list of files; nothing was run. */
export interface CheckedArchive {
  /** SHA-256 of the archive, hexadecimal. */
  readonly sha256: string;
  /** Bytes of each file, by path. */
  readonly files: ArchiveFiles;
  /** Paths of the files that the archive lists. */
  readonly listed: readonly string[];
  /** Files that differ from the list; empty when the archive is as it was made. */
  readonly faults: readonly ArchivedFileFault[];
  /** Notebooks that can be run, in the order of the list. */
  readonly notebooks: readonly string[];
  /** The programs that the archive was made with, as it names them. */
  readonly programs: readonly CrateProgram[];
  /** Programs that are installed here in another version. */
  readonly others: readonly OtherProgram[];
}

/** Only what a run needs is unpacked; the library is the one that is installed here. */
const neededToRun = /^(?:data\/|notebooks\/|package\.json$|package-lock\.json$)/;

/**
 * Reads an archive and compares every file with its list.
 * @throws RequestError when there is no such file; ArchiveFault when it cannot be unpacked safely
 */
export function checkArchive(path: string): CheckedArchive {
  const stats = statSync(path, { throwIfNoEntry: false });
  if (!stats?.isFile()) throw new RequestError(`there is no file ${path}`);
  if (stats.size > archiveLimits.packedBytes) {
    throw new ArchiveFault("it is too large for an archive of a study");
  }
  const bytes = readFileSync(path);
  const files = readArchive(bytes);
  refuseIncomplete(files);
  const account = archiveAccount(files);
  return {
    sha256: sha256(bytes),
    files,
    listed: account.listed,
    faults: [...fileFaults(files, account), ...timeFaults(bytes, account)],
    notebooks: inNotebookOrder(
      account.listed.filter((name) => name.endsWith(".ipynb") && neededToRun.test(name)),
    ),
    programs: archivedPrograms(account),
    others: [...otherPrograms(account), ...otherSources(files)],
  };
}

/** What an archive needs is looked for in it and nowhere else. */
function refuseIncomplete(files: ArchiveFiles): void {
  const paths = [...files.keys()];
  const missing = [
    ...(paths.includes("package.json") ? [] : ["no package.json"]),
    ...(paths.some((path) => path.startsWith("data/")) ? [] : ["no data/"]),
  ];
  if (missing.length === 0 || !files.has(crateName)) return;
  throw new ArchiveFault(`it has ${missing.join(" and ")}, so its notebooks cannot run`);
}

/** The files of an archive that its notebooks need. */
export function filesToRun({ files }: CheckedArchive): Map<string, Uint8Array> {
  return new Map([...files].filter(([path]) => neededToRun.test(path)));
}

function archivedVersions({ entities }: ArchiveAccount): Map<string, string> {
  const programs = [...entities.values()].filter((entity) =>
    [entity["@type"]].flat().includes("SoftwareApplication"),
  );
  return new Map(programs.map(({ name, version }) => [String(name), String(version)]));
}

/** The programs that make a record, each in the version that the archive names. */
function archivedPrograms(account: ArchiveAccount): CrateProgram[] {
  const archived = archivedVersions(account);
  return programsNow(libraryVersion()).map((program) => ({
    ...program,
    version: archived.get(program.name) ?? program.version,
  }));
}

/** Programs that the archive names in another version than the one that runs here. */
function otherPrograms(account: ArchiveAccount): OtherProgram[] {
  const archived = archivedVersions(account);
  return programsNow(libraryVersion()).flatMap(({ name, version }) => {
    const before = archived.get(name);
    if (before === undefined || before === version) return [];
    return [{ name, archived: before, here: version }];
  });
}

/** The library's source may differ although its version is the same. */
function otherSources(files: ArchiveFiles): OtherProgram[] {
  const digest = (sources: Iterable<readonly [string, Uint8Array]>) =>
    sha256(
      [...sources]
        .map(([path, content]) => `${path} ${sha256(content)}\n`)
        .sort()
        .join(""),
    );
  const archived = [...files]
    .filter(([path]) => path.startsWith("lib/") && path !== "lib/LICENSE")
    .map(([path, content]) => [path.slice("lib/".length), content] as const);
  const [before, now] = [digest(archived), digest(librarySources())];
  if (before === now || archived.length === 0) return [];
  return [{ name: "source of tautline", archived: before.slice(0, 12), here: now.slice(0, 12) }];
}

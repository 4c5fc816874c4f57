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
import { libraryVersion } from "./library.js";
import { libraryDifference } from "./library-form.js";
import { type OtherProgram, programsNow } from "./program-list.js";
import { ArchiveFault, archiveLimits, readArchive, strayPart } from "./reading.js";
import type { ArchiveFiles } from "./zip.js";

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
  const stray = strayPart(bytes);
  if (stray !== undefined) throw new ArchiveFault(stray);
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
    programs: programsNow(libraryVersion(), archivedVersions(account)),
    others: [...otherPrograms(account), ...libraryDifference(files)],
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

/** Programs that the archive names in another version than the one that runs here. */
function otherPrograms(account: ArchiveAccount): OtherProgram[] {
  const archived = archivedVersions(account);
  return programsNow(libraryVersion()).flatMap(({ name, version }) => {
    const before = archived.get(name);
    if (before === undefined || before === version) return [];
    return [{ name, archived: before, here: version }];
  });
}

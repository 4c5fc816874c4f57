import { readFileSync, realpathSync } from "node:fs";
import { join, posix } from "node:path";
import { InputError } from "../errors.js";
import { NotebookFailure } from "../notebook/fault.js";
import type { Notebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import { chosenNotebooks } from "../workspace/notebook-files.js";
import { recordedData } from "../workspace/recording-hashes.js";
import { RequestError } from "../workspace/request-error.js";
import { RememberedRuns, reasonsToRun, surroundings } from "../workspace/run-key.js";

/** A recorded notebook that goes into an archive. */
export interface ArchivedNotebook {
  /** Path from the root. */
  readonly path: string;
  /** The notebook with its recorded outputs. */
  readonly notebook: Notebook;
  /** Data files that it read in its recorded run. */
  readonly read: readonly string[];
}

interface Candidate extends ArchivedNotebook {
  readonly text: string;
}

/**
 * The notebooks whose data are in the archive of a study: those that name the study, and those that
 * read no file besides the data of these, in whatever folder they are.
 * @param filesOf the files of a data package in data/, by the name of its folder
 * @throws RequestError when no notebook names the study; InputError when a record is out of date
 */
export function notebooksOfStudy(
  root: string,
  study: string,
  filesOf: (name: string) => Iterable<string>,
): ArchivedNotebook[] {
  const all = chosenNotebooks([], root, root).flatMap((path) => candidate(root, path));
  const naming = all.filter(({ notebook }) => studyOf(notebook) === study);
  if (naming.length === 0)
    throw new RequestError(`no notebook names the study ${JSON.stringify(study)}`);
  const inside = new Set(dataFiles(study, naming, filesOf));
  const found = all.filter(
    (one) =>
      naming.includes(one) || (one.read.length > 0 && one.read.every((path) => inside.has(path))),
  );
  refuseStale(root, found);
  return found.map(({ path, notebook, read }) => ({ path, notebook, read }));
}

function candidate(root: string, path: string): Candidate[] {
  const found = readable(root, path);
  if (!found) return [];
  const { notebook, text } = found;
  return [{ path, notebook, text, read: Object.keys(recordedData(notebook)) }];
}

function refuseStale(root: string, notebooks: readonly Candidate[]): void {
  const runs = new RememberedRuns(root);
  const around = surroundings(root);
  const stale = notebooks.flatMap(({ path, notebook, text }) => {
    const reasons = reasonsToRun(notebook, text, runs.of(path), root, around);
    return reasons.length > 0 ? [`${path} (${reasons.join("; ")})`] : [];
  });
  if (stale.length === 0) return;
  const expected = "records that are up to date; run tautline rebuild first";
  throw new InputError({ expected, got: stale.join(", "), where: "notebooks" });
}

/** A broken notebook does not concern the archive of another study. */
function readable(root: string, path: string) {
  try {
    return readNotebook(join(root, path), path);
  } catch (error) {
    if (error instanceof NotebookFailure) return undefined;
    throw error;
  }
}

function studyOf({ metadata }: Notebook): unknown {
  return (metadata.tautline as { study?: unknown } | undefined)?.study;
}

/**
 * The data that an archive needs: the study's own files, all other files that its notebooks read,
 * and every file of any other data package from which a file was read.
 * @param filesOf the files of a data package in data/, by the name of its folder; none for a folder
 *   that is no data package
 */
export function dataFiles(
  study: string,
  notebooks: readonly ArchivedNotebook[],
  filesOf: (name: string) => Iterable<string>,
): string[] {
  const read = notebooks.flatMap((notebook) => notebook.read);
  const paths = new Set(read);
  const folders = new Set([
    study,
    ...read.flatMap((path) => /^data\/([^/]+)\//.exec(path)?.[1] ?? []),
  ]);
  for (const name of folders) {
    for (const path of filesOf(name)) paths.add(`data/${name}/${path}`);
  }
  return [...paths].sort();
}

/**
 * Data files as they may leave the study: below data/, not hidden, and in truth where they seem to be.
 * @throws InputError that names every other file, with the cell that read it
 */
export function shareable(
  root: string,
  paths: readonly string[],
  notebooks: readonly ArchivedNotebook[],
): readonly string[] {
  const foreign = paths.filter((path) => !staysInData(root, path));
  if (foreign.length === 0) return paths;
  const got = foreign.map((path) => `${path} (${readerOf(path, notebooks)})`).join(", ");
  const expected = "files below data/ that are not hidden and not reached through links";
  throw new InputError({ expected, got, where: "data of the archive" });
}

function staysInData(root: string, path: string): boolean {
  const parts = path.split("/");
  if (parts[0] !== "data" || parts.some((part) => part.startsWith("."))) return false;
  const real = realpathSync(join(root, path));
  return real === join(realpathSync(root), ...parts);
}

/** Which cell read a file, as far as its name in the cell's code tells. */
function readerOf(path: string, notebooks: readonly ArchivedNotebook[]): string {
  const reader = notebooks.find(({ read }) => read.includes(path));
  if (!reader) return "named by its datapackage.json";
  const name = posix.basename(path);
  const cell = reader.notebook.cells.findIndex(({ source }) => source.includes(name));
  return cell < 0 ? `read by ${reader.path}` : `read by ${reader.path}, cell ${cell + 1}`;
}

/** The bytes of the named files, by path relative to the root. */
export function readFiles(root: string, paths: readonly string[]): Map<string, Uint8Array> {
  return new Map(paths.map((path) => [path, readFileSync(join(root, path))]));
}

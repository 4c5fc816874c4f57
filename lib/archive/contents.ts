import { readFileSync, realpathSync } from "node:fs";
import { join, posix } from "node:path";
import { InputError } from "../errors.js";
import { NotebookFailure } from "../notebook/fault.js";
import type { Notebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import { chosenNotebooks } from "../workspace/notebook-files.js";
import { RequestError } from "../workspace/request-error.js";
import { RememberedRuns, reasonsToRun, surroundings } from "../workspace/run-key.js";

/** A recorded notebook that goes into an archive. */
export interface ArchivedNotebook {
  readonly path: string;
  readonly notebook: Notebook;
  /** Data files that it read in its recorded run. */
  readonly read: readonly string[];
}

/**
 * The notebooks of a study, each with what it read in the run that its record comes from.
 * @throws RequestError when no notebook names the study; InputError when a record is out of date
 */
export function notebooksOfStudy(root: string, study: string): ArchivedNotebook[] {
  const runs = new RememberedRuns(root);
  const around = surroundings(root);
  const found: ArchivedNotebook[] = [];
  const stale: string[] = [];
  for (const path of chosenNotebooks([], root, root)) {
    const read = readable(root, path);
    if (!read || studyOf(read.notebook) !== study) continue;
    const remembered = runs.of(path);
    const reasons = reasonsToRun(read.notebook, read.text, remembered, root, around);
    if (reasons.length > 0) stale.push(`${path} (${reasons.join("; ")})`);
    const files = Object.entries(remembered?.data ?? {}).filter(([, hash]) => hash !== null);
    found.push({ path, notebook: read.notebook, read: files.map(([file]) => file) });
  }
  if (found.length === 0)
    throw new RequestError(`no notebook names the study ${JSON.stringify(study)}`);
  if (stale.length > 0) {
    const expected = "records that are up to date; run tautline rebuild first";
    throw new InputError({ expected, got: stale.join(", "), where: "notebooks" });
  }
  return found;
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

export function readFiles(root: string, paths: readonly string[]): Map<string, Uint8Array> {
  return new Map(paths.map((path) => [path, readFileSync(join(root, path))]));
}

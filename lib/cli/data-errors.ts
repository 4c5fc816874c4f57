import { join } from "node:path";
import type { Notebook } from "../notebook/nbformat.js";
import { descriptorName, isStudy } from "../study/files.js";
import { plainWords } from "./io.js";

/** A row or a file of raw data that no analysis can use until a person has put it right. */
export interface DataError {
  /** Path from the root of the repository. */
  readonly file: string;
  /** Row that a spreadsheet shows; 0 for the file as a whole. */
  readonly row: number;
  readonly column: string;
  readonly message: string;
}

/** The study that a notebook says it is about. */
export function statedStudy(notebook: Notebook): string[] {
  const { tautline } = notebook.metadata as { tautline?: { study?: unknown } };
  return typeof tautline?.study === "string" ? [`data/${tautline.study}`] : [];
}

/** Folders of data that files lie in, such as data/winter-block. */
export function dataFolders(files: Iterable<string>): string[] {
  return [...files].flatMap((path) => /^data\/[^/]+(?=\/)/.exec(path)?.[0] ?? []);
}

/**
 * Looks through the studies in these folders. A notebook goes on without the rows that cannot be
 * read, so the command has to say which they are; a folder that holds no study has none.
 */
export async function dataErrors(root: string, folders: Iterable<string>): Promise<DataError[]> {
  const studies = [...new Set(folders)]
    .sort()
    .filter((folder) => isStudy(join(root, folder, descriptorName)));
  if (studies.length === 0) return [];
  const { inspectStudy } = await import("../study/open.js");
  return studies.flatMap((folder) =>
    inspectStudy(join(root, folder))
      .issues.filter(({ severity }) => severity === "stop" || severity === "error")
      .map(({ file, row, column, message }) => {
        return { file: `${folder}/${file}`, row, column, message };
      }),
  );
}

const shown = 20;

/** The errors for a person, a line each. */
export function dataErrorText(errors: readonly DataError[]): string {
  if (errors.length === 0) return "";
  const lines = errors.slice(0, shown).map(({ file, row, column, message }) => {
    const place = [file, row > 0 ? `row ${row}` : "", column].filter((part) => part !== "");
    return `  ${plainWords(`${place.join(", ")}: ${message}`)}`;
  });
  const more = errors.length - lines.length;
  return [
    "",
    `Raw data with errors; the rows named are in no result until they are put right:`,
    ...lines,
    ...(more > 0 ? [`  and ${more} more; tautline intake lists them all`] : []),
    "",
  ].join("\n");
}

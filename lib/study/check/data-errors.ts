import { join } from "node:path";
import { descriptorName, isStudy } from "../files.js";
import { inspectStudy } from "../open.js";

/** A row or a file of raw data that no analysis can use until a person has corrected it. */
export interface DataError {
  /** Path from the root of the workspace. */
  readonly file: string;
  /** Row that a spreadsheet shows; 0 for the file as a whole. */
  readonly row: number;
  /** Name of the column; "" where the row or the file as a whole is meant. */
  readonly column: string;
  /** What is wrong and what to do, in a sentence. */
  readonly message: string;
}

/**
 * The errors in the studies of these folders, such as data/winter-block. A notebook runs without
 * the rows that cannot be read, so a reader needs the list of them. A folder that contains
 * no study has no errors.
 */
export function dataErrors(root: string, folders: Iterable<string>): DataError[] {
  return [...new Set(folders)]
    .sort()
    .filter((folder) => isStudy(join(root, folder, descriptorName)))
    .flatMap((folder) =>
      inspectStudy(join(root, folder))
        .issues.filter(({ severity }) => severity === "stop" || severity === "error")
        .map(({ file, row, column, message }) => {
          return { file: `${folder}/${file}`, row, column, message };
        }),
    );
}

import type { DataError } from "../study/check/data-errors.js";
import { plainWords } from "./io.js";

/** The errors in the data of these folders. The reader of studies is loaded only when called. */
export async function errorsIn(root: string, folders: readonly string[]): Promise<DataError[]> {
  if (folders.length === 0) return [];
  const { dataErrors } = await import("../study/check/data-errors.js");
  return dataErrors(root, folders);
}

const shown = 20;

/** The errors for a person, one per line. */
export function dataErrorText(errors: readonly DataError[]): string {
  if (errors.length === 0) return "";
  const lines = errors.slice(0, shown).map(({ file, row, column, message }) => {
    const place = [file, row > 0 ? `row ${row}` : "", column].filter((part) => part !== "");
    return `  ${plainWords(`${place.join(", ")}: ${message}`)}`;
  });
  const more = errors.length - lines.length;
  return [
    "",
    "Errors in the raw data. No result includes these rows until they are corrected:",
    ...lines,
    ...(more > 0 ? [`  and ${more} more; tautline check lists them all`] : []),
    "",
  ].join("\n");
}

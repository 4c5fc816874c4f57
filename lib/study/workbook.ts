import type { IssueLog } from "./log.js";
import type { Resource } from "./resource.js";
import type { Sheet } from "./sheet.js";

/** Workbooks are zip files; no text file begins with these bytes. */
export function isWorkbook(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;
}

export interface WorkbookPlace {
  readonly file: string;
  readonly dialect: NonNullable<Resource["dialect"]>;
}

/** Reads one sheet of a workbook. */
export function readWorkbook(
  _bytes: Uint8Array,
  { file }: WorkbookPlace,
  log: IssueLog,
): Sheet | null {
  log.add({ file, code: "file-unreadable", value: "a workbook", expected: "delimited text" });
  return null;
}

import type { Resource } from "../package/resource.js";
import { fileLabel } from "../package/resource.js";
import { readCsv } from "./csv.js";
import type { IssueLog } from "./issue-log.js";
import type { Sheet } from "./sheet.js";
import { decodeText, knownEncoding } from "./text.js";
import { isOldWorkbook, isWorkbook, readWorkbook } from "./workbook.js";

/** Reads a file as a sheet, whatever its format and encoding. Null when it cannot be; the log says why. */
export function readSheet(resource: Resource, bytes: Uint8Array, log: IssueLog): Sheet | null {
  const { dialect = {} } = resource;
  const file = fileLabel(resource);
  if (isWorkbook(bytes)) return readWorkbook(bytes, { file, dialect }, log);
  if (isOldWorkbook(bytes)) {
    log.add({ file, code: "file-unreadable", value: "an old workbook", expected: "CSV or .xlsx" });
    return null;
  }
  const { encoding: declared } = resource;
  if (declared !== undefined && knownEncoding(declared) === undefined) {
    const expected = "utf-8, utf-16 or windows-1252";
    log.add({ file, code: "file-unreadable", value: `declared as ${declared}`, expected });
    return null;
  }
  const text = decodeText(bytes, declared);
  if (text.guessed) log.add({ file, code: "encoding-said", value: text.encoding });
  const { delimiter, headerRows } = dialect;
  const result = readCsv(text.bytes, { delimiter, headerRows });
  if (result.kind === "refused") {
    const { code, expected, got } = result.refusal;
    log.add({ file, code, expected, value: code === "header-missing" ? "" : got });
    return null;
  }
  return result.sheet;
}

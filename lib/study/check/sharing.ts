import { join } from "node:path";
import type { ColumnTable } from "arquero";
import { descriptorName } from "../files.js";
import { inspectStudy } from "../open.js";
import { isRecord } from "../package/json.js";
import { readDescriptor } from "../package/read-descriptor.js";
import type { Study } from "../study.js";
import { personalHeader } from "./privacy.js";
import { smallCells } from "./small-cells.js";
import { decodeText } from "./text.js";

/** What has to be decided before data are shared. */
export interface SharingCheck {
  /** Reasons not to share the data as they are. */
  readonly stops: readonly string[];
  /** What a person should consider before sharing. */
  readonly warnings: readonly string[];
}

/**
 * Checks data files for what should not be shared: personal data and unreadable studies stop the
 * sharing; groups of fewer than five people, free text and rows with errors are reported.
 * @param root of the workspace
 * @param files that would be shared, relative to the root
 * @param bytesOf reads one of these files
 */
export function sharingCheck(
  root: string,
  files: readonly string[],
  bytesOf: (path: string) => Uint8Array,
): SharingCheck {
  const studies = files
    .filter((path) => path.endsWith(`/${descriptorName}`) && describesStudy(bytesOf(path)))
    .map((path) => path.slice(0, -descriptorName.length - 1));
  const checks = studies.map((folder) => studyCheck(root, folder));
  const loose = files.filter((path) => !studies.some((folder) => path.startsWith(`${folder}/`)));
  return {
    stops: [
      ...checks.flatMap(({ stops }) => stops),
      ...loose.flatMap((path) => headerStops(path, bytesOf)),
    ],
    warnings: checks.flatMap(({ warnings }) => warnings),
  };
}

/** A descriptor that is not JSON counts as a study: its check then says what is wrong. */
function describesStudy(bytes: Uint8Array): boolean {
  try {
    const descriptor = readDescriptor(bytes);
    return isRecord(descriptor) && descriptor.study !== undefined;
  } catch {
    return true;
  }
}

function studyCheck(root: string, folder: string): SharingCheck {
  const { study, issues } = inspectStudy(join(root, folder));
  const stops = issues
    .filter(({ severity }) => severity === "stop")
    .map(({ file, column, message }) => `${folder}/${file}${column && `, ${column}`}: ${message}`);
  const errors = issues.filter(({ severity }) => severity === "error").length;
  const faulty = errors > 0 ? [`${folder}: ${errors} errors in the data; see tautline check`] : [];
  return {
    stops,
    warnings: study ? [...faulty, ...smallGroups(study), ...freeText(study)] : faulty,
  };
}

/** Only the smallest groups are named: there are often a dozen. */
function smallGroups(study: Study): string[] {
  const { cells, fewerThan } = smallCells(study);
  if (cells.length === 0) return [];
  const shown = cells.slice(0, 3).map(({ shares, people }) => {
    const what = Object.entries(shares).map(
      ([name, value]) => `${name.replace("_", " ")} ${value}`,
    );
    return `${what.join(", ")} (${people})`;
  });
  const more = cells.length > shown.length ? ` and ${cells.length - shown.length} more` : "";
  return [
    `fewer than ${fewerThan} people share ${shown.join("; ")}${more}, so a person who knows them could recognise them. Consider wider groups, or leave a column out`,
  ];
}

/** Notes were typed by people about people. */
function freeText(study: Study): string[] {
  const count = [study.allGripTrials, study.allSwingTrials, study.trainingLog]
    .map(notesIn)
    .reduce((sum, notes) => sum + notes, 0);
  if (count === 0) return [];
  const rows = count === 1 ? "one row has a note" : `${count} rows have notes`;
  return [`${rows} in free text: check them for names and for details that identify a person`];
}

function notesIn(table: ColumnTable): number {
  if (!table.columnNames().includes("note")) return 0;
  return (table.array("note") as unknown[]).filter((note) => note !== null && note !== "").length;
}

/** A file outside a study has no dictionary, so its header is checked. */
function headerStops(path: string, bytesOf: (path: string) => Uint8Array): string[] {
  if (!path.endsWith(".csv")) return [];
  const lines = new TextDecoder().decode(decodeText(bytesOf(path)).bytes).split(/\r?\n/);
  const header = lines.find((line) => line !== "" && !line.startsWith("#")) ?? "";
  const names = header.replace(/^\ufeff/, "").split(/[,;\t]/);
  return names
    .map((name) => name.replace(/^"|"$/g, ""))
    .flatMap((name) => {
      const what = personalHeader(name);
      return what ? [`${path}: the column "${name}" looks like ${what}`] : [];
    });
}

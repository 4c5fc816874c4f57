import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { ColumnTable } from "arquero";
import { personalHeader } from "../study/check/privacy.js";
import { smallCells } from "../study/check/small-cells.js";
import { descriptorName } from "../study/files.js";
import { inspectStudy } from "../study/open.js";
import type { Study } from "../study/study.js";

/** What a look at the data says before they are shared. */
export interface PrivacyCheck {
  /** Reasons not to share them as they are. */
  readonly stops: readonly string[];
  /** What a person should think of first. */
  readonly warnings: readonly string[];
}

/**
 * Looks at everything that a package would share: personal data and unreadable studies stop it;
 * groups of fewer than five people, free text and faulty rows are told.
 * @param root of the study repository
 * @param files that would be shared, relative to the root
 */
export function privacyOf(root: string, files: readonly string[]): PrivacyCheck {
  const folders = new Set(files.flatMap((path) => /^data\/[^/]+(?=\/)/.exec(path) ?? []));
  const studies = [...folders].filter((folder) => isStudy(join(root, folder)));
  const checks = studies.map((folder) => studyCheck(root, folder));
  const loose = files.filter((path) => !studies.some((folder) => path.startsWith(`${folder}/`)));
  return {
    stops: [
      ...checks.flatMap(({ stops }) => stops),
      ...loose.flatMap((path) => headerStops(root, path)),
    ],
    warnings: checks.flatMap(({ warnings }) => warnings),
  };
}

function isStudy(folder: string): boolean {
  const path = join(folder, descriptorName);
  if (!existsSync(path)) return false;
  try {
    return JSON.parse(readFileSync(path, "utf8"))?.study !== undefined;
  } catch {
    return true; // the intake says what is wrong with it
  }
}

function studyCheck(root: string, folder: string): PrivacyCheck {
  const { study, issues } = inspectStudy(join(root, folder));
  const stops = issues
    .filter(({ severity }) => severity === "stop")
    .map(({ file, column, message }) => `${folder}/${file}${column && `, ${column}`}: ${message}`);
  const errors = issues.filter(({ severity }) => severity === "error").length;
  const faulty = errors > 0 ? [`${folder}: ${errors} errors in the data; see tautline intake`] : [];
  return {
    stops,
    warnings: study ? [...faulty, ...smallGroups(study), ...freeText(study)] : faulty,
  };
}

/** The smallest groups stand for all: there are often a dozen. */
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
    `fewer than ${fewerThan} people share ${shown.join("; ")}${more}: somebody who knows them could recognise them. Think of wider groups, or of leaving a column out`,
  ];
}

/** Notes were typed by people about people. */
function freeText(study: Study): string[] {
  const count = [study.allGripTrials, study.allSwingTrials, study.trainingLog]
    .map(notesIn)
    .reduce((sum, notes) => sum + notes, 0);
  if (count === 0) return [];
  const rows = count === 1 ? "one row has a note" : `${count} rows have notes`;
  return [`${rows} in free words: read them for names and for what only one person did`];
}

function notesIn(table: ColumnTable): number {
  if (!table.columnNames().includes("note")) return 0;
  return (table.array("note") as unknown[]).filter((note) => note !== null && note !== "").length;
}

/** A file outside of a study has no dictionary; its header is looked at. */
function headerStops(root: string, path: string): string[] {
  if (!path.endsWith(".csv")) return [];
  const lines = readFileSync(join(root, path), "utf8").split(/\r?\n/);
  const header = lines.find((line) => line !== "" && !line.startsWith("#")) ?? "";
  const names = header.replace(/^\ufeff/, "").split(/[,;\t]/);
  return names
    .map((name) => name.replace(/^"|"$/g, ""))
    .flatMap((name) => {
      const what = personalHeader(name);
      return what ? [`${path}: the column "${name}" looks like ${what}`] : [];
    });
}

import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { accountOf, setAsidesOf } from "./check/account.js";
import { assembleStudy } from "./check/assemble.js";
import { dataFile } from "./check/data-file.js";
import { IssueLog } from "./check/issue-log.js";
import { joinedRows } from "./check/joined-rows.js";
import type { Rows } from "./check/rows.js";
import { readRows } from "./check/rows-reading.js";
import { descriptorName, readStudyFiles, type StudyFiles } from "./files.js";
import type { ResourceName } from "./package/dictionary.js";
import type { StudyPackage } from "./package/package.js";
import { readPackage } from "./package/package.js";
import { readDescriptor } from "./package/read-descriptor.js";
import { namesElsewhere } from "./package/resource.js";
import type { Inspection, Study } from "./study.js";

/**
 * Reads a study by its name (`data/<name>`, looked for in the working directory and above it) or by
 * the path of its folder: datapackage.json and the files it names, checked row by row.
 *
 * Rows that cannot be used are set aside with a reason and listed in `setAside` and `issues`; the
 * tables hold the rows in use. Values keep their own unit and stand beside it in kgf, m/s and mph;
 * hands are identified by their place on the club, lead or trail.
 * @param nameOrPath "winter-block", or a path with a slash
 * @returns the study as arquero tables with its design, plan, issues, set-asides and row account
 * @throws InputError when there is no such study, or when its check ends with a stop: a
 *   file missing, a column missing, personal data. Use `inspectStudy` to get such issues as records
 * @see https://datapackage.org/standard/data-package/
 * @example openStudy("coach-nine").participants.totalRows() // 9
 */
export function openStudy(nameOrPath: string): Study {
  const { study, issues } = inspectStudy(nameOrPath);
  if (study) return study;
  const stops = issues.filter(({ severity }) => severity === "stop");
  const { file, row, column, message } = itemAt(stops, 0);
  const place = [file, row > 0 ? `row ${row}` : "", column].filter((part) => part !== "");
  const more = stops.length > 1 ? ` (and ${stops.length - 1} more)` : "";
  throw new InputError({
    expected: "a study that can be read",
    got: `${message}${more}`,
    where: `openStudy, ${place.join(", ")}`,
  });
}

/** When a study is inspected with the day's date, dates after it are asked about. */
export interface InspectOptions {
  /** ISO date of today; without it no date counts as future. */
  readonly today?: string;
}

/**
 * Reads a study as `openStudy` does, but returns everything that was found instead of throwing.
 * @param nameOrPath the study's name or path
 * @returns the study, or null where an issue stops it, with issues, set-asides and account
 * @throws InputError when there is no such study
 * @example inspectStudy("coach-nine").account[0].used // 9
 */
export function inspectStudy(nameOrPath: string, options: InspectOptions = {}): Inspection {
  return readStudy(readStudyFiles(nameOrPath), options);
}

/**
 * Reads a study from the bytes of its files; pure, so that a page can do it too.
 * @param files bytes by path in the study's folder, datapackage.json among them
 * @returns as `inspectStudy`
 * @example readStudy({ name: "empty", files: new Map(), faults: [] }).issues[0].code // "no-package"
 */
export function readStudy(files: StudyFiles, options: InspectOptions = {}): Inspection {
  knownOptions(options, ["today"], "readStudy");
  const { today } = options;
  const log = new IssueLog();
  const { name } = files;
  const described = describedStudy(files, log);
  if (!described) return stopped(name, log, []);
  sayUnread(files, log);
  const read = readFiles(described, files, log);
  if (log.stopped) return stopped(name, log, [...read.values()]);
  const study = assembleStudy({ name, described, read, today }, log);
  const { issues, setAside, account } = study;
  return { kind: "inspection", name, study, issues, setAside, account };
}

function stopped(name: string, log: IssueLog, rows: readonly Rows[]): Inspection {
  const setAside = rows.flatMap((file) => setAsidesOf(file));
  const account = rows.flatMap(accountOf);
  return { kind: "inspection", name, study: null, issues: log.all(), setAside, account };
}

function describedStudy(files: StudyFiles, log: IssueLog): StudyPackage | null {
  const bytes = files.files.get(descriptorName);
  for (const { path: file, code, value, expected } of files.faults)
    if (file === descriptorName) log.add({ file, code, value, expected });
  if (!bytes) {
    if (!log.stopped) log.add({ file: descriptorName, code: "no-package" });
    return null;
  }
  let descriptor: unknown;
  try {
    descriptor = readDescriptor(bytes);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const { expected, got: value } = error;
    log.add({ file: descriptorName, code: "package-unreadable", value, expected });
    return null;
  }
  const result = readPackage(descriptor);
  for (const { code, where, value, expected } of [...result.faults, ...result.oddities])
    log.add({ file: descriptorName, column: where, code, value, expected });
  if (result.package && !result.package.resources.some(({ kind }) => kind === "participants")) {
    const expected = "a resource of the kind participants";
    log.add({
      file: descriptorName,
      column: "resources",
      code: "package-incomplete",
      value: "none",
      expected,
    });
    return null;
  }
  return result.package;
}

/** Files of the folder that the descriptor does not name. */
function sayUnread({ unread = [] }: StudyFiles, log: IssueLog): void {
  const others = unread.filter((path) => !dataFile.test(path));
  for (const file of unread) if (dataFile.test(file)) log.add({ file, code: "file-unread" });
  if (others.length > 0)
    log.add({ file: descriptorName, code: "files-other", value: others.join(", ") });
}

function readFiles(
  { resources }: StudyPackage,
  { files, faults }: StudyFiles,
  log: IssueLog,
): Map<ResourceName, Rows> {
  const read = new Map<ResourceName, Rows[]>();
  for (const resource of resources) {
    const bytes = files.get(resource.path);
    if (bytes) {
      const rows = readRows(
        resource,
        { bytes, elsewhere: namesElsewhere(resource, resources) },
        log,
      );
      const earlier = read.get(resource.kind);
      if (rows && earlier) earlier.push(rows);
      else if (rows) read.set(resource.kind, [rows]);
      continue;
    }
    const fault = faults.find(({ path }) => path === resource.path);
    const { code = "file-missing" as const, value = "", expected = "" } = fault ?? {};
    log.add({ file: resource.path, code, value, expected });
  }
  return new Map([...read].map(([kind, rows]) => [kind, joinedRows(rows)]));
}

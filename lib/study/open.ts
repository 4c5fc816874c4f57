import { InputError } from "../errors.js";
import { accountOf, setAsidesOf } from "./account.js";
import type { Column } from "./columns.js";
import { CodedValues, keepRows, tableOf } from "./columns.js";
import { applyDecisions } from "./decisions.js";
import type { ResourceName } from "./dictionary.js";
import { dictionary } from "./dictionary.js";
import { descriptorName, readStudyFiles, type StudyFiles } from "./files.js";
import type { Rows } from "./intake.js";
import { numberAt, readRows, textAt } from "./intake.js";
import { IssueLog } from "./log.js";
import type { StudyPackage } from "./package.js";
import { readPackage } from "./package.js";
import type { People } from "./people.js";
import { readPeople } from "./people.js";
import { leaveOutRepeats } from "./repeats.js";
import type { Inspection, Study } from "./study.js";
import { decodeText } from "./text.js";
import type { Trials } from "./trials.js";
import { gripKind, readTrials, swingKind, trialColumns } from "./trials.js";

/**
 * Reads a study by its name (`data/<name>`, looked for in the working directory and above it) or by
 * the path of its folder: datapackage.json and the files it names, checked row by row.
 *
 * Rows that cannot be used are set aside with a reason and listed in `setAside` and `issues`; the
 * tables hold the rows in use. Values keep their own unit and stand beside it in kgf, m/s and mph;
 * hands are told by their place on the club, lead or trail.
 * @param nameOrPath "winter-block", or a path with a slash
 * @returns the study as arquero tables with its design, plan, issues, set-asides and row account
 * @throws InputError when there is no such study, or when something stops its intake as a whole: a
 *   file missing, a column missing, personal data. Use `inspectStudy` to get such issues as records
 */
export function openStudy(nameOrPath: string): Study {
  const { study, issues } = inspectStudy(nameOrPath);
  if (study) return study;
  const stops = issues.filter(({ severity }) => severity === "stop");
  const { file, row, column, message } = stops[0]!;
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
 * @throws InputError when there is no such study
 */
export function inspectStudy(nameOrPath: string, options: InspectOptions = {}): Inspection {
  return readStudy(readStudyFiles(nameOrPath), options);
}

/** Reads a study from the bytes of its files; pure, so that a page can do it too. */
export function readStudy(files: StudyFiles, _options: InspectOptions = {}): Inspection {
  const log = new IssueLog();
  const described = readDescriptor(files, log);
  if (!described) return inspection(files.name, null, log, []);
  const read = readFiles(described, files, log);
  if (log.stopped || !read.has("participants"))
    return inspection(files.name, null, log, [...read.values()]);
  return assembled(files.name, described, read, log);
}

function inspection(
  name: string,
  study: Study | null,
  log: IssueLog,
  rows: readonly Rows[],
): Inspection {
  const account = rows.map(accountOf);
  const setAside = rows.flatMap((one) => setAsidesOf(one));
  return { kind: "inspection", name, study, issues: log.all(), setAside, account };
}

function readDescriptor(files: StudyFiles, log: IssueLog): StudyPackage | null {
  const bytes = files.files.get(descriptorName);
  for (const { path: file, code, value, expected } of files.faults)
    if (file === descriptorName) log.add({ file, code, value, expected });
  if (!bytes) {
    if (!log.stopped) log.add({ file: descriptorName, code: "no-package" });
    return null;
  }
  const result = readPackage(new TextDecoder().decode(decodeText(bytes).bytes));
  for (const { code, where, value, expected } of result.faults)
    log.add({ file: descriptorName, column: where, code, value, expected });
  if (result.package && !result.package.resources.some(({ name }) => name === "participants")) {
    const expected = "a resource called participants";
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

function readFiles(
  { resources }: StudyPackage,
  { files, faults }: StudyFiles,
  log: IssueLog,
): Map<ResourceName, Rows> {
  const read = new Map<ResourceName, Rows>();
  for (const resource of resources) {
    const bytes = files.get(resource.path);
    if (bytes) {
      const rows = readRows(resource, bytes, log);
      if (rows) read.set(resource.name, rows);
      continue;
    }
    const fault = faults.find(({ path }) => path === resource.path);
    const { code = "file-missing" as const, value = "", expected = "" } = fault ?? {};
    log.add({ file: resource.path, code, value, expected });
  }
  return read;
}

function assembled(
  name: string,
  { title, study: record }: StudyPackage,
  read: ReadonlyMap<ResourceName, Rows>,
  log: IssueLog,
): Inspection {
  const { design } = record;
  const people = readPeople(read.get("participants")!, design, log);
  const context = { people, design };
  const grip = read.has("grip-trials")
    ? readTrials(read.get("grip-trials")!, gripKind, context, log)
    : null;
  const swings = read.has("swing-trials")
    ? readTrials(read.get("swing-trials")!, swingKind, context, log)
    : null;
  const trials = [grip, swings].filter((one) => one !== null);
  const decisions = read.get("set-aside");
  const occasions = design.occasions.map(({ id }) => id);
  if (decisions) applyDecisions(decisions, { people, occasions, trials }, log);
  for (const one of trials) leaveOutRepeats(one, people.ids.length, log);
  const log_ = read.get("training-log");
  if (log_) leaveOutUnknown(log_, people, log);
  const rows = [...read.values()];
  const setAside = rows.flatMap((one) =>
    setAsidesOf(
      one,
      trials.find((t) => t.rows === one),
    ),
  );
  const account = rows.map(accountOf);
  const allGripTrials = allTrials(grip, "grip-trials", context);
  const allSwingTrials = allTrials(swings, "swing-trials", context);
  const study: Study = Object.freeze({
    kind: "study",
    name,
    title: record.title || title,
    simulated: record.simulated,
    question: record.question ?? "",
    design,
    plan: record.plan,
    cautions: record.cautions,
    changes: record.changes,
    participants: people.table,
    gripTrials: usedRows(allGripTrials, grip),
    swingTrials: usedRows(allSwingTrials, swings),
    trainingLog: otherTable("training-log", log_, people),
    swingGrip: otherTable("swing-grip", read.get("swing-grip"), people),
    calibration: otherTable("calibration", read.get("calibration"), people),
    allGripTrials,
    allSwingTrials,
    issues: log.all(),
    setAside,
    account,
    files: [descriptorName, ...rows.map(({ file }) => file)],
  });
  return { kind: "inspection", name, study, issues: study.issues, setAside, account };
}

function leaveOutUnknown(rows: Rows, people: People, log: IssueLog): void {
  for (let i = 0; i < rows.rowCount; i++) {
    const id = textAt(rows, "participant", i);
    if (id === null || people.placeOf.has(id)) continue;
    const where = { file: rows.file, row: rows.fileRow(i), column: "participant" };
    log.add({ ...where, code: "participant-unknown", value: id });
    rows.fates.leaveOut(i, "participant unknown", "error");
  }
}

interface Context {
  readonly people: People;
  readonly design: StudyPackage["study"]["design"];
}

function allTrials(trials: Trials | null, resource: ResourceName, context: Context) {
  if (!trials) return tableOf(emptyColumns(resource));
  const { fates } = trials.rows;
  const reasons = ["", ...fates.reasons.map(({ reason }) => reason)];
  const by = ["", ...fates.reasons.map(({ by: who }) => who)];
  return tableOf({
    ...trialColumns(trials, context),
    used: new CodedValues(fates.codes, [true, ...fates.reasons.map(() => false)]),
    left_out: new CodedValues(fates.codes, reasons),
    left_out_by: new CodedValues(fates.codes, by),
  });
}

function usedRows(all: ReturnType<typeof tableOf>, trials: Trials | null) {
  const columns = all.columnNames().filter((name) => !/^(used|left_out)/.test(name));
  const part = tableOf(
    Object.fromEntries(columns.map((name) => [name, all.column(name) as Column])),
  );
  if (!trials || trials.rows.fates.reasons.length === 0) return part;
  const { codes } = trials.rows.fates;
  return keepRows(part, (row) => codes[row] === 0);
}

function emptyColumns(resource: ResourceName): Record<string, Column> {
  return Object.fromEntries(dictionary[resource].map(({ name }) => [name, []]));
}

/** The used rows of a file that holds no trials, with the arm beside the participant. */
function otherTable(resource: ResourceName, rows: Rows | undefined, people: People) {
  if (!rows) return tableOf(emptyColumns(resource));
  const kept = Array.from({ length: rows.rowCount }, (_, i) => i).filter((i) => rows.fates.used(i));
  const columns: [string, Column][] = rows.resource.fields
    .filter(({ name }) => rows.columns.has(name))
    .map(({ name, type }) => {
      if (type !== "number" && type !== "integer")
        return [name, kept.map((i) => textAt(rows, name, i))];
      return [name, Float64Array.from(kept, (i) => numberAt(rows, name, i))];
    });
  if (rows.columns.has("participant"))
    columns.splice(1, 0, ["arm", kept.map((i) => armOf(people, textAt(rows, "participant", i)!))]);
  return tableOf(Object.fromEntries(columns));
}

function armOf({ placeOf, arms }: People, id: string): string {
  return arms[placeOf.get(id)!]!;
}

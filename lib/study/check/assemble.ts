import { present } from "../../entry.js";
import { frozen } from "../../stats/estimate.js";
import { descriptorName } from "../files.js";
import type { ResourceName } from "../package/dictionary.js";
import type { StudyPackage } from "../package/package.js";
import type { Study } from "../study.js";
import type {
  CalibrationRow,
  GripTrialRow,
  SwingGripRow,
  SwingTrialRow,
  TrainingRow,
} from "../tables/table-rows.js";
import { recordTable, trialTable, usedTrials } from "../tables/trial-tables.js";
import { visitsOf } from "../tables/visits.js";
import { accountOf, setAsidesOf } from "./account.js";
import type { CalibrationLine } from "./calibration.js";
import { checkCalibration, correctByCalibration } from "./calibration.js";
import { checkFuture, checkHandWords, checkPeople, checkRules } from "./checks-people.js";
import { checkProtocol } from "./checks-protocol.js";
import { checkValues } from "./checks-values.js";
import { checkCompleteness } from "./completeness.js";
import type { IssueLog } from "./issue-log.js";
import type { People } from "./people.js";
import { readPeople } from "./people.js";
import { leaveOutRepeats } from "./repeats.js";
import type { Rows } from "./rows.js";
import { textAt } from "./rows.js";
import { applySetAsides } from "./set-aside.js";
import { StrangeValues } from "./strange-values.js";
import type { TrialKind } from "./trial-kinds.js";
import { gripKind, swingGripKind, swingKind } from "./trial-kinds.js";
import type { Trials } from "./trials.js";
import { readTrials } from "./trials.js";

/** The files of a study, read row by row, and what they are compared with. */
export interface Material {
  /** Name of the study's folder. */
  readonly name: string;
  /** The descriptor, read and typed. */
  readonly described: StudyPackage;
  /** The files that were read, by resource. */
  readonly read: ReadonlyMap<ResourceName, Rows>;
  /** Today's date, ISO, for dates that lie in the future; left out, none is taken for future. */
  readonly today?: string | undefined;
}

/** Joins the files of a study: who is who, which trials count, what looks wrong. */
export function assembleStudy(material: Material, log: IssueLog): Study {
  const { name, described, read } = material;
  const { design, plan, title, simulated, question = "", cautions, changes } = described.study;
  const people = readPeople(present(read.get("participants")), design, log);
  const calibration = read.get("calibration");
  const lines = calibration ? checkCalibration(calibration, log) : [];
  const { grip, swings, swingGrip } = readAll(material, { people, lines }, log);
  const trainingLog = read.get("training-log");
  if (trainingLog) leaveOutUnknown(trainingLog, people, log);
  const trials = [grip, swings, swingGrip].filter((one) => one !== null);
  settle(material, { people, trials }, log);
  const main = [grip, swings].filter((one) => one !== null);
  check(material, { people, trials: main }, log);
  const context = { people, design };
  const rows = [...read.values()];
  const allGripTrials = trialTable<GripTrialRow>(grip, "grip-trials", context);
  const allSwingTrials = trialTable<SwingTrialRow>(swings, "swing-trials", context);
  return Object.freeze({
    kind: "study",
    name,
    title: title || described.title,
    simulated,
    question,
    design,
    plan,
    cautions,
    changes,
    participants: people.table,
    gripTrials: usedTrials(allGripTrials, grip),
    swingTrials: usedTrials(allSwingTrials, swings),
    trainingLog: recordTable<TrainingRow>("training-log", trainingLog, people),
    swingGrip: usedTrials(trialTable<SwingGripRow>(swingGrip, "swing-grip", context), swingGrip),
    calibration: recordTable<CalibrationRow>("calibration", calibration, people),
    calibrationLines: lines,
    allGripTrials,
    allSwingTrials,
    issues: log.all(),
    setAside: Object.freeze(rows.flatMap((one) => setAsidesOf(one, trialsOf(one, trials)))),
    account: frozen(rows.flatMap(accountOf)),
    files: frozen([
      descriptorName,
      ...new Set(rows.flatMap(({ parts }) => parts.map(({ resource }) => resource.path))),
    ]),
  });
}

function trialsOf(rows: Rows, trials: readonly Trials[]): Trials | undefined {
  return trials.find((one) => one.rows === rows);
}

interface Known {
  readonly people: People;
  readonly lines: readonly CalibrationLine[];
}

function readAll({ read, described }: Material, { people, lines }: Known, log: IssueLog) {
  const { design, plan } = described.study;
  const trialsOf = (resource: ResourceName, kind: TrialKind) => {
    const rows = read.get(resource);
    return rows ? readTrials(rows, kind, { people, design }, log) : null;
  };
  const grip = trialsOf("grip-trials", gripKind);
  if (grip && plan.calibration === "correct") correctByCalibration(grip, lines, log);
  const swings = trialsOf("swing-trials", swingKind);
  return { grip, swings, swingGrip: trialsOf("swing-grip", swingGripKind) };
}

interface Joined {
  readonly people: People;
  readonly trials: readonly Trials[];
}

/** The set-aside file first, so that a set-aside can settle which of two repeats counts. */
function settle({ read, described }: Material, { people, trials }: Joined, log: IssueLog): void {
  const setAsides = read.get("set-aside");
  const occasions = described.study.design.occasions.map(({ id }) => id);
  if (setAsides) applySetAsides(setAsides, { people, occasions, trials }, log);
  for (const one of trials) leaveOutRepeats(one, people.ids.length, log);
}

function check(
  { read, described, today }: Material,
  { people, trials }: Joined,
  log: IssueLog,
): void {
  const { design, plan } = described.study;
  const visits = trials.map((one) => visitsOf(one, people.ids.length, design.occasions.length));
  checkCompleteness(trials, { people, design }, log);
  for (const one of visits) {
    checkValues(one, people, log);
    checkProtocol(one, design, log);
    checkHandWords(one.trials, log);
  }
  checkPeople(visits, { people, participants: present(read.get("participants")), design }, log);
  if (today !== undefined) checkFuture([...read.values()], today, log);
  checkRules(plan, descriptorName, log);
}

function leaveOutUnknown(rows: Rows, people: People, log: IssueLog): void {
  const strange = new StrangeValues(rows, present(rows.columns.get("participant")));
  for (let i = 0; i < rows.rowCount; i++) {
    const id = textAt(rows, "participant", i);
    if (id === null || people.placeOf.has(id)) continue;
    if (!people.refused.has(id)) strange.count(i);
    rows.fates.leaveOut(i, "participant unknown", "error");
  }
  const known = people.ids;
  strange.report({ code: "participant-unknown", known, expected: "a known code" }, log);
}

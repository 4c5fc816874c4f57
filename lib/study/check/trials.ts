import { present, realAt, wholeAt } from "../../entry.js";
import type { StudyDesign } from "../package/design.js";
import type { IssueCode } from "./issue.js";
import type { IssueLog } from "./issue-log.js";
import { statusReasons } from "./issue-messages.js";
import type { People } from "./people.js";
import type { Rows } from "./rows.js";
import { partAt, rowPlace } from "./rows.js";
import { StrangeValues } from "./strange-values.js";
import type { TrialKind } from "./trial-kinds.js";
import { canonicalValues } from "./trial-values.js";

/** Trials with their codes turned into places in the design; −1 where a row's code is unknown. */
export interface Trials {
  /** What the trials measure. */
  readonly kind: TrialKind;
  /** The rows of the file. */
  readonly rows: Rows;
  /** Place of the golfer among the participants. */
  readonly person: Int32Array;
  /** Place of the occasion in the design. */
  readonly occasion: Int32Array;
  /** 0 lead, 1 trail; 0 throughout where no hand is given. */
  readonly hand: Int32Array;
  /** Place of the position of a grip trial, or of the club of a swing. */
  readonly place: Int32Array;
  /** Ids of the positions, or names of the clubs. */
  readonly places: readonly string[];
  /** Number of the trial within its series, as the file has it. */
  readonly number: Int32Array;
  /** The value in kgf or m/s. */
  readonly canonical: Float64Array;
}

/** Resolves the rows of a trial file against participants and design, and decides each row's fate. */
export function readTrials(
  rows: Rows,
  kind: TrialKind,
  { people, design }: { people: People; design: StudyDesign },
  log: IssueLog,
): Trials {
  const { placeName } = kind;
  const planned = placeName === "position" ? design.positions.map(({ id }) => id) : design.clubs;
  const occasions = design.occasions.map(({ id }) => id);
  const places = planned.length > 0 ? planned : textsOf(rows, placeName);
  const resolve = (name: string, known: readonly string[], code: IssueCode, reason: string) =>
    resolved(rows, { name, known, code, reason }, log);
  const person = resolved(
    rows,
    {
      name: "participant",
      known: people.ids,
      code: "participant-unknown",
      reason: "participant unknown",
      settled: people.refused,
    },
    log,
  );
  const trials: Trials = {
    kind,
    rows,
    person,
    occasion: resolve("occasion", occasions, "occasion-unknown", "occasion not in the design"),
    hand: kind.handed ? handsOf(rows, person, people) : new Int32Array(rows.rowCount),
    place: resolve(placeName, places, "position-unknown", `${placeName} not in the design`),
    places,
    number: wholeNumbers(rows, kind.numberName),
    canonical: canonicalValues(rows, kind, log),
  };
  applyStatus(trials, log);
  return trials;
}

function textsOf(rows: Rows, name: string): string[] {
  const values = rows.columns.get(name)?.values ?? [];
  return [...new Set(values.filter((value): value is string => typeof value === "string"))];
}

interface Resolution {
  readonly name: string;
  readonly known: readonly string[];
  readonly code: IssueCode;
  readonly reason: string;
  /** Values that are reported elsewhere. */
  readonly settled?: ReadonlySet<string>;
}

/** Looks each different text up once, then gives every row its place. */
function resolved(
  rows: Rows,
  { name, known, code, reason, settled }: Resolution,
  log: IssueLog,
): Int32Array {
  const places = new Int32Array(rows.rowCount).fill(-1);
  const column = rows.columns.get(name);
  if (!column) return places;
  const placeOf = new Map(known.map((id, i) => [id, i]));
  const byLevel = Int32Array.from(column.values, (value) => placeOf.get(value as string) ?? -1);
  const { codes, values } = column;
  const unknown = new StrangeValues(rows, column);
  for (let i = 0; i < places.length; i++) {
    const place = wholeAt(byLevel, wholeAt(codes, i));
    places[i] = place;
    if (place >= 0 || values[wholeAt(codes, i)] === null || broughtOut(rows, i)) continue;
    if (settled?.has(String(values[wholeAt(codes, i)])))
      rows.fates.leaveOut(i, "golfer\u2019s own row cannot be used", "error");
    else {
      unknown.count(i);
      rows.fates.leaveOut(i, reason, "error");
    }
  }
  unknown.report({ code, known, expected: known.slice(0, 12).join(", ") }, log);
  return places;
}

/** A row that the mapping leaves out is not looked at. */
function broughtOut(rows: Rows, index: number): boolean {
  return rows.fates.of(index)?.by === "mapping";
}

/** The hand's place on the club: a right-sided player's lead hand is the left. */
function handsOf(rows: Rows, person: Int32Array, people: People): Int32Array {
  const hands = new Int32Array(rows.rowCount).fill(-1);
  const column = rows.columns.get("hand");
  if (!column) return hands;
  const leadSide = people.plays.map((plays) => (plays === "left" ? "right" : "left"));
  for (let i = 0; i < hands.length; i++) {
    const word = column.values[wholeAt(column.codes, i)];
    if (word === "lead") hands[i] = 0;
    else if (word === "trail") hands[i] = 1;
    else if (typeof word === "string" && wholeAt(person, i) >= 0)
      hands[i] = word === leadSide[wholeAt(person, i)] ? 0 : 1;
  }
  return hands;
}

function wholeNumbers(rows: Rows, name: string): Int32Array {
  const { codes, values } = present(rows.columns.get(name));
  const byLevel = Int32Array.from(values, (value) => (typeof value === "number" ? value : -1));
  const numbers = new Int32Array(rows.rowCount);
  for (let i = 0; i < numbers.length; i++) numbers[i] = wholeAt(byLevel, wholeAt(codes, i));
  return numbers;
}

/** A trial that is not valid is left out; a valid one must have a value. */
function applyStatus({ rows, canonical, kind }: Trials, log: IssueLog): void {
  const status = present(rows.columns.get("status"));
  const reasons = status.values.map((value) =>
    typeof value === "string" && value !== "valid" ? (statusReasons[value] ?? value) : null,
  );
  for (let i = 0; i < canonical.length; i++) {
    const reason = reasons[wholeAt(status.codes, i)] ?? null;
    if (reason !== null) rows.fates.leaveOut(i, reason, "status");
    else if (Number.isNaN(realAt(canonical, i)) && rows.fates.codes[i] === 0)
      sayNoValue(rows, i, kind, log);
  }
}

function sayNoValue(rows: Rows, index: number, kind: TrialKind, log: IssueLog): void {
  if (partAt(rows, index).wide) {
    rows.fates.leaveOut(index, "no trial: the cell is empty", "status");
    return;
  }
  const unit = present(rows.columns.get("unit"));
  const column = unit.values[wholeAt(unit.codes, index)] === null ? "unit" : kind.valueName;
  const where = { ...rowPlace(rows, index), column };
  log.add({ ...where, code: "value-needed", expected: "a value for a valid trial" });
  rows.fates.leaveOut(index, `${column} missing`, "error");
}

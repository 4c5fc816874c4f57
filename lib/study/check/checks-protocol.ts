import { itemAt, present, realAt, wholeAt } from "../../entry.js";
import type { StudyDesign } from "../package/design.js";
import type { Visits } from "../tables/visits.js";
import { rowsOfPerson, runsBy } from "../tables/visits.js";
import { FewTrials } from "./few-trials.js";
import type { IssueCode } from "./issue.js";
import type { IssueLog } from "./issue-log.js";
import type { Rows } from "./rows.js";
import { rowPlace } from "./rows.js";
import type { Trials } from "./trials.js";

/** Compares what was done with what was planned: counts, order, rest, handle and device. */
export function checkProtocol(visits: Visits, design: StudyDesign, log: IssueLog): void {
  const { trials, personStarts } = visits;
  const seconds = secondsOf(trials.rows);
  const few = new FewTrials(trials, design);
  const changes = ["handle_mm", "device"].filter((name) => varies(trials.rows, name));
  for (let person = 0; person + 1 < personStarts.length; person++) {
    const rows = rowsOfPerson(visits, person);
    for (const visit of runsBy(rows, (row) => wholeAt(trials.occasion, row))) {
      few.count(visit);
      if (seconds) checkTimes(trials, visit, { seconds, design }, log);
    }
    for (const name of changes) checkUnchanged(trials, rows, name, log);
  }
  few.report(log);
}

function say(
  { rows }: Trials,
  row: number,
  issue: { column: string; code: IssueCode; value?: string | number; expected?: string },
  log: IssueLog,
): void {
  log.add({ ...rowPlace(rows, row), ...issue });
}

/** Clock times in seconds by row, or null when the file has none. */
function secondsOf(rows: Rows): Float64Array | null {
  const column = rows.columns.get("time");
  if (!column?.values.some((value) => typeof value === "string")) return null;
  const byLevel = column.values.map((value) => {
    if (typeof value !== "string") return Number.NaN;
    const [hours = 0, minutes = 0, seconds = 0] = value.split(":").map(Number);
    return hours * 3600 + minutes * 60 + seconds;
  });
  const seconds = new Float64Array(rows.rowCount);
  for (let i = 0; i < seconds.length; i++) seconds[i] = itemAt(byLevel, wholeAt(column.codes, i));
  return seconds;
}

interface Timing {
  readonly seconds: Float64Array;
  readonly design: StudyDesign;
}

/** Trials of one visit in the order of the clock, day by day. */
function checkTimes(trials: Trials, visit: Int32Array, timing: Timing, log: IssueLog): void {
  const { rows } = trials;
  const dates = rows.columns.get("date");
  const dayOf = (row: number) => (dates ? wholeAt(dates.codes, row) : 0);
  const days = new Set(Array.from(visit, dayOf));
  for (const day of days) {
    const timed = visit.filter(
      (row) => dayOf(row) === day && !Number.isNaN(realAt(timing.seconds, row)),
    );
    timed.sort((a, b) => realAt(timing.seconds, a) - realAt(timing.seconds, b) || a - b);
    checkOrder(trials, timed, timing, log);
    if (trials.kind.valueName !== "force") continue;
    checkRest(trials, timed, timing, log);
    checkAlternation(trials, timed, timing.design, log);
  }
}

function checkOrder(trials: Trials, timed: Int32Array, { seconds }: Timing, log: IssueLog): void {
  const { hand, place, number, kind } = trials;
  const last = new Map<number, number>();
  for (const row of timed) {
    const cell = wholeAt(place, row) * 2 + wholeAt(hand, row);
    const before = last.get(cell);
    if (
      before !== undefined &&
      wholeAt(number, before) > wholeAt(number, row) &&
      realAt(seconds, before) < realAt(seconds, row)
    )
      say(
        trials,
        before,
        {
          column: kind.numberName,
          code: "trial-order",
          value: wholeAt(number, before),
          expected: String(number[row]),
        },
        log,
      );
    last.set(cell, row);
  }
}

function checkRest(
  trials: Trials,
  timed: Int32Array,
  { seconds, design }: Timing,
  log: IssueLog,
): void {
  const { restSeconds = 0 } = design;
  if (restSeconds <= 0) return;
  const last = new Map<number, number>();
  for (const row of timed) {
    const hand = wholeAt(trials.hand, row);
    const before = last.get(hand);
    const rest = before === undefined ? restSeconds : realAt(seconds, row) - before;
    if (rest < restSeconds)
      say(
        trials,
        row,
        { column: "time", code: "rest-short", value: rest, expected: String(restSeconds) },
        log,
      );
    last.set(hand, realAt(seconds, row));
  }
}

/** Two trials of one hand may meet where a new position begins; three in a row are no alternation. */
function checkAlternation(
  trials: Trials,
  timed: Int32Array,
  { hands }: StudyDesign,
  log: IssueLog,
): void {
  if (hands.length < 2) return;
  let run = 0;
  for (const [i, row] of timed.entries()) {
    run = i > 0 && trials.hand[wholeAt(timed, i - 1)] === trials.hand[row] ? run + 1 : 1;
    if (run === 3)
      say(trials, row, { column: "hand", code: "hands-not-alternated", value: 3 }, log);
  }
}

function varies(rows: Rows, name: string): boolean {
  return (rows.columns.get(name)?.values.length ?? 0) > 1;
}

/** A handle setting, by hand, and a device stay with a person through the study. */
function checkUnchanged(trials: Trials, rows: Int32Array, name: string, log: IssueLog): void {
  const { codes, values } = present(trials.rows.columns.get(name));
  const code = name === "device" ? "device-changed" : "handle-changed";
  const last = new Map<number, string | number>();
  for (const row of rows) {
    const value = values[wholeAt(codes, row)];
    if (value === null || value === undefined) continue;
    const key = name === "device" ? 0 : wholeAt(trials.hand, row);
    const before = last.get(key);
    if (before !== undefined && before !== value)
      say(trials, row, { column: name, code, value, expected: String(before) }, log);
    last.set(key, value);
  }
}

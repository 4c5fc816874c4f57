import type { ColumnTable } from "arquero";
import { itemAt, present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { columnOf, valueAt } from "./columns.js";
import { hasColumn, textColumn } from "./selection.js";

/** What one participant trained, as the log tells it. */
export interface TrainedPerson {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm in the design. */
  readonly arm: string;
  /** Sessions in the log: those planned for the time the person took part. */
  readonly planned: number;
  /** Sessions that were done. */
  readonly completed: number;
  /** completed / planned; left out where nothing was planned. */
  readonly share?: number;
  /** Minutes of the completed sessions whose minutes were written down. */
  readonly minutes: number;
  /** Completed sessions without minutes. */
  readonly minutesMissing: number;
  /** Sessions not done, by the reason noted. */
  readonly missed: readonly { readonly reason: string; readonly sessions: number }[];
  /** Sessions with mild discomfort, and those stopped for it. */
  readonly mild: number;
  /** Sessions stopped for discomfort. */
  readonly stopped: number;
  /** Whether the person left the study, and why. */
  readonly left?: string;
}

/** The training log, person by person. */
export interface TrainingSummary {
  /** Name of this record. */
  readonly kind: "trainingSummary";
  /** Rows of the file = used + the sum of setAside. */
  readonly rows: number;
  /** Rows that count. */
  readonly used: number;
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  /** Ids of the two occasions; left out where every session counts. */
  readonly between?: { readonly from: string; readonly until: string };
  /** In the order of the participants file; people without a row have nothing planned. */
  readonly people: readonly TrainedPerson[];
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `summariseTraining`. */
export interface TrainingOptions {
  /**
   * Ids of two occasions: only sessions from the person's own day of the first test up to the day
   * before the second count. Without it every session counts. A person who missed one of the tests
   * is not cut at that end.
   */
  readonly between?: { readonly from: string; readonly until: string };
}

/**
 * Sums up the training log: sessions planned, completed and missed with the reasons noted, minutes,
 * discomfort, for every participant.
 *
 * Every row of the file is accounted for: rows that the check left out, and rows outside the two
 * tests, stand in `setAside` with their reason.
 * @param study from `openStudy`
 * @param options between: two occasions whose tests bound the training
 * @returns counts of sessions, time in minutes
 * @throws InputError when an occasion is unknown, or the first does not come before the second
 */
export function summariseTraining(study: Study, options: TrainingOptions = {}): TrainingSummary {
  knownOptions(options, ["between"], "summariseTraining");
  const { between } = options;
  const bounds = between && windowsOf(study, between);
  const log = study.trainingLog;
  const account = study.account.find(({ resource }) => resource === "training-log");
  const outside = new Map<string, number>();
  const rowsOf = new Map<string, number[]>();
  const [who, days] = ["participant", "date"].map((name) => textColumn(log, name));
  for (let row = 0; row < log.totalRows(); row++) {
    const reason = outsideOf(bounds?.get(itemAt(present(who), row)), itemAt(present(days), row));
    if (reason) outside.set(reason, (outside.get(reason) ?? 0) + 1);
    else
      rowsOf.set(itemAt(present(who), row), [
        ...(rowsOf.get(itemAt(present(who), row)) ?? []),
        row,
      ]);
  }
  const known = textColumn(study.participants, "participant");
  const people = known.map((id, place) => personOf(study, place, rowsOf.get(id) ?? []));
  const used = known.reduce((sum, id) => sum + (rowsOf.get(id)?.length ?? 0), 0);
  const cut = [...outside].map(([reason, rows]) => ({ reason, rows }));
  // A study less one participant keeps the file's account; its rows of that person are not in use.
  const before = account?.setAside ?? [];
  const gone = (account?.used ?? log.totalRows()) - log.totalRows();
  const rest = gone > 0 ? [{ reason: "participant left out of this analysis", rows: gone }] : [];
  return frozen({
    kind: "trainingSummary",
    rows: account?.rows ?? log.totalRows(),
    used,
    setAside: [...before, ...rest, ...cut],
    ...(between ? { between } : {}),
    people,
    warnings: warningsOf(people, log),
  });
}

interface Window {
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

/** Each person's own days of the two tests. */
function windowsOf(study: Study, { from, until }: { from: string; until: string }) {
  const weeks = [from, until].map((id) => {
    const found = study.design.occasions.find((one) => one.id === id);
    if (found) return found.week;
    const expected = `an occasion of the design (${study.design.occasions.map((o) => o.id).join(", ")})`;
    throw new InputError({
      expected,
      got: JSON.stringify(id) ?? "nothing",
      where: "summariseTraining, between",
    });
  });
  if (itemAt(weeks, 0) >= itemAt(weeks, 1))
    throw new InputError({
      expected: "two occasions, the earlier first",
      got: `${from}, ${until}`,
      where: "summariseTraining, between",
    });
  const days = [from, until].map((id) => testDays(study, id));
  const people = textColumn(study.participants, "participant");
  return new Map<string, Window>(
    people.map((id) => [id, { from: itemAt(days, 0).get(id), until: itemAt(days, 1).get(id) }]),
  );
}

/** First day of each person's tests on an occasion. */
function testDays({ allGripTrials, allSwingTrials }: Study, occasion: string): Map<string, string> {
  const days = new Map<string, string>();
  for (const table of [allGripTrials, allSwingTrials]) {
    if (!hasColumn(table, "date")) continue;
    const [who, when, what] = ["participant", "date", "occasion"].map((name) =>
      columnOf(table, name),
    );
    for (let row = 0; row < table.totalRows(); row++) {
      const [id, day] = [String(valueAt(present(who), row)), valueAt(present(when), row)];
      if (valueAt(present(what), row) !== occasion || !day) continue;
      if (!days.has(id) || String(day) < present(days.get(id))) days.set(id, String(day));
    }
  }
  return days;
}

function outsideOf(window: Window | undefined, day: string): string | null {
  if (window?.from !== undefined && day < window.from) return "before the first test";
  if (window?.until !== undefined && day >= window.until) return "on or after the last test";
  return null;
}

function personOf(
  { trainingLog, participants }: Study,
  place: number,
  rows: number[],
): TrainedPerson {
  const cell = (name: string, row: number) =>
    hasColumn(trainingLog, name) ? valueAt(columnOf(trainingLog, name), row) : null;
  const about = (name: string) =>
    hasColumn(participants, name) ? valueAt(columnOf(participants, name), place) : null;
  const done = rows.filter((row) => cell("completed", row) === "yes");
  const timed = done.map((row) => cell("minutes", row)).filter(isNumber);
  const missed = new Map<string, number>();
  for (const row of rows) {
    if (cell("completed", row) === "yes") continue;
    const reason = String(cell("note", row) || "no reason noted");
    missed.set(reason, (missed.get(reason) ?? 0) + 1);
  }
  const felt = (what: string) => rows.filter((row) => cell("discomfort", row) === what).length;
  return {
    participant: String(about("participant")),
    arm: String(about("arm")),
    planned: rows.length,
    completed: done.length,
    ...(rows.length > 0 ? { share: done.length / rows.length } : {}),
    minutes: timed.reduce((sum, minutes) => sum + minutes, 0),
    minutesMissing: done.length - timed.length,
    missed: [...missed].map(([reason, sessions]) => ({ reason, sessions })),
    mild: felt("mild"),
    stopped: felt("stop"),
    ...(about("withdrew_on")
      ? { left: String(about("withdrew_reason") || "no reason noted") }
      : {}),
  };
}

/** Whether a cell of a table of numbers holds one: empty cells are no numbers. */
export function isNumber(value: unknown): value is number {
  return typeof value === "number" && Number.isFinite(value);
}

function warningsOf(people: readonly TrainedPerson[], log: ColumnTable): string[] {
  if (log.totalRows() === 0) return ["The study has no training log."];
  const untimed = people.reduce((sum, { minutesMissing }) => sum + minutesMissing, 0);
  const idle = people.filter(({ planned }) => planned === 0).map(({ participant }) => participant);
  return [
    ...(untimed > 0
      ? [`${untimed} completed sessions have no minutes; the minutes are a lower bound.`]
      : []),
    ...(idle.length > 0 ? [`No session is logged for ${idle.join(", ")}.`] : []),
  ];
}

import type { SourceRecord } from "../study/tables/source-record.js";
import { summariseTraining, type TrainingSummary } from "../study/tables/training.js";
import type { ChangeRow } from "./change-rows.js";
import type { Change } from "./outcome.js";
import { column, type ResultTable, resultTable } from "./result-table.js";

/** How much each golfer trained between two visits, by the log. */
export interface TrainingDose {
  /** The log, golfer by golfer. */
  readonly summary: TrainingSummary;
  /** Sessions or minutes of each golfer with a row in the log. */
  readonly doses: ReadonlyMap<string, number>;
  /** "Sessions completed" or "Minutes trained". */
  readonly quantity: string;
  /** "session" or "min". */
  readonly each: string;
  /** Unit of an axis. */
  readonly unit: string;
  /** When the sessions took place, such as " from week 0 to week 6"; empty where no order is known. */
  readonly window: string;
  /** Why there is no dose, as a sentence. */
  readonly why?: string;
}

/** Reads the training log between the two visits of a change. */
export function loggedDoses(change: Change, dose: "sessions" | "minutes"): TrainingDose {
  const { study } = change.outcome;
  const inOrder = change.before.week < change.after.week;
  const between = { from: change.before.id, until: change.after.id };
  const summary = summariseTraining(study, inOrder ? { between } : {});
  const people = summary.people.filter(({ planned }) => planned > 0);
  const doses = new Map(
    people.map((one) => [one.participant, dose === "sessions" ? one.completed : one.minutes]),
  );
  const isMinutes = dose === "minutes";
  const most = people.reduce((high, { planned }) => Math.max(high, planned), 0);
  const why =
    study.trainingLog.totalRows() === 0
      ? "No training session is logged, so the amount of training of each golfer is not known."
      : !inOrder
        ? "The two visits have the same week or are in reverse order; training needs an earlier and a later visit."
        : undefined;
  return {
    summary,
    doses,
    quantity: isMinutes ? "Minutes trained" : "Sessions completed",
    each: isMinutes ? "min" : "session",
    unit: isMinutes ? "min" : `of up to ${most}`,
    window: inOrder ? ` from week ${change.before.week} to week ${change.after.week}` : "",
    ...(why !== undefined && { why }),
  };
}

/** The trials and the sessions of the log behind some rows of a change. */
export function logSource(change: Change, rows: readonly ChangeRow[]): SourceRecord {
  const { study } = change.outcome;
  const trials = change.source(rows);
  const file = study.account.find(({ resource }) => resource === "training-log")?.file;
  if (file === undefined) return trials;
  const golfers = new Set(rows.map(({ participant }) => participant));
  let sessions = 0;
  for (const who of study.trainingLog.array("participant")) if (golfers.has(who)) sessions += 1;
  return {
    ...trials,
    rowsUsed: trials.rowsUsed + sessions,
    files: [...trials.files, `${study.name}/${file}`],
  };
}

/** The log as tables: rows, golfers, and sessions missed. */
export function doseTables(
  { outcome }: Change,
  { summary }: TrainingDose,
): { account: ResultTable; golfers: ResultTable; missed: ResultTable } {
  const { arms } = outcome.study.design;
  const titleOf = (id: string) => arms.find((arm) => arm.id === id)?.title ?? id;
  const account = resultTable(
    "Rows of the training log: all, used, and left out with the reason.",
    [column("what", "Rows"), column("rows", "Number", "", 0)],
    [
      { what: "in the file", rows: summary.rows },
      { what: "used: from the first visit up to the day before the last", rows: summary.used },
      ...summary.setAside.map(({ reason, rows }) => ({ what: `left out: ${reason}`, rows })),
    ],
  );
  const golfers = resultTable(
    "Sessions between the two visits, golfer by golfer. Planned are those of the log while the golfer took part.",
    [
      column("participant", "Golfer"),
      column("arm", "Arm"),
      column("planned", "Planned", "", 0),
      column("completed", "Completed", "", 0),
      column("minutes", "Minutes", "min", 0),
      column("missed", "Missed because"),
      column("mild", "With mild discomfort", "", 0),
      column("stopped", "Stopped", "", 0),
      column("left", "Left the study"),
    ],
    summary.people.map(
      ({ participant, arm, planned, completed, minutes, mild, stopped, ...one }) => ({
        participant,
        arm: titleOf(arm),
        planned,
        completed,
        minutes,
        missed: one.missed.map(({ reason, sessions }) => `${reason} (${sessions})`).join(", "),
        mild,
        stopped,
        left: one.left ?? "",
      }),
    ),
  );
  return { account, golfers, missed: missedTable(summary, arms) };
}

function missedTable(
  { people }: TrainingSummary,
  arms: readonly { readonly id: string; readonly title: string }[],
): ResultTable {
  const reasons = new Set(people.flatMap(({ missed }) => missed.map(({ reason }) => reason)));
  const rows = [...reasons].sort().map((reason) => {
    const counts = arms.map(({ id }): [string, number] => {
      const own = people.filter(({ arm }) => arm === id).flatMap(({ missed }) => missed);
      const mine = own.filter((one) => one.reason === reason);
      return [id, mine.reduce((sum, { sessions }) => sum + sessions, 0)];
    });
    return { ...Object.fromEntries(counts), reason };
  });
  return resultTable(
    "Sessions missed by reason, as noted in the log.",
    [column("reason", "Reason"), ...arms.map(({ id, title }) => column(id, title, "", 0))],
    rows,
  );
}

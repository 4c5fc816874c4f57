import type { ColumnTable } from "arquero";
import { realAt, wholeAt } from "../../entry.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import { nonNegative } from "../../stats/input.js";
import type { SetAside } from "../check/issue.js";
import { outlyingLimits, outlyingRule } from "../check/outlying-rule.js";
import type { Study } from "../study.js";
import { coded, columnOf, keepRows, tableOf, valueAt } from "./columns.js";
import { groupRows } from "./groups.js";
import type { StudyTable } from "./study-table.js";

/** The two kinds of trial, with what tells one series of a person from another. */
const kinds = {
  grip: {
    quantity: "force",
    value: "force_kgf",
    unit: "kgf",
    keys: ["participant", "hand", "position"],
  },
  swing: { quantity: "speed", value: "speed_mps", unit: "m/s", keys: ["participant", "club"] },
} as const;

type Kind = (typeof kinds)[keyof typeof kinds];

/**
 * The study without its outlying trials, so that a result can be given with and without them.
 *
 * The rule is that of the check's question "trial-outlying": further than `deviations` scaled
 * median absolute deviations from the median of the person's trials of that hand and position (or
 * club) over all occasions, the deviation taken as no smaller than a twentieth of the median in
 * force (a fiftieth in speed) or 1.5 kgf, and at least five trials. Nobody has to have answered the
 * question: the rule is applied to every trial in use, and each one taken out stands in `setAside`.
 * @param study from `openStudy`
 * @param options deviations: 4, as the check asks, unless a stricter rule is named
 * @returns the study with fewer trials in use
 * @throws InputError when deviations is negative or not a number
 */
export function withoutOutlyingTrials(study: Study, options: { deviations?: number } = {}): Study {
  knownOptions(options, ["deviations"], "withoutOutlyingTrials");
  const { deviations = outlyingRule.deviations } = options;
  nonNegative(deviations, "withoutOutlyingTrials, deviations");
  const reason = `outlying by more than ${deviations} deviations`;
  const grip = outlyingRows(study.gripTrials, kinds.grip, deviations);
  const swing = outlyingRows(study.swingTrials, kinds.swing, deviations);
  return Object.freeze({
    ...study,
    gripTrials: without(study.gripTrials, grip),
    swingTrials: without(study.swingTrials, swing),
    allGripTrials: marked(study.allGripTrials, fileRows(study.gripTrials, grip), reason),
    allSwingTrials: marked(study.allSwingTrials, fileRows(study.swingTrials, swing), reason),
    setAside: frozen([
      ...study.setAside,
      ...asSetAsides(study, "grip", grip, reason),
      ...asSetAsides(study, "swing", swing, reason),
    ]),
  });
}

function outlyingRows(
  table: ColumnTable,
  { quantity, value, keys }: Kind,
  deviations: number,
): Set<number> {
  const found = new Set<number>();
  if (table.totalRows() === 0) return found;
  const values = columnOf(table, value) as Float64Array;
  const columns = keys.map((name) => coded(columnOf(table, name)));
  const groups = groupRows(columns, table.totalRows());
  for (let g = 0; g < groups.count; g++) {
    const rows = groups.order.subarray(wholeAt(groups.starts, g), wholeAt(groups.starts, g + 1));
    const series = Float64Array.from(rows, (row) => realAt(values, row));
    const limits = outlyingLimits(series, series.length, { quantity, deviations });
    if (!limits) continue;
    for (const row of rows)
      if (Math.abs(realAt(values, row) - limits.median) > limits.reach) found.add(row);
  }
  return found;
}

function without<T extends ColumnTable>(table: T, rows: ReadonlySet<number>): T {
  return rows.size === 0 ? table : keepRows(table, (row) => !rows.has(row));
}

function fileRows(table: ColumnTable, rows: ReadonlySet<number>): Set<unknown> {
  if (rows.size === 0) return new Set();
  return new Set([...rows].map(placeIn(table)));
}

/** The file and row of a trial, which no other trial has. */
function placeIn(table: ColumnTable): (row: number) => string {
  const [files, places] = [columnOf(table, "file"), columnOf(table, "file_row")];
  return (row) => `${valueAt(places, row)} ${valueAt(files, row)}`;
}

/** The table of every trial, with these no longer used. */
function marked<Row>(
  all: StudyTable<Row>,
  rows: ReadonlySet<unknown>,
  reason: string,
): StudyTable<Row> {
  if (rows.size === 0) return all;
  const placeOf = placeIn(all);
  const out = Uint8Array.from({ length: all.totalRows() }, (_, row) => +rows.has(placeOf(row)));
  const column = (name: string, put: unknown) => {
    const old = columnOf(all, name);
    return Array.from(out, (is, row) => (is ? put : valueAt(old, row)));
  };
  return tableOf({
    ...Object.fromEntries(all.columnNames().map((name) => [name, columnOf(all, name)])),
    used: coded(column("used", false)),
    left_out: coded(column("left_out", reason)),
    left_out_by: coded(column("left_out_by", "set-aside")),
  });
}

function asSetAsides(
  study: Study,
  of: keyof typeof kinds,
  rows: ReadonlySet<number>,
  reason: string,
): SetAside[] {
  const table = of === "grip" ? study.gripTrials : study.swingTrials;
  const text = (name: string, row: number) => String(valueAt(columnOf(table, name), row));
  return [...rows].map((row) => ({
    file: text("file", row),
    row: Number(valueAt(columnOf(table, "file_row"), row)),
    participant: text("participant", row),
    occasion: text("occasion", row),
    what:
      of === "grip"
        ? `${text("hand", row)} hand, ${text("position", row)}, trial ${text("trial", row)}`
        : `${text("club", row)}, swing ${text("swing", row)}`,
    value: Number(valueAt(columnOf(table, kinds[of].value), row)),
    unit: kinds[of].unit,
    reason,
    by: "set-aside",
  }));
}

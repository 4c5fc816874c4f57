import { frozen } from "../stats/estimate.js";
import type { Study } from "../study/study.js";
import { sourceOf } from "../study/tables/source.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, answer } from "./study-answer.js";

/** Whether golfers kept one device and one handle, with how devices read known loads. */
export interface DevicesAnswer extends Answer {
  /** How each device reads known loads. */
  readonly calibration: ResultTable;
}

/** Rows of the files, and what the check found. */
export interface StudyRows {
  /** Rows read, used and set aside, by file. */
  readonly files: ResultTable;
  /** Why rows were set aside. */
  readonly setAside: ResultTable;
  /** Questions and errors found by the check, by kind. */
  readonly questions: ResultTable;
}

/**
 * How many golfers were tested with one device and one handle setting throughout, and how each device
 * reads known loads.
 * @param study from `openStudy`
 */
export function devicesOf(study: Study): DevicesAnswer {
  const settings = new Map<string, { devices: Set<unknown>; handles: Set<unknown> }>();
  const columns = study.gripTrials.columnNames();
  for (const row of study.gripTrials.objects()) {
    const own = settings.get(row.participant) ?? { devices: new Set(), handles: new Set() };
    settings.set(row.participant, own);
    own.devices.add(columns.includes("device") ? row.device : null);
    own.handles.add(columns.includes("handle_mm") ? row.handle_mm : null);
  }
  const golfers = [...settings.keys()];
  const isSteady = [...settings.values()].map(
    ({ devices, handles }) => devices.size === 1 && handles.size === 1,
  );
  const count = isSteady.filter(Boolean).length;
  const base = answer({
    kind: "devicesOf",
    quantity: "share",
    aspect: "golfers tested with one device and one handle setting throughout",
    measure: { outcome: "grip", name: "Grip" },
    unit: `of ${golfers.length}`,
    count: { n: golfers.length, of: "golfers" },
    rule: "every trial in use",
    method: "counting",
    source: sourceOf(study, { trials: "grip" }),
    ...(golfers.length === 0
      ? { unanswered: "The study has no grip trials." }
      : {
          estimate: { value: count },
          leaveOneOut: leaveOneOutOf(
            { value: count },
            golfers,
            isSteady.map((steady) => ({ value: count - (steady ? 1 : 0) })),
          ),
        }),
  });
  return frozen({ ...base, calibration: calibrationTable(study) });
}

function calibrationTable({ calibrationLines }: Study): ResultTable {
  return resultTable(
    "How each device reads known loads: reading = intercept + slope × load. A limit of 5 % is common practice, no source.",
    [
      column("device", "Device"),
      column("n", "Readings", "", 0),
      column("intercept", "Intercept", "kgf", 2),
      column("slope", "Slope", "", 4),
      column("worstPercent", "Largest error", "% of load", 1),
      column("accepted", "Within 5 %"),
    ],
    calibrationLines.map(({ device, n, intercept, slope, worstPercent, accepted }) => ({
      device,
      n,
      intercept,
      slope,
      worstPercent,
      accepted: accepted ? "yes" : "no",
    })),
  );
}

/**
 * Every row of the files: used, or set aside with a reason; and what the check found.
 * @param study from `openStudy`
 */
export function rowsOfFiles(study: Study): StudyRows {
  const reasons = new Map<string, { file: string; reason: string; rows: number }>();
  for (const { file, reason } of study.setAside) {
    const key = JSON.stringify([file, reason]);
    const known = reasons.get(key) ?? { file, reason, rows: 0 };
    reasons.set(key, { ...known, rows: known.rows + 1 });
  }
  const kinds = new Map<string, { code: string; count: number; first: string }>();
  for (const { code, message, severity } of study.issues) {
    if (severity === "note") continue;
    const known = kinds.get(code) ?? { code, count: 0, first: message };
    kinds.set(code, { ...known, count: known.count + 1 });
  }
  return frozen({
    files: resultTable(
      "Rows read, used and set aside, by file.",
      [
        column("file", "File"),
        column("rows", "Rows read", "", 0),
        column("used", "Used", "", 0),
        column("setAside", "Set aside", "", 0),
      ],
      study.account.map(({ file, rows, used }) => ({ file, rows, used, setAside: rows - used })),
    ),
    setAside: resultTable(
      "Why rows were set aside.",
      [column("file", "File"), column("reason", "Reason"), column("rows", "Rows", "", 0)],
      [...reasons.values()],
    ),
    questions: resultTable(
      "Questions and errors found by the check, by kind, with the first of each.",
      [column("code", "Kind"), column("count", "Number", "", 0), column("first", "First of them")],
      [...kinds.values()],
    ),
  });
}

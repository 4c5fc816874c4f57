import { itemAt, present, realAt, wholeAt } from "../../entry.js";
import { frozen } from "../../stats/estimate.js";
import { fitLine } from "../../stats/regression.js";
import { convert } from "../../units/convert.js";
import { readUnit } from "../../units/unit.js";
import type { IssueLog } from "./issue-log.js";
import type { Rows } from "./rows.js";
import { numberAt, rowPlace, textAt } from "./rows.js";
import type { Trials } from "./trials.js";

/** Largest error of a reading that is accepted, in percent of the load. Common practice, no source. */
const calibrationLimitPercent = 5;

/** How a device reads known loads: reading = intercept + slope × load, in kgf. */
export interface CalibrationLine {
  /** Name of this record. */
  readonly kind: "calibrationLine";
  /** Code of the device. */
  readonly device: string;
  /** Checks with a known load. */
  readonly n: number;
  /** Reading without a load, kgf. */
  readonly intercept: number;
  /** Reading per kgf of load; 1 for a correct device. */
  readonly slope: number;
  /** Largest error of one reading, in percent of its load. */
  readonly worstPercent: number;
  /** True when slope and every reading lie within ±5 %. */
  readonly accepted: boolean;
  /** File of the check with the largest error. */
  readonly worstFile: string;
  /** Row of the check with the largest error, as a spreadsheet counts. */
  readonly worstRow: number;
}

interface Check {
  readonly load: number;
  readonly reading: number;
  readonly file: string;
  readonly row: number;
}

/** The line of each device with at least two different known loads, in order of appearance. */
export function calibrationLines(rows: Rows): CalibrationLine[] {
  return [...checksByDevice(rows)]
    .filter(([, checks]) => new Set(checks.map(({ load }) => load)).size >= 2)
    .map(([device, checks]) => lineOf(device, checks));
}

function checksByDevice(rows: Rows): Map<string, Check[]> {
  const byDevice = new Map<string, Check[]>();
  for (let i = 0; i < rows.rowCount; i++) {
    const symbol = unitAt(rows, i);
    if (!rows.fates.used(i) || symbol === null) continue;
    const device = present(textAt(rows, "device", i));
    const inKgf = (name: string) => convert(numberAt(rows, name, i), symbol, "kgf");
    const check = {
      load: inKgf("known_load"),
      reading: inKgf("reading"),
      ...rowPlace(rows, i),
    };
    const checks = byDevice.get(device);
    if (checks) checks.push(check);
    else byDevice.set(device, [check]);
  }
  return byDevice;
}

function unitAt(rows: Rows, index: number): string | null {
  try {
    return readUnit(textAt(rows, "unit", index) ?? "", { quantity: "force" }).symbol;
  } catch {
    return null;
  }
}

function lineOf(device: string, checks: readonly Check[]): CalibrationLine {
  const [slope, intercept] = straightLine(checks);
  const loaded = checks.filter(({ load }) => load > 0);
  const errors = loaded.map(({ load, reading }) => (100 * Math.abs(reading - load)) / load);
  const worstPercent = Math.max(0, ...errors);
  const worst = loaded[errors.indexOf(worstPercent)] ?? itemAt(checks, 0);
  const steep = 100 * Math.abs(slope - 1) > calibrationLimitPercent;
  return frozen({
    kind: "calibrationLine",
    device,
    n: checks.length,
    intercept,
    slope,
    worstPercent,
    accepted: !steep && worstPercent <= calibrationLimitPercent,
    worstFile: worst.file,
    worstRow: worst.row,
  });
}

/** Two checks make a line without an interval; from three on it is fitted by least squares. */
function straightLine(checks: readonly Check[]): [slope: number, intercept: number] {
  if (checks.length === 2) {
    const [a, b] = checks as [Check, Check];
    const slope = (b.reading - a.reading) / (b.load - a.load);
    return [slope, a.reading - slope * a.load];
  }
  const fit = fitLine({
    x: checks.map(({ load }) => load),
    y: checks.map(({ reading }) => reading),
  });
  return [fit.slope.value, fit.intercept.value];
}

/** Checks units and lines of the calibration file. */
export function checkCalibration(rows: Rows, log: IssueLog): CalibrationLine[] {
  for (let i = 0; i < rows.rowCount; i++) {
    if (!rows.fates.used(i) || unitAt(rows, i) !== null) continue;
    const where = { ...rowPlace(rows, i), column: "unit" };
    const value = textAt(rows, "unit", i) ?? "";
    log.add({ ...where, code: "unit-unknown", value, expected: "kgf, N, lbf" });
    rows.fates.leaveOut(i, "unit unknown", "error");
  }
  const lines = calibrationLines(rows);
  for (const { device, slope, worstPercent, accepted, worstFile, worstRow } of lines) {
    if (accepted) continue;
    const value = `Device ${device} reads ${slope.toFixed(3)} times the load; its largest error is ${worstPercent.toFixed(1)} %`;
    const expected = `±${calibrationLimitPercent} %`;
    log.add({
      file: worstFile,
      row: worstRow,
      column: "reading",
      code: "calibration-off",
      value,
      expected,
    });
  }
  return lines;
}

/** Takes each device's line out of its readings: force = (reading − intercept) / slope. */
export function correctByCalibration(
  { rows, canonical }: Trials,
  lines: readonly CalibrationLine[],
  log: IssueLog,
): void {
  const column = rows.columns.get("device");
  const lineByLevel = (column?.values ?? []).map((device) =>
    lines.find((line) => line.device === device),
  );
  for (const { device, slope, intercept } of lines) {
    if (!(slope > 0) || !column?.values.includes(device)) continue;
    const expected = `reading = ${intercept.toFixed(2)} + ${slope.toFixed(4)} × load`;
    log.add({
      file: rows.file,
      column: "device",
      code: "calibration-applied",
      value: device,
      expected,
    });
  }
  for (let i = 0; i < canonical.length; i++) {
    const line = column ? lineByLevel[wholeAt(column.codes, i)] : undefined;
    if (line && line.slope > 0) canonical[i] = (realAt(canonical, i) - line.intercept) / line.slope;
    else sayNoLine(rows, i, log);
  }
}

function sayNoLine(rows: Rows, index: number, log: IssueLog): void {
  if (!rows.fates.used(index)) return;
  const value = textAt(rows, "device", index) ?? "not named";
  const where = { ...rowPlace(rows, index), column: "device" };
  log.add({ ...where, code: "calibration-impossible", value, expected: "no calibration line" });
  rows.fates.leaveOut(index, "device without a calibration line", "error");
}

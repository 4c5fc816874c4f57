import { realAt, wholeAt } from "../../entry.js";
import { convert } from "../../units/convert.js";
import type { People } from "../check/people.js";
import type { Rows } from "../check/rows.js";
import type { TrialKind } from "../check/trial-kinds.js";
import type { Trials } from "../check/trials.js";
import type { StudyDesign } from "../package/design.js";
import { CodedValues, type Column } from "./columns.js";

/** The columns of a trial table, over every row of the file. */
export function trialColumns(
  { kind, rows, person, occasion, hand, place, places, number, canonical }: Trials,
  { people, design }: { people: People; design: StudyDesign },
): Record<string, Column> {
  const text = (name: string) => rawColumn(rows, name);
  const occasions = design.occasions.map(({ id }) => id);
  const columns: Record<string, Column | null> = {
    participant: byPlace(person, people.ids),
    arm: byPlace(person, people.arms),
    occasion: byPlace(occasion, occasions),
    week: weeks(occasion, design),
    date: text("date"),
    time: text("time"),
    hand: kind.handed ? byPlace(hand, ["lead", "trail"]) : null,
    side: kind.handed ? sides(hand, person, people) : null,
    [kind.placeName]: byPlace(place, places),
    handle_mm: numeric(rows, "handle_mm"),
    device: text("device"),
    [kind.numberName]: number,
    [kind.valueName]: numeric(rows, kind.valueName),
    unit: text("unit"),
    ...canonicalColumns(kind, canonical),
    status: text("status"),
    note: text("note"),
    file: fileNames(rows),
    file_row: fileRows(rows),
  };
  return Object.fromEntries(
    Object.entries(columns).filter((pair): pair is [string, Column] => pair[1] !== null),
  );
}

function canonicalColumns(kind: TrialKind, canonical: Float64Array): Record<string, Column> {
  if (kind.unit === "kgf") return { force_kgf: canonical };
  return { speed_mps: canonical, speed_mph: mph(canonical) };
}

function fileNames({ rowCount, parts }: Rows): Column {
  const codes = new Int32Array(rowCount);
  for (const [k, { start, rowCount: rows }] of parts.entries()) codes.fill(k, start, start + rows);
  return new CodedValues(
    codes,
    parts.map(({ file }) => file),
  );
}

function fileRows({ rowCount, parts }: Rows): Int32Array {
  const numbers = new Int32Array(rowCount);
  for (const { start, rowCount: rows, fileRow } of parts)
    for (let i = 0; i < rows; i++) numbers[start + i] = fileRow(i);
  return numbers;
}

function rawColumn(rows: Rows, name: string): Column | null {
  const column = rows.columns.get(name);
  return column ? new CodedValues(column.codes, column.values) : null;
}

function numeric(rows: Rows, name: string): Float64Array | null {
  const column = rows.columns.get(name);
  if (!column) return null;
  const byLevel = Float64Array.from(column.values, (value) =>
    typeof value === "number" ? value : Number.NaN,
  );
  const values = new Float64Array(rows.rowCount);
  for (let i = 0; i < values.length; i++) values[i] = realAt(byLevel, wholeAt(column.codes, i));
  return values;
}

/** Values by place, with null for a place that is unknown. */
function byPlace(places: Int32Array, values: readonly string[]): Column {
  if (!places.includes(-1)) return new CodedValues<string | null>(places, values);
  const codes = places.map((place) => (place < 0 ? values.length : place));
  return new CodedValues<string | null>(codes, [...values, null]);
}

function weeks(occasion: Int32Array, { occasions }: StudyDesign): Float64Array {
  const values = new Float64Array(occasion.length);
  for (let i = 0; i < values.length; i++)
    values[i] = occasions[wholeAt(occasion, i)]?.week ?? Number.NaN;
  return values;
}

function mph(speeds: Float64Array): Float64Array {
  return speeds.map((speed) => (Number.isNaN(speed) ? speed : convert(speed, "m/s", "mph")));
}

function sides(hand: Int32Array, person: Int32Array, people: People): Column {
  const rightSided = people.plays.map((plays) => plays === "right");
  const codes = new Int32Array(hand.length);
  for (let i = 0; i < codes.length; i++) {
    if (wholeAt(hand, i) < 0 || wholeAt(person, i) < 0) codes[i] = 2;
    else codes[i] = rightSided[wholeAt(person, i)] === (hand[i] === 0) ? 0 : 1;
  }
  return new CodedValues<string | null>(codes, ["left", "right", null]);
}

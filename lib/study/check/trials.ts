import { itemAt, present, realAt, wholeAt } from "../../entry.js";
import { convert } from "../../units/convert.js";
import { readUnit, type UnitSymbol } from "../../units/unit.js";
import type { StudyDesign } from "../package/design.js";
import type { Column } from "../tables/columns.js";
import { CodedValues } from "../tables/columns.js";
import type { IssueCode } from "./issue.js";
import type { IssueLog } from "./issue-log.js";
import { statusReasons } from "./issue-messages.js";
import type { People } from "./people.js";
import type { ReadColumn, Rows } from "./rows.js";

/** What a trial measures, by the names of its file. */
export interface TrialKind {
  readonly valueName: "force" | "speed";
  readonly numberName: "trial" | "swing";
  /** What tells one series of trials of a visit from another. */
  readonly placeName: "position" | "club";
  readonly handed: boolean;
  readonly unit: "kgf" | "m/s";
}

const force = { valueName: "force", unit: "kgf", handed: true } as const;
export const gripKind: TrialKind = { ...force, numberName: "trial", placeName: "position" };
export const swingGripKind: TrialKind = { ...force, numberName: "swing", placeName: "club" };
export const swingKind: TrialKind = {
  valueName: "speed",
  unit: "m/s",
  handed: false,
  numberName: "swing",
  placeName: "club",
};

/** Trials with their codes turned into places in the design; −1 where a row's code is unknown. */
export interface Trials {
  readonly kind: TrialKind;
  readonly rows: Rows;
  readonly person: Int32Array;
  readonly occasion: Int32Array;
  /** 0 lead, 1 trail; 0 throughout where no hand is told. */
  readonly hand: Int32Array;
  /** Place of the position of a grip trial, or of the club of a swing. */
  readonly place: Int32Array;
  readonly places: readonly string[];
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
  const person = resolve("participant", people.ids, "participant-unknown", "participant unknown");
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
}

/** Looks each different text up once, then gives every row its place. */
function resolved(
  rows: Rows,
  { name, known, code, reason }: Resolution,
  log: IssueLog,
): Int32Array {
  const places = new Int32Array(rows.rowCount).fill(-1);
  const column = rows.columns.get(name);
  if (!column) return places;
  const placeOf = new Map(known.map((id, i) => [id, i]));
  const byLevel = column.values.map((value) => placeOf.get(value as string) ?? -1);
  const { codes, values, texts } = column;
  for (let i = 0; i < places.length; i++) {
    const place = itemAt(byLevel, wholeAt(codes, i));
    places[i] = place;
    if (place >= 0 || values[wholeAt(codes, i)] === null) continue;
    const expected = known.slice(0, 12).join(", ");
    const value = itemAt(texts, wholeAt(codes, i));
    log.add({ file: rows.file, row: rows.fileRow(i), column: name, code, value, expected });
    rows.fates.leaveOut(i, reason, "error");
  }
  return places;
}

/** The hand's place on the club: a right-sided player's lead hand is the left. */
function handsOf(rows: Rows, person: Int32Array, people: People): Int32Array {
  const hands = new Int32Array(rows.rowCount).fill(-1);
  const column = rows.columns.get("hand");
  if (!column) return hands;
  const leadSide = people.plays.map((plays) => (plays === "left" ? "right" : "left"));
  for (let i = 0; i < hands.length; i++) {
    const said = column.values[wholeAt(column.codes, i)];
    if (said === "lead") hands[i] = 0;
    else if (said === "trail") hands[i] = 1;
    else if (typeof said === "string" && wholeAt(person, i) >= 0)
      hands[i] = said === leadSide[wholeAt(person, i)] ? 0 : 1;
  }
  return hands;
}

function wholeNumbers(rows: Rows, name: string): Int32Array {
  const { codes, values } = present(rows.columns.get(name));
  const byLevel = values.map((value) => (typeof value === "number" ? value : -1));
  const numbers = new Int32Array(rows.rowCount);
  for (let i = 0; i < numbers.length; i++) numbers[i] = itemAt(byLevel, wholeAt(codes, i));
  return numbers;
}

/** Units of a column by level; undefined where the text is no unit of the quantity. */
function unitsOf(column: ReadColumn, quantity: "force" | "speed"): (UnitSymbol | undefined)[] {
  return column.values.map((text) => {
    if (typeof text !== "string") return undefined;
    try {
      return readUnit(text, { quantity }).symbol;
    } catch {
      return undefined;
    }
  });
}

const unitsExpected = { force: "kgf, N, lbf", speed: "m/s, mph, km/h" } as const;

/** Converts every row by its own unit; each pair of value and unit is converted once. */
function canonicalValues(rows: Rows, kind: TrialKind, log: IssueLog): Float64Array {
  const value = present(rows.columns.get(kind.valueName));
  const unit = present(rows.columns.get("unit"));
  const symbols = unitsOf(unit, kind.valueName);
  sayMixedUnits(rows, symbols, log);
  const memo = symbols.map((symbol) => {
    return symbol === undefined ? null : new Float64Array(value.values.length).fill(Number.NaN);
  });
  const canonical = new Float64Array(rows.rowCount).fill(Number.NaN);
  for (let i = 0; i < canonical.length; i++) {
    const unitCode = wholeAt(unit.codes, i);
    const known = memo[unitCode];
    if (!known) {
      if (unit.values[unitCode] !== null) sayUnknownUnit(rows, i, kind, log);
      continue;
    }
    const level = wholeAt(value.codes, i);
    const raw = value.values[level];
    if (typeof raw !== "number") continue;
    if (Number.isNaN(realAt(known, level)))
      known[level] = convert(raw, present(symbols[unitCode]), kind.unit);
    canonical[i] = realAt(known, level);
  }
  return canonical;
}

function sayUnknownUnit(rows: Rows, index: number, kind: TrialKind, log: IssueLog): void {
  const { texts, codes } = present(rows.columns.get("unit"));
  log.add({
    file: rows.file,
    row: rows.fileRow(index),
    column: "unit",
    code: "unit-unknown",
    value: itemAt(texts, wholeAt(codes, index)),
    expected: unitsExpected[kind.valueName],
  });
  rows.fates.leaveOut(index, "unit unknown", "error");
}

function sayMixedUnits(
  rows: Rows,
  symbols: readonly (UnitSymbol | undefined)[],
  log: IssueLog,
): void {
  const counts = new Map<UnitSymbol, number>();
  const { codes } = present(rows.columns.get("unit"));
  const byLevel = new Int32Array(symbols.length);
  for (let i = 0; i < codes.length; i++)
    byLevel[wholeAt(codes, i)] = wholeAt(byLevel, wholeAt(codes, i)) + 1;
  for (const [level, symbol] of symbols.entries())
    if (symbol) counts.set(symbol, (counts.get(symbol) ?? 0) + wholeAt(byLevel, level));
  if (counts.size < 2) return;
  const value = [...counts].map(([symbol, count]) => `${count} rows in ${symbol}`).join(", ");
  log.add({ file: rows.file, column: "unit", code: "unit-mixed", value });
}

/** A trial that is not valid is left out; a valid one must have a value. */
function applyStatus({ rows, canonical, kind }: Trials, log: IssueLog): void {
  const status = present(rows.columns.get("status"));
  const reasons = status.values.map((value) =>
    typeof value === "string" && value !== "valid" ? (statusReasons[value] ?? value) : null,
  );
  for (let i = 0; i < canonical.length; i++) {
    const reason = itemAt(reasons, wholeAt(status.codes, i));
    if (reason !== null) rows.fates.leaveOut(i, reason, "status");
    else if (Number.isNaN(realAt(canonical, i)) && rows.fates.codes[i] === 0)
      sayNoValue(rows, i, kind, log);
  }
}

function sayNoValue(rows: Rows, index: number, kind: TrialKind, log: IssueLog): void {
  if (rows.wide) {
    rows.fates.leaveOut(index, "no trial: the cell is empty", "status");
    return;
  }
  const unit = present(rows.columns.get("unit"));
  const column = unit.values[wholeAt(unit.codes, index)] === null ? "unit" : kind.valueName;
  const where = { file: rows.file, row: rows.fileRow(index), column };
  log.add({ ...where, code: "value-needed", expected: "a value for a valid trial" });
  rows.fates.leaveOut(index, `${column} missing`, "error");
}

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

function fileRows({ rowCount, fileRow }: Rows): Int32Array {
  const numbers = new Int32Array(rowCount);
  for (let i = 0; i < rowCount; i++) numbers[i] = fileRow(i);
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

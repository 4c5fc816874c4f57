import type { StudyDesign } from "../package/design.js";
import type { ResourceName } from "../package/dictionary.js";
import { dateFormat, medianOf } from "./column-values.js";
import type { Decisions } from "./decisions.js";
import { headingParts } from "./heading-words.js";
import { knownClubs, knownPositions, matched } from "./name-match.js";
import type { RawColumn, RawTable } from "./raw-table.js";
import type { Roles } from "./table-roles.js";
import { takeUnitInCells, usualUnit } from "./unit-cells.js";
import { visitsMeant } from "./visit-words.js";

/** A mapping that is being made: the keys of `reading` in datapackage.json. */
export interface DraftReading {
  /** Their column → ours. */
  columns: Record<string, string>;
  /** Our column → their value → ours. */
  values: Record<string, Record<string, string>>;
  /** Our column → a text for every row. */
  constants: Record<string, string>;
  /** Our column → how its dates are written. */
  format: Record<string, string>;
  /** Our column → the unit that the file has it in. */
  units: Record<string, string>;
  /** Our column → a unit behind the numbers of its cells → the unit that it means. */
  cellUnits: Record<string, Record<string, string>>;
  /** Trials side by side. */
  wide?: { valueColumn: string; columns: Record<string, Record<string, string>> };
  /** Their column → values of rows that belong to this resource. */
  only: Record<string, string[]>;
  /** Their column → texts of lines that hold no data. */
  leaveOut: Record<string, string[]>;
  /** Columns of merged cells. */
  fillDown: string[];
  /** Columns that are not read. */
  ignore: string[];
  /** Our column that numbers trials in the order of the file. */
  numberRows?: string;
  /** True when a golfer's facts stand in several rows. */
  onePerGolfer?: true;
  /** Pattern of the names of files, with the golfer in braces. */
  fileName?: string;
  /** Sheet of a workbook. */
  sheet?: string;
}

/** A proposal for one kind of rows of one table. */
export interface Draft {
  /** The table. */
  readonly table: RawTable;
  /** What its rows are. */
  readonly kind: ResourceName;
  /** How they are read. */
  readonly reading: DraftReading;
  /** Columns that are read. */
  readonly used: Set<RawColumn>;
}

/** What a draft is made from. */
export interface Making {
  /** The table. */
  readonly table: RawTable;
  /** What its columns are. */
  readonly roles: Roles;
  /** The design of the study. */
  readonly design: StudyDesign;
  /** Answers and questions. */
  readonly decisions: Decisions;
  /** Facts that the names of files or sheets state, so that no column is looked for. */
  readonly named: ReadonlySet<string>;
}

/** A draft without any column yet. */
export function emptyDraft(table: RawTable, kind: ResourceName): Draft {
  return {
    table,
    kind,
    used: new Set(),
    reading: {
      columns: {},
      values: {},
      constants: {},
      format: {},
      units: {},
      cellUnits: {},
      only: {},
      leaveOut: {},
      fillDown: [],
      ignore: [],
    },
  };
}

/** A table as questions and messages name it. */
export function labelOf({ path, sheet }: RawTable): string {
  return sheet === undefined ? path : `${path}, sheet ${sheet}`;
}

/** Takes a column into a draft under our name. */
export function take(draft: Draft, column: RawColumn, ours: string): void {
  draft.used.add(column);
  if (column.name !== ours) draft.reading.columns[column.name] = ours;
}

/** Takes the values of a column over, those that are not ours already by the map. */
export function translate(
  draft: Draft,
  ours: string,
  map: Readonly<Record<string, string>> | undefined,
): void {
  const changed = Object.entries(map ?? {}).filter(([from, to]) => from !== to);
  if (changed.length === 0) return;
  draft.reading.values[ours] = { ...draft.reading.values[ours], ...Object.fromEntries(changed) };
}

/** Asks for each code that no rule explains, or for none when all are explained. */
export function codesMeant(
  { draft, column, ours, map }: CodeTask,
  choices: readonly string[],
  decisions: Decisions,
): void {
  take(draft, column, ours);
  if (map) {
    translate(draft, ours, map);
    return;
  }
  for (const code of column.values) {
    if (choices.includes(code)) continue;
    const answer = decisions.choose({
      key: `${labelOf(draft.table)}: ${ours} ${code}`,
      text: `In ${labelOf(draft.table)}, what does ${JSON.stringify(code)} in the column "${column.name}" mean?`,
      choices: [...choices, "no data"],
    });
    if (answer === "no data")
      draft.reading.leaveOut[column.name] = [...(draft.reading.leaveOut[column.name] ?? []), code];
    else if (answer !== undefined) translate(draft, ours, { [code]: answer });
  }
}

interface CodeTask {
  readonly draft: Draft;
  readonly column: RawColumn;
  readonly ours: string;
  readonly map: Readonly<Record<string, string>> | undefined;
}

/** The values of a column without those of lines that hold no data. */
export function dataValues(draft: Draft, column: RawColumn): RawColumn {
  const left = draft.reading.leaveOut[column.name] ?? [];
  return { ...column, values: column.values.filter((value) => !left.includes(value)) };
}

/** Words of a table's file and sheet, from which a missing fact may be read. */
export function wordsOfName({ path, sheet }: RawTable): string {
  const stem = path.replace(/\.[^.]*$/, "").replaceAll("/", " ");
  return headingParts(`${stem} ${sheet ?? ""}`).words;
}

/** Takes day, clock time, device, note and handle setting, where a table has them. */
export function takeExtras(draft: Draft, { roles, decisions, table }: Making): void {
  const date = roles.of.get("date");
  if (date) {
    const key = `${labelOf(table)}: date`;
    const format = dateFormat(
      dataValues(draft, date).values,
      { key, column: date.name },
      decisions,
    );
    if (format !== null) {
      take(draft, date, "date");
      if (format !== "") draft.reading.format.date = format;
    }
  }
  const time = roles.of.get("time");
  if (time) take(draft, time, "time");
  const device = roles.of.get("device");
  if (device) take(draft, device, "device");
  const note = roles.of.get("note");
  if (note) take(draft, note, "note");
  const handle = roles.of.get("handle");
  if (!handle || draft.kind !== "grip-trials") return;
  const median = medianOf(handle.cells);
  const unit =
    headingParts(handle.name).unit ||
    usualUnit(handle) ||
    (median >= 30 && median <= 90 ? "mm" : "");
  if (!/^(?:mm|cm|in|inch|inches)$/.test(unit)) return;
  take(draft, handle, "handle_mm");
  const symbol = unit === "mm" || unit === "cm" ? unit : "in";
  if (symbol !== "mm") draft.reading.units.handle_mm = symbol;
  takeUnitInCells(draft.reading, handle, { ours: "handle_mm", unit: symbol });
}

/** The visit of each row: a column, the name of the file or sheet, or the only one. */
export function takeVisit(draft: Draft, { roles, design, decisions, named, table }: Making): void {
  const ids = design.occasions.map(({ id }) => id);
  const column = roles.of.get("occasion");
  if (column) {
    const data = dataValues(draft, column);
    const inWeeks = /week|woche|semaine|semana/.test(headingParts(column.name).words);
    const map = visitsMeant(data.values, design, inWeeks);
    codesMeant({ draft, column: data, ours: "occasion", map }, ids, decisions);
    return;
  }
  if (named.has("occasion") || (draft.reading.wide && everyWide(draft, "occasion"))) return;
  const only = ids.length === 1 ? ids[0] : undefined;
  const id =
    only ??
    decisions.choose({
      key: `${labelOf(table)}: visit`,
      text: `Which visit is ${labelOf(table)}? The file does not say it.`,
      choices: ids,
    });
  if (id !== undefined) draft.reading.constants.occasion = id;
}

/** Whether every wide column states a fact. */
export function everyWide(draft: Draft, fact: string): boolean {
  const facts = Object.values(draft.reading.wide?.columns ?? {});
  return facts.length > 0 && facts.every((one) => fact in one);
}

/** Position of a grip trial or club of a swing: a column, headings, the name, or the only one. */
export function takePlace(draft: Draft, { roles, design, decisions, named, table }: Making): void {
  const grip = draft.kind === "grip-trials";
  const ours = grip ? "position" : "club";
  const known = grip ? knownPositions(design.positions) : knownClubs(design.clubs);
  const ids = known.map(({ id }) => id);
  const column = roles.of.get(ours);
  if (column) {
    const data = dataValues(draft, column);
    const map = ids.length === 0 ? {} : matched(data.values, known);
    codesMeant({ draft, column: data, ours, map }, ids, decisions);
    return;
  }
  if (named.has(ours) || (draft.reading.wide && everyWide(draft, ours))) return;
  const only = ids.length === 1 ? ids[0] : undefined;
  const id =
    only ??
    decisions.choose({
      key: `${labelOf(table)}: ${ours}`,
      text: `Which ${ours} are the trials of ${labelOf(table)} in? The file does not say it.`,
      choices: ids,
    });
  if (id !== undefined) draft.reading.constants[ours] = id;
}

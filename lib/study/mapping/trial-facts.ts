import { forceUnit, medianOf, speedUnit } from "./column-values.js";
import {
  codesMeant,
  type Draft,
  dataValues,
  emptyDraft,
  everyWide,
  labelOf,
  type Making,
  take,
  translate,
} from "./drafts.js";
import { headingParts } from "./heading-words.js";
import type { RawColumn } from "./raw-table.js";
import { unitsIn } from "./unit-cells.js";
import { meaningOf } from "./value-words.js";

/** What trials measure. */
export type Quantity = "force" | "speed";
const kinds = { force: "grip-trials", speed: "swing-trials" } as const;
/** The column that numbers trials of each quantity. */
export const numberNames = { force: "trial", speed: "swing" } as const;

/** A draft of trials with the golfer of each row. */
export function started({ table, roles }: Making, quantity: Quantity): Draft {
  const draft = emptyDraft(table, kinds[quantity]);
  const id = roles.of.get("participant");
  if (id) take(draft, id, "participant");
  return draft;
}

/** The hand of each trial: a column, headings, the name of the file. */
export function takeHand(draft: Draft, { roles, decisions, named, table }: Making): void {
  const column = roles.of.get("hand");
  const choices = ["left", "right", "lead", "trail"];
  if (column) {
    const data = dataValues(draft, column);
    const map = meaningOf(data.values, "hand");
    codesMeant({ draft, column: data, ours: "hand", map }, choices, decisions);
    return;
  }
  if (Object.values(draft.reading.wide?.columns ?? { none: {} }).every((facts) => "hand" in facts))
    return;
  if (named.has("hand")) return;
  const hand = decisions.choose({
    key: `${labelOf(table)}: hand`,
    text: `Which hand are the trials of ${labelOf(table)} of? The file does not say it.`,
    choices,
  });
  if (hand !== undefined) draft.reading.constants.hand = hand;
}

/** The number of each trial: a column, headings, or the order of the file. */
export function takeNumber(draft: Draft, { roles }: Making, quantity: Quantity): void {
  const ours = numberNames[quantity];
  const column = roles.of.get(ours) ?? roles.of.get(quantity === "force" ? "swing" : "trial");
  if (!column) {
    if (!everyWide(draft, ours)) draft.reading.numberRows = ours;
    return;
  }
  take(draft, column, ours);
  const { values } = dataValues(draft, column);
  if (values.every((value) => /^\d+$/.test(value))) return;
  const numbered = values.map((value): [string, string] => [
    value,
    String(Number(/\d+/.exec(value)?.[0] ?? "0")),
  ]);
  translate(draft, ours, Object.fromEntries(numbered));
}

/** What is measured, and where. */
export interface Measured {
  /** Force or speed. */
  readonly quantity: Quantity;
  /** The columns of the values. */
  readonly columns: readonly RawColumn[];
}

/** The unit: a column, headings, the title, or the size of the values where only one can be meant. */
export function takeUnit(draft: Draft, making: Making, { quantity, columns }: Measured): void {
  const { roles, decisions, table } = making;
  const unitColumn = roles.of.get("unit");
  const choices = quantity === "force" ? ["kgf", "N", "lbf"] : ["mph", "m/s", "km/h"];
  const decide = quantity === "force" ? forceUnit : speedUnit;
  if (columns.some(({ units }) => units)) {
    takeCellUnits(draft, making, { quantity, columns });
    return;
  }
  if (unitColumn) {
    const data = dataValues(draft, unitColumn);
    const meant = data.values.map((value) => decide(value.toLowerCase(), 0));
    const map = meant.every((unit) => unit !== undefined)
      ? Object.fromEntries(data.values.map((value, i) => [value, meant[i] ?? ""]))
      : undefined;
    codesMeant({ draft, column: data, ours: "unit", map }, choices, decisions);
    return;
  }
  const stated = new Set(columns.map(({ name }) => headingParts(name).unit));
  const heading = stated.size === 1 ? ([...stated][0] ?? "") : "";
  const above =
    /[([]\s*(kgf?|kp|N|lbs?|lbf|mph|m\/s|km\/h)\s*[)\]]/.exec(
      `${table.above} ${table.path} ${table.sheet ?? ""}`,
    )?.[1] ?? "";
  // A unit that is not read, such as daN, must not be replaced by one that the size of the values suggests.
  const words = heading || bracketed(columns);
  const median = medianOf(columns.flatMap(({ cells }) => cells));
  const unit =
    decide(heading, Number.NaN) ??
    decide(above.toLowerCase(), Number.NaN) ??
    (words === "" ? decide("", median) : undefined) ??
    decisions.choose({
      key: `${labelOf(table)}: unit of ${quantity}`,
      text: `Which unit has the ${quantity} in ${labelOf(table)}, such as ${columns[0]?.values[0] ?? "none"}? ${
        words === ""
          ? "The file does not say it."
          : `Its heading says "${words}", which is not read. If it is none of these units, convert the values first.`
      }`,
      choices,
    });
  if (unit !== undefined) draft.reading.constants.unit = unit;
}

/** Units behind the numbers of the cells: each is proposed with its meaning; several are a question. */
function takeCellUnits(
  draft: Draft,
  { decisions, table }: Making,
  { quantity, columns }: Measured,
): void {
  const decide = quantity === "force" ? forceUnit : speedUnit;
  const choices = quantity === "force" ? ["kgf", "N", "lbf"] : ["mph", "m/s", "km/h"];
  const label = labelOf(table);
  const counts = [...unitsIn(columns)].sort((a, b) => b[1] - a[1]);
  const headings = new Set(columns.map(({ name }) => headingParts(name).unit));
  const heading = headings.size === 1 ? decide([...headings][0] ?? "", Number.NaN) : undefined;
  const pairs = counts.map(([text, count]) => {
    return { text, count, unit: decide(text.toLowerCase(), Number.NaN) };
  });
  const [first] = pairs;
  if (!first) return;
  const meant = new Set(pairs.map(({ unit }) => unit));
  const state = (list: readonly { text: string; unit: string | undefined }[]) => {
    draft.reading.cellUnits[quantity] = Object.fromEntries(
      list.flatMap(({ text, unit }) => (unit === undefined ? [] : [[text, unit]])),
    );
  };
  if (meant.size > 1) {
    const only = `only ${first.text}; report the others`;
    const answer = decisions.choose({
      key: `${label}: units of ${quantity}`,
      text: `The cells of ${label} have ${pairs.map(({ text, count }) => `${count} values in ${text}`).join(" and ")}. Is each converted by its own unit?`,
      choices: ["each by its own unit", only],
    });
    if (answer !== undefined) state(answer === only ? [first] : pairs);
    return;
  }
  if (first.unit !== undefined && (heading === undefined || heading === first.unit)) {
    state(pairs);
    return;
  }
  const unit = decisions.choose({
    key: `${label}: unit of ${quantity}`,
    text: `Which unit has the ${quantity} in ${label}? Its cells say "${first.text}"${heading === undefined ? ", which is not read" : `, its heading says ${heading}`}.`,
    choices,
  });
  if (unit !== undefined) state(pairs.map(({ text }) => ({ text, unit })));
}

/** What stands in brackets in the headings of values, where it may be a unit. */
function bracketed(columns: readonly RawColumn[]): string {
  const found = columns.map(({ name }) => /[([{]([^)\]}]+)[)\]}]/.exec(name)?.[1]?.trim() ?? "");
  return found.find((text) => text !== "") ?? "";
}

/** Whether each trial counts; without a column every one does. */
export function takeStatus(draft: Draft, { roles, decisions }: Making): void {
  const column = roles.of.get("status");
  if (!column || column.cells.some((cell) => cell === "")) {
    // An empty cell in such a column says nothing; a status of one's own is not made from it.
    if (!column) draft.reading.constants.status = "valid";
    if (!column) return;
  }
  const data = dataValues(draft, column);
  const map = meaningOf(data.values, "status");
  codesMeant(
    { draft, column: data, ours: "status", map },
    ["valid", "pain-stop", "refused", "device"],
    decisions,
  );
}

import type { ColumnTable } from "arquero";
import { itemAt, present } from "../../entry.js";
import type { People } from "../check/people.js";
import type { Rows } from "../check/rows.js";
import { numberAt, textAt } from "../check/rows.js";
import type { Trials } from "../check/trials.js";
import { trialColumns } from "../check/trials.js";
import type { StudyDesign } from "../package/design.js";
import type { ResourceName } from "../package/dictionary.js";
import { dictionary } from "../package/dictionary.js";
import type { Column } from "./columns.js";
import { CodedValues, keepRows, tableOf } from "./columns.js";

interface Context {
  readonly people: People;
  readonly design: StudyDesign;
}

/** Every trial of a file, with its fate beside it. */
export function trialTable(
  trials: Trials | null,
  resource: ResourceName,
  context: Context,
): ColumnTable {
  if (!trials) return tableOf(emptyColumns(resource));
  const { fates } = trials.rows;
  const reasons = ["", ...fates.reasons.map(({ reason }) => reason)];
  const by = ["", ...fates.reasons.map(({ by: who }) => who)];
  return tableOf({
    ...trialColumns(trials, context),
    used: new CodedValues(fates.codes, [true, ...fates.reasons.map(() => false)]),
    left_out: new CodedValues(fates.codes, reasons),
    left_out_by: new CodedValues(fates.codes, by),
  });
}

/** The trials in use. */
export function usedTrials(all: ColumnTable, trials: Trials | null): ColumnTable {
  const columns = all.columnNames().filter((name) => !/^(used|left_out)/.test(name));
  const part = tableOf(
    Object.fromEntries(columns.map((name) => [name, all.column(name) as Column])),
  );
  if (!trials || trials.rows.fates.reasons.length === 0) return part;
  const { codes } = trials.rows.fates;
  return keepRows(part, (row) => codes[row] === 0);
}

function emptyColumns(resource: ResourceName): Record<string, Column> {
  return Object.fromEntries(dictionary[resource].map(({ name }) => [name, []]));
}

/** The used rows of a file that holds no trials, with the arm beside the participant. */
export function recordTable(
  resource: ResourceName,
  rows: Rows | undefined,
  people: People,
): ColumnTable {
  if (!rows) return tableOf(emptyColumns(resource));
  const kept = Array.from({ length: rows.rowCount }, (_, i) => i).filter((i) => rows.fates.used(i));
  const columns: [string, Column][] = rows.resource.fields
    .filter(({ name }) => rows.columns.has(name))
    .map(({ name, type }) => {
      if (type !== "number" && type !== "integer")
        return [name, kept.map((i) => textAt(rows, name, i))];
      return [name, Float64Array.from(kept, (i) => numberAt(rows, name, i))];
    });
  if (rows.columns.has("participant"))
    columns.splice(1, 0, [
      "arm",
      kept.map((i) => armOf(people, present(textAt(rows, "participant", i)))),
    ]);
  return tableOf(Object.fromEntries(columns));
}

function armOf({ placeOf, arms }: People, id: string): string {
  return itemAt(arms, present(placeOf.get(id)));
}

import { itemAt, present } from "../../entry.js";
import type { People } from "../check/people.js";
import type { Rows } from "../check/rows.js";
import { numberAt, textAt } from "../check/rows.js";
import type { Trials } from "../check/trials.js";
import type { StudyDesign } from "../package/design.js";
import type { ResourceName } from "../package/dictionary.js";
import { dictionary } from "../package/dictionary.js";
import type { Column } from "./columns.js";
import { CodedValues, columnOf, keepRows, tableOf } from "./columns.js";
import type { StudyTable } from "./study-table.js";
import type { RecordedTrial } from "./table-rows.js";
import { trialColumns } from "./trial-columns.js";

interface Context {
  readonly people: People;
  readonly design: StudyDesign;
}

/** Every trial of a file, with its fate beside it. */
export function trialTable<Row>(
  trials: Trials | null,
  resource: ResourceName,
  context: Context,
): StudyTable<RecordedTrial<Row>> {
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
export function usedTrials<Row>(
  all: StudyTable<RecordedTrial<Row>>,
  trials: Trials | null,
): StudyTable<Row> {
  const part = withoutFates(all);
  if (!trials || trials.rows.fates.reasons.length === 0) return part;
  const { codes } = trials.rows.fates;
  return keepRows(part, (row) => codes[row] === 0);
}

/** The table without the columns that say whether a trial is used. */
export function withoutFates<Row>(table: StudyTable<RecordedTrial<Row>>): StudyTable<Row> {
  const names = table.columnNames().filter((name) => !/^(used|left_out)/.test(name));
  return tableOf<Row>(Object.fromEntries(names.map((name) => [name, columnOf(table, name)])));
}

function emptyColumns(resource: ResourceName): Record<string, Column> {
  return Object.fromEntries(dictionary[resource].map(({ name }) => [name, []]));
}

/** The used rows of a file that holds no trials, with the arm beside the participant. */
export function recordTable<Row>(
  resource: ResourceName,
  rows: Rows | undefined,
  people: People,
): StudyTable<Row> {
  if (!rows) return tableOf(emptyColumns(resource));
  const kept = Array.from({ length: rows.rowCount }, (_, i) => i).filter((i) => rows.fates.used(i));
  const columns: [string, Column][] = rows.fields
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

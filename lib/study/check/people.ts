import { itemAt, present, wholeAt } from "../../entry.js";
import type { StudyDesign } from "../package/design.js";
import { tableOf } from "../tables/columns.js";
import type { StudyTable } from "../tables/study-table.js";
import type { ParticipantRow } from "../tables/table-rows.js";
import type { IssueLog } from "./issue-log.js";
import type { Rows } from "./rows.js";
import { numberAt, partAt, rowPlace, textAt } from "./rows.js";
import { StrangeValues } from "./strange-values.js";

/** The participants, by their place in the file. */
export interface People {
  /** Codes of the golfers. */
  readonly ids: readonly string[];
  /** Place of each code in the file. */
  readonly placeOf: ReadonlyMap<string, number>;
  /** Id of each golfer's arm. */
  readonly arms: readonly string[];
  /** Playing side; null where it could not be read. */
  readonly plays: readonly (string | null)[];
  /** Sex; null where it was not recorded. */
  readonly sexes: readonly (string | null)[];
  /** Age in years at the first occasion; NaN where it was not recorded. */
  readonly ages: readonly number[];
  /** Day of leaving the study, ISO; null for those who stayed. */
  readonly withdrewOn: readonly (string | null)[];
  /** Why they left; null for those who stayed. */
  readonly withdrewReason: readonly (string | null)[];
  /** Codes whose own row cannot be used; their trials are left out for that reason. */
  readonly refused: ReadonlySet<string>;
  /** The participants as a table. */
  readonly table: StudyTable<ParticipantRow>;
}

/** Takes the participants from their rows: each code once, each in an arm of the design. */
export function readPeople(rows: Rows, design: StudyDesign, log: IssueLog): People {
  const placeOf = new Map<string, number>();
  const kept: number[] = [];
  const armIds = design.arms.map(({ id }) => id);
  const strange = new StrangeValues(rows, present(rows.columns.get("arm")));
  for (let i = 0; i < rows.rowCount; i++) {
    if (!rows.fates.used(i)) continue;
    const id = present(textAt(rows, "participant", i));
    const arm = present(textAt(rows, "arm", i));
    if (!armIds.includes(arm)) {
      strange.count(i);
      rows.fates.leaveOut(i, "arm not in the design", "error");
    } else if (placeOf.has(id)) repeated(rows, i, itemAt(kept, present(placeOf.get(id))), log);
    else {
      placeOf.set(id, kept.length);
      kept.push(i);
    }
  }
  strange.report({ code: "arm-unknown", known: armIds, expected: armIds.join(", ") }, log);
  return peopleOf(rows, kept, placeOf);
}

/** Codes that the file has, but in no row that can be used. */
function refusedCodes(rows: Rows, placeOf: ReadonlyMap<string, number>): Set<string> {
  const refused = new Set<string>();
  for (let i = 0; i < rows.rowCount; i++) {
    const id = rows.fates.used(i) ? null : textAt(rows, "participant", i);
    if (id !== null && !placeOf.has(id)) refused.add(id);
  }
  return refused;
}

function repeated(rows: Rows, index: number, first: number, log: IssueLog): void {
  if (partAt(rows, index).resource.reading.onePerGolfer && sameFacts(rows, index, first)) {
    rows.fates.leaveOut(index, "same golfer as in an earlier row", "mapping");
    return;
  }
  const where = { ...rowPlace(rows, index) };
  const arm = present(textAt(rows, "arm", index));
  const firstArm = present(textAt(rows, "arm", first));
  const value = textAt(rows, "participant", index);
  log.add({ ...where, column: "participant", code: "participant-repeated", value });
  if (arm !== firstArm)
    log.add({ ...where, column: "arm", code: "arm-changed", value: arm, expected: firstArm });
  rows.fates.leaveOut(index, "participant listed twice", "error");
}

function sameFacts(rows: Rows, index: number, first: number): boolean {
  return [...rows.columns.values()].every(
    ({ codes, values }) =>
      values[wholeAt(codes, index)] === values[wholeAt(codes, first)] ||
      values[wholeAt(codes, index)] === null,
  );
}

function peopleOf(rows: Rows, kept: readonly number[], placeOf: Map<string, number>): People {
  const texts = (name: string) => kept.map((i) => textAt(rows, name, i));
  const columns = Object.fromEntries(
    rows.fields
      .filter(({ name }) => rows.columns.has(name))
      .map(({ name, type }) => {
        if (type !== "number" && type !== "integer") return [name, texts(name)];
        return [name, Float64Array.from(kept, (i) => numberAt(rows, name, i))];
      }),
  );
  return {
    ids: [...placeOf.keys()],
    placeOf,
    arms: texts("arm") as string[],
    plays: texts("plays"),
    sexes: texts("sex"),
    ages: kept.map((i) => numberAt(rows, "age_years", i)),
    withdrewOn: texts("withdrew_on"),
    withdrewReason: texts("withdrew_reason"),
    refused: refusedCodes(rows, placeOf),
    table: tableOf(columns),
  };
}

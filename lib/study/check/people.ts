import { itemAt, present } from "../../entry.js";
import type { StudyDesign } from "../package/design.js";
import { tableOf } from "../tables/columns.js";
import type { StudyTable } from "../tables/study-table.js";
import type { ParticipantRow } from "../tables/table-rows.js";
import type { IssueLog } from "./issue-log.js";
import type { Rows } from "./rows.js";
import { numberAt, textAt } from "./rows.js";

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
  /** The participants as a table. */
  readonly table: StudyTable<ParticipantRow>;
}

/** Takes the participants from their rows: each code once, each in an arm of the design. */
export function readPeople(rows: Rows, design: StudyDesign, log: IssueLog): People {
  const placeOf = new Map<string, number>();
  const kept: number[] = [];
  const armIds = design.arms.map(({ id }) => id);
  for (let i = 0; i < rows.rowCount; i++) {
    if (!rows.fates.used(i)) continue;
    const id = present(textAt(rows, "participant", i));
    const arm = present(textAt(rows, "arm", i));
    if (!armIds.includes(arm)) {
      const where = { file: rows.file, row: rows.fileRow(i), column: "arm" };
      log.add({ ...where, code: "arm-unknown", value: arm, expected: armIds.join(", ") });
      rows.fates.leaveOut(i, "arm not in the design", "error");
    } else if (placeOf.has(id)) repeated(rows, i, itemAt(kept, present(placeOf.get(id))), log);
    else {
      placeOf.set(id, kept.length);
      kept.push(i);
    }
  }
  return peopleOf(rows, kept, placeOf);
}

function repeated(rows: Rows, index: number, first: number, log: IssueLog): void {
  const where = { file: rows.file, row: rows.fileRow(index) };
  const arm = present(textAt(rows, "arm", index));
  const firstArm = present(textAt(rows, "arm", first));
  const value = textAt(rows, "participant", index);
  log.add({ ...where, column: "participant", code: "participant-repeated", value });
  if (arm !== firstArm)
    log.add({ ...where, column: "arm", code: "arm-changed", value: arm, expected: firstArm });
  rows.fates.leaveOut(index, "participant listed twice", "error");
}

function peopleOf(rows: Rows, kept: readonly number[], placeOf: Map<string, number>): People {
  const texts = (name: string) => kept.map((i) => textAt(rows, name, i));
  const columns = Object.fromEntries(
    rows.resource.fields
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
    table: tableOf(columns),
  };
}

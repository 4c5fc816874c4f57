import type { ColumnTable } from "arquero";
import { InputError } from "../../errors.js";
import type { SetAside } from "../check/issue.js";
import type { Study } from "../study.js";
import { columnOf, keepRows, valueAt } from "./columns.js";
import { hasColumn, textColumn } from "./selection.js";
import type { StudyTable } from "./study-table.js";
import type { RecordedTrial } from "./table-rows.js";
import { withoutFates } from "./trial-tables.js";

const tables = [
  "participants",
  "gripTrials",
  "swingTrials",
  "trainingLog",
  "swingGrip",
  "allGripTrials",
  "allSwingTrials",
] as const;

/**
 * The study as it would be without one participant: every table, the set-asides; not the account,
 * which tells what the files hold.
 * @throws InputError when there is no such participant
 */
export function withoutParticipant(study: Study, id: string): Study {
  if (!textColumn(study.participants, "participant").includes(id))
    throw new InputError({
      expected: "a participant of the study",
      got: JSON.stringify(id) ?? "nothing",
      where: "without",
    });
  const without = Object.fromEntries(
    tables.map((name) => [
      name,
      hasColumn(study[name], "participant") ? dropped(study[name], id) : study[name],
    ]),
  );
  const setAside = study.setAside.filter(({ participant }) => participant !== id);
  return Object.freeze({ ...study, ...without, setAside });
}

function dropped<T extends ColumnTable>(table: T, id: string): T {
  const column = columnOf(table, "participant");
  return keepRows(table, (row) => valueAt(column, row) !== id);
}

/**
 * The study with the trials put back that the set-aside file leaves out, so that a result can be
 * given with and without them. Trials that were not valid, or could not be read, stay out.
 * @example withSetAsides(openStudy("winter-block")).setAside.length // 6
 */
export function withSetAsides(study: Study): Study {
  const back = <Row>(table: StudyTable<RecordedTrial<Row>>): StudyTable<Row> => {
    if (!hasColumn(table, "used")) return withoutFates(table);
    const by = columnOf(table, "left_out_by");
    return withoutFates(
      keepRows(table, (row) => ["", "set-aside"].includes(String(valueAt(by, row)))),
    );
  };
  return Object.freeze({
    ...study,
    gripTrials: back(study.allGripTrials),
    swingTrials: back(study.allSwingTrials),
    setAside: study.setAside.filter(({ by }: SetAside) => by !== "set-aside"),
  });
}

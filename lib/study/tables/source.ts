import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { columnOf, valueAt } from "./columns.js";
import { matching, textColumn, type Where } from "./selection.js";
import type { SourceRecord } from "./source-record.js";

/** Options of `sourceOf`: which trials, and of whom. */
export interface SourceOptions {
  /** Which trials: "grip", "swing" or both. */
  readonly trials: "grip" | "swing" | "both";
  /** People the number is about; everyone when left out. */
  readonly participant?: readonly string[];
  /** Which rows, such as {hand: "lead", position: "address", occasion: ["w0", "w6"]}. */
  readonly where?: Where;
}

/**
 * Traces a number to its rows: the files, how many rows were used, how many were left out and why,
 * and who took part.
 * @returns a record for a finding's `source`
 * @throws InputError when `where` names a column that neither table has
 * @example sourceOf(openStudy("coach-nine"), { trials: "grip" }).rowsUsed // 107
 */
export function sourceOf(study: Study, options: SourceOptions): SourceRecord {
  knownOptions(options, ["trials", "participant", "where"], "sourceOf");
  const { trials, participant, where = {} } = options;
  const parts = trials === "both" ? (["grip", "swing"] as const) : [trials];
  const used: string[] = [];
  const reasons = new Map<string, number>();
  for (const part of parts) {
    const all = part === "grip" ? study.allGripTrials : study.allSwingTrials;
    const names = all.columnNames();
    const known =
      parts.length === 1
        ? where
        : Object.fromEntries(Object.entries(where).filter(([name]) => names.includes(name)));
    const rows = matching(all, participant ? { ...known, participant } : known, "sourceOf");
    if (!names.includes("left_out")) continue;
    const leftOut = columnOf(rows, "left_out");
    const inUse = columnOf(rows, "used");
    const people = columnOf(rows, "participant");
    for (let row = 0; row < rows.totalRows(); row++) {
      if (valueAt(inUse, row)) used.push(String(valueAt(people, row)));
      else {
        const reason = String(valueAt(leftOut, row));
        reasons.set(reason, (reasons.get(reason) ?? 0) + 1);
      }
    }
  }
  const participants = new Set(used);
  const files = study.account
    .filter(({ resource }) => parts.some((part) => resource === `${part}-trials`))
    .map(({ file }) => `${study.name}/${file}`);
  return frozen({
    files,
    rowsUsed: used.length,
    setAside: [...reasons].map(([reason, rows]) => ({ reason, rows })),
    participants: textColumn(study.participants, "participant").filter((id) =>
      participants.has(id),
    ),
  });
}

import type { Change } from "./outcome.js";
import { column, type ResultTable, resultTable } from "./result-table.js";

/**
 * The golfers without a value on one of the two visits, each with the reason.
 * @example missingGolfers(openStudy("winter-block").primary.change()).rows.length // 2
 */
export function missingGolfers(change: Change): ResultTable {
  const { arms } = change.outcome.study.design;
  const titles = new Map(arms.map(({ id, title }) => [id, title]));
  return resultTable(
    `${change.outcome.measure.name}: golfers without a value on both visits, ${change.before.title} and ${change.after.title}.`,
    [column("participant", "Golfer"), column("arm", "Arm"), column("reason", "Reason")],
    change.missing.map(({ participant, arm, reason }) => ({
      participant,
      arm: titles.get(arm) ?? arm,
      reason,
    })),
    "missingGolfers",
  );
}

import { itemAt } from "../entry.js";
import { adjustForBaseline } from "../stats/baseline.js";
import { percentDifference } from "../stats/percent.js";
import { type ArmPair, armPairs, columnOf, comparisonObstacle } from "./arm-rows.js";
import type { Change } from "./outcome.js";
import { column, type ResultTable, resultTable } from "./result-table.js";

/**
 * The difference of the arms' adjusted means as a percentage, by what it is a percentage of: the
 * same two means make several percentages, so a percentage is given with its denominator.
 * @param change from `outcome.change()`, not on logarithms
 * @returns one row per comparison and denominator; no row where the arms cannot be compared
 * @example percentsOf(openStudy("winter-block").primary.change()).rows.length // 4
 */
export function percentsOf(change: Change): ResultTable {
  const { arms } = change.outcome.study.design;
  const canCompare = comparisonObstacle(change) === undefined && !change.outcome.isLogged;
  const rows = canCompare ? armPairs(arms).flatMap((pair) => percentRows(change, pair)) : [];
  return resultTable(
    `${change.outcome.measure.name}: the difference of the adjusted means as a percentage, by its denominator.`,
    [
      column("comparison", "Comparison"),
      column("of", "Percentage of"),
      column("value", "Difference", "%", 1),
    ],
    rows,
  );
}

function percentRows(change: Change, { first, second }: ArmPair) {
  const { groups } = adjustForBaseline({
    before: columnOf(change.rows, "before"),
    after: columnOf(change.rows, "after"),
    group: change.rows.map(({ arm }) => arm),
    reference: second.id,
  });
  const meanOf = (arm: string) =>
    groups.find(({ group }) => group === arm)?.adjustedMean ?? itemAt(groups, 0).adjustedMean;
  const percent = percentDifference(meanOf(first.id), meanOf(second.id));
  const comparison = `${first.title} − ${second.title.toLowerCase()}`;
  return [
    { comparison, of: `adjusted mean of ${second.title.toLowerCase()}`, value: percent.ofSecond },
    { comparison, of: `adjusted mean of ${first.title.toLowerCase()}`, value: percent.ofFirst },
    { comparison, of: "mean of both", value: percent.ofMean },
    { comparison, of: "logarithm of the ratio (log points)", value: percent.logPoints },
  ];
}

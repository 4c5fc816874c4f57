import type { ColumnTable } from "arquero";
import { realAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { medianInPlace } from "../../num/median.js";
import { knownOptions } from "../../options.js";
import { convert } from "../../units/convert.js";
import type { Study } from "../study.js";
import type { Column } from "./columns.js";
import { CodedValues, coded, columnOf, tableOf, takeColumn, takeRows } from "./columns.js";
import { groupRows } from "./groups.js";
import type { GripRule, RuleChoice, SpeedRule, SummaryRule } from "./rules.js";
import { gripRules, ruleOf, speedRules } from "./rules.js";
import type { StudyTable } from "./study-table.js";
import type { GripSummaryRow, SpeedSummaryRow } from "./table-rows.js";

const optionNames = ["rule", "least"];

/** Which rule makes one value of several trials. */
export interface SummaryOptions<Rule extends string = GripRule | SpeedRule> {
  /** The rule's name, such as "mean3" or "max". There is no default: it is part of the result. */
  readonly rule: RuleChoice<Rule>;
  /** Fewest valid trials a value may rest on, default 1; groups with fewer are left out. */
  readonly least?: number;
}

/**
 * One grip value per person × occasion × hand × position, by a named rule, in kgf.
 *
 * Rules: mean3, max3, median3, mean2, max2, first (of the first trials in order), mean, max, median
 * (of all), max6 and mean6 (three of each hand; the summary then has no hand). Rows in the order of
 * the participants file and the design.
 * @param study from `openStudy`
 * @param options rule: its name; least: fewest valid trials (default 1)
 * @returns table with participant, arm, occasion, week, hand, position, grip_kgf, n (trials used),
 *   planned, complete (n = planned) and rule
 * @throws InputError when the rule is not known, or changes between occasions
 * @see Roberts et al. (2011) Age Ageing 40:423–429, for how far such rules disagree
 * @example summariseGrip(openStudy("coach-nine"), { rule: "mean3" }).totalRows() // 36
 */
export function summariseGrip(
  study: Study,
  options: SummaryOptions<GripRule>,
): StudyTable<GripSummaryRow> {
  knownOptions(options, optionNames, "summariseGrip");
  const rule = ruleOf(options?.rule, gripRules, "summariseGrip");
  const keys =
    rule.hands === "both"
      ? ["participant", "occasion", "position"]
      : ["participant", "occasion", "hand", "position"];
  const perHand = Math.min(rule.trials ?? study.design.gripTrials, study.design.gripTrials);
  return summarised(study.gripTrials, {
    rule,
    keys,
    least: leastOf(options, "summariseGrip"),
    planned: rule.hands === "both" ? 2 * perHand : perHand,
    valueName: "force_kgf",
    numberName: "trial",
    named: (values) => ({ grip_kgf: values }),
  });
}

/**
 * One club-speed value per person × occasion × club, by a named rule, in m/s and mph.
 *
 * Rules: mean, max, median (of all swings), mean7, mean5, first (in order), best3, best5 (mean of
 * the fastest).
 * @param study from `openStudy`
 * @param options rule: its name; least: fewest valid swings (default 1)
 * @returns table with participant, arm, occasion, week, club, speed_mps, speed_mph, n (swings used),
 *   planned, complete and rule
 * @throws InputError when the rule is not known, or changes between occasions
 * @see Villarrasa-Sapiña et al. (2022) Sensors 22:9069, for how many swings are enough
 * @example summariseSpeed(openStudy("coach-nine"), { rule: "mean" }).get("n", 0) // 8
 */
export function summariseSpeed(
  study: Study,
  options: SummaryOptions<SpeedRule>,
): StudyTable<SpeedSummaryRow> {
  knownOptions(options, optionNames, "summariseSpeed");
  const rule = ruleOf(options?.rule, speedRules, "summariseSpeed");
  return summarised(study.swingTrials, {
    rule,
    keys: ["participant", "occasion", "club"],
    least: leastOf(options, "summariseSpeed"),
    planned: Math.min(rule.trials ?? study.design.swings, study.design.swings),
    valueName: "speed_mps",
    numberName: "swing",
    named: (values) => ({
      speed_mps: values,
      speed_mph: values.map((value) => convert(value, "m/s", "mph")),
    }),
  });
}

function leastOf({ least = 1 }: { readonly least?: number }, where: string): number {
  if (Number.isInteger(least) && least >= 1) return least;
  throw new InputError({
    expected: "a whole number of at least 1",
    got: String(least),
    where: `${where}, least`,
  });
}

interface Task {
  readonly rule: SummaryRule;
  readonly keys: readonly string[];
  readonly least: number;
  readonly planned: number;
  readonly valueName: string;
  readonly numberName: string;
  readonly named: (values: Float64Array) => Record<string, Column>;
}

function summarised<Row>(trials: ColumnTable, task: Task): StudyTable<Row> {
  const table = flat(trials);
  const keys = task.keys.map((name) => coded(columnOf(table, name)));
  const groups = groupRows(keys, table.totalRows());
  const values = columnOf(table, task.valueName) as Float64Array;
  const numbers = columnOf(table, task.numberName) as Int32Array;
  const hands = task.rule.hands === "both" ? coded(columnOf(table, "hand")).codes : null;
  const kept: number[] = [];
  const result: number[] = [];
  const used: number[] = [];
  for (let g = 0; g < groups.count; g++) {
    const rows = groups.order.subarray(wholeAt(groups.starts, g), wholeAt(groups.starts, g + 1));
    const chosen = hands
      ? bothHands(rows, hands, (part) => chosenRows(part, task.rule, values, numbers))
      : chosenRows(rows, task.rule, values, numbers);
    if (chosen.length < task.least) continue;
    kept.push(wholeAt(rows, 0));
    result.push(statisticOf(chosen, task.rule, values));
    used.push(chosen.length);
  }
  return summaryTable(table, task, { kept, result, used });
}

/** The table without a filter or an order set on it, so that rows can be counted by place. */
function flat(table: ColumnTable): ColumnTable {
  if (!table.isFiltered() && !table.isOrdered()) return table;
  return takeRows(table, Int32Array.from(table.indices()));
}

/** What the rule takes of each hand, together. */
function bothHands(
  rows: Int32Array,
  hands: ArrayLike<number>,
  choose: (rows: Int32Array) => Int32Array,
): Int32Array {
  const parts = [0, 1].map((hand) => choose(rows.filter((row) => hands[row] === hand)));
  return Int32Array.from(parts.flatMap((part) => [...part]));
}

/** The rows a rule takes of one group. */
function chosenRows(
  rows: Int32Array,
  { trials, best }: SummaryRule,
  values: Float64Array,
  numbers: Int32Array,
): Int32Array {
  if (trials === null || (rows.length <= trials && !best)) return rows;
  const sorted = rows.slice();
  if (best) sorted.sort((a, b) => realAt(values, b) - realAt(values, a));
  else sorted.sort((a, b) => wholeAt(numbers, a) - wholeAt(numbers, b));
  return sorted.subarray(0, trials);
}

function statisticOf(rows: Int32Array, { statistic }: SummaryRule, values: Float64Array): number {
  if (statistic === "median")
    return medianInPlace(Float64Array.from(rows, (row) => realAt(values, row)));
  let sum = 0;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < rows.length; i++) {
    const value = realAt(values, wholeAt(rows, i));
    sum += value;
    if (value > most) most = value;
  }
  return statistic === "max" ? most : sum / rows.length;
}

function summaryTable<Row>(
  trials: ColumnTable,
  { rule, keys, planned, named }: Task,
  { kept, result, used }: { kept: number[]; result: number[]; used: number[] },
): StudyTable<Row> {
  const rows = Int32Array.from(kept);
  const names = ["participant", "arm", "occasion", "week", ...keys.slice(2)];
  const same = new Uint8Array(rows.length);
  return tableOf({
    ...Object.fromEntries(names.map((name) => [name, takeColumn(columnOf(trials, name), rows)])),
    ...named(Float64Array.from(result)),
    n: Int32Array.from(used),
    planned: new Int32Array(rows.length).fill(planned),
    complete: new CodedValues(
      used.map((n) => (n >= planned ? 1 : 0)),
      [false, true],
    ),
    rule: new CodedValues(same, [rule.id]),
  });
}

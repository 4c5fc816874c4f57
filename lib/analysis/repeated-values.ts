import { present } from "../entry.js";
import type { RepeatedValue } from "../stats/two-way-error.js";
import { columnOf, valueAt } from "../study/tables/columns.js";
import { matching } from "../study/tables/selection.js";
import type { Outcome } from "./outcome.js";

/** Values of golfers that should be alike: trials of one visit, or visits without training between. */
export interface RepeatedValues {
  /** One row per golfer and trial, or golfer and visit. */
  readonly values: readonly RepeatedValue[];
  /** Trials, or visits, in their order. */
  readonly trials: readonly string[];
}

/** Every trial of an outcome on one visit, in use; in the unit of the outcome. */
export function trialsOf(outcome: Outcome, occasion: string): RepeatedValues {
  const isGrip = outcome.quantity === "grip";
  const table = isGrip ? outcome.study.gripTrials : outcome.study.swingTrials;
  if (table.totalRows() === 0) return { values: [], trials: [] };
  const rows = matching(table, { ...outcome.where, occasion }, "reliabilityOf");
  const names = isGrip
    ? (["participant", "trial", "force_kgf"] as const)
    : (["participant", "swing", "speed_mph"] as const);
  const [who, number, value] = names.map((name) => columnOf(rows, name));
  const both = outcome.rule.hands === "both" && isGrip ? columnOf(rows, "hand") : undefined;
  const values: RepeatedValue[] = [];
  for (let row = 0; row < rows.totalRows(); row++) {
    const force = Number(valueAt(present(value), row));
    const trial = `${both ? `${valueAt(both, row)} ` : ""}${valueAt(present(number), row)}`;
    values.push({
      person: String(valueAt(present(who), row)),
      trial,
      value: outcome.isLogged ? Math.log(force) : force,
    });
  }
  const order = new Intl.Collator("en", { numeric: true }).compare;
  return { values, trials: [...new Set(values.map(({ trial }) => trial))].sort(order) };
}

/** The values of an outcome from visit to visit, of the golfers of some arms. */
export function visitsAsTrials(
  outcome: Outcome,
  occasions: readonly string[],
  arms: readonly string[],
): RepeatedValues {
  const values = outcome.rows
    .filter(({ arm, occasion }) => arms.includes(arm) && occasions.includes(occasion))
    .map(({ participant, occasion, value }) => ({
      person: participant,
      trial: occasion,
      value,
    }));
  const trials = occasions.filter((id) => values.some(({ trial }) => trial === id));
  return { values, trials };
}

/** Golfers who have every trial, as a table: one row per golfer, one column per trial. */
export function wholeTable({ values, trials }: RepeatedValues): {
  /** Codes of the golfers, in the order of the rows. */
  readonly participants: readonly string[];
  /** One row per golfer. */
  readonly table: readonly (readonly number[])[];
} {
  const own = new Map<string, Map<string, number>>();
  for (const { person, trial, value } of values) {
    const row = own.get(person) ?? new Map<string, number>();
    own.set(person, row.set(trial, value));
  }
  const whole = [...own].filter(([, row]) => row.size === trials.length);
  return {
    participants: whole.map(([participant]) => participant),
    table: whole.map(([, row]) => trials.map((trial) => present(row.get(trial)))),
  };
}

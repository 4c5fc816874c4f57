import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline } from "../stats/baseline.js";
import { bootstrap } from "../stats/bootstrap/bootstrap.js";
import type { Estimate } from "../stats/estimate.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import type { Arm } from "../study/package/design.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change, ChangeRow } from "./outcome-change.js";
import { percentOf } from "./percent-scale.js";
import {
  type Answer,
  type AnswerFields,
  answer,
  type ReferenceValue,
  visitName,
} from "./study-answer.js";

/** How the arms are compared. */
export interface CompareArmsOptions {
  /** "t" by default; "BCa" draws whole golfers within arms. */
  readonly interval?: "t" | "BCa";
  /** Resamples of the bootstrap. */
  readonly resamples?: number;
  /** Seed of the bootstrap; that of the plan unless given. */
  readonly seed?: number;
}

interface Comparison {
  /** first − second */
  readonly first: Arm;
  readonly second: Arm;
}

const optionNames = ["interval", "resamples", "seed"] as const;

/**
 * Compares the arms of a study after the block, adjusted for where each golfer started (analysis of
 * covariance): every arm against the control arm, or all pairs of arms where the design has none.
 *
 * With one arm, or with an arm of fewer than two golfers measured twice, the answer says why there is
 * no comparison. The golfers compared are those measured on both visits.
 * @param change from `outcome.change()`
 * @returns one answer per comparison, first − second, in the unit of the outcome; on logarithms in
 *   percent (ratio of geometric means)
 * @throws InputError when an option is not known
 * @see Vickers & Altman (2001) BMJ 323:1123–1124
 */
export function compareArms(change: Change, options: CompareArmsOptions = {}): Answer {
  knownOptions(options, optionNames, "compareArms");
  const comparisons = comparisonsOf(change);
  const why = obstacle(change);
  if (why !== undefined) return unansweredComparison(change, why);
  const answers = comparisons.map((comparison) => compared(change, comparison, options));
  if (answers.length === 1) return itemAt(answers, 0);
  const { n, kind } = { n: change.rows.length, kind: "compareArms" };
  return answer({ ...common(change), kind, count: { n, of: "golfers" }, parts: answers });
}

/** Arms of the design in which at least one golfer has a pair. */
function armsOf(change: Change): readonly Arm[] {
  return change.outcome.study.design.arms.filter(({ id }) => change.of(id).length > 0);
}

/** Each arm against the control arm; all pairs, the later against the earlier, without one. */
function comparisonsOf(change: Change): Comparison[] {
  const arms = armsOf(change);
  const control = arms.find((arm) => arm.control);
  if (control) {
    return arms.filter((arm) => arm !== control).map((first) => ({ first, second: control }));
  }
  return arms.flatMap((second, i) => arms.slice(i + 1).map((first) => ({ first, second })));
}

/** Why the arms cannot be compared, as a sentence. */
function obstacle(change: Change): string | undefined {
  const { arms } = change.outcome.study.design;
  if (arms.length < 2) {
    return "The study has one arm and no control: its change includes any change that would have happened without training.";
  }
  const small = arms.filter(({ id }) => change.of(id).length < 2);
  if (small.length > 0) {
    const names = small.map(({ title, id }) => `${title} (${change.of(id).length})`).join(", ");
    return `A comparison needs at least two golfers per arm who were measured on both visits; too few in: ${names}.`;
  }
  if (change.rows.length <= arms.length + 1) {
    return `A comparison adjusted for baseline needs more than ${arms.length + 1} golfers measured on both visits; there are ${change.rows.length}.`;
  }
  const varies = arms.some(({ id }) => new Set(change.of(id).map((row) => row.before)).size > 1);
  return varies
    ? undefined
    : "All golfers of an arm started from the same value, so that nothing can be adjusted for.";
}

function common(change: Change): Omit<AnswerFields, "kind" | "count"> {
  const { outcome } = change;
  return {
    quantity: "difference",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    adjustedFor: ["baseline"],
    unit: outcome.isLogged ? "%" : outcome.unit,
    rule: outcome.rule.title,
    method: "analysis of covariance",
    source: change.source(),
    references: referencesOf(change),
  };
}

function unansweredComparison(change: Change, why: string): Answer {
  const count = { n: change.rows.length, of: "golfers" } as const;
  return answer({ ...common(change), kind: "compareArms", count, unanswered: why });
}

/** The smallest worthwhile change of the plan, where it names one for this outcome. */
export function referencesOf({ outcome }: Change): ReferenceValue[] {
  if (outcome.isLogged) return [];
  const planned = outcome.study.plan.smallestWorthwhile ?? {};
  const value = planned[outcome.quantity === "grip" ? "grip_kgf" : "speed_mph"];
  return value === undefined ? [] : [{ name: "smallest worthwhile change", value }];
}

function compared(change: Change, comparison: Comparison, options: CompareArmsOptions): Answer {
  const { first, second } = comparison;
  const { level } = change.outcome.study.plan;
  const rows = change.rows;
  const fit = adjustForBaseline(columnsOf(rows, second.id), { level });
  const ordinary = estimateOf(fit.differences, first);
  const estimate =
    options.interval === "BCa" ? resampled(change, comparison, options, ordinary) : ordinary;
  const isLogged = change.outcome.isLogged;
  const leaveOneOut = leaveOneOutOf(
    scaled(ordinary, isLogged),
    rows.map(({ participant }) => participant),
    eachLeftOut(rows, comparison, level).map((one) => one && scaled(one, isLogged)),
  );
  return answer({
    ...common(change),
    kind: "compareArms",
    arms: { first: first.title, second: second.title },
    estimate: scaled(estimate, isLogged),
    count: { n: fit.n, of: "golfers" },
    planned: change.planned && isPlannedContrast(change, comparison),
    method: methodOf(options, isLogged),
    leaveOneOut,
    warnings: fit.warnings,
  });
}

function methodOf({ interval = "t" }: CompareArmsOptions, isLogged: boolean): string {
  const scale = isLogged ? " of logarithms (ratio of geometric means)" : "";
  const resampling = interval === "BCa" ? ", BCa bootstrap of golfers within arms" : "";
  return `analysis of covariance${scale}${resampling}`;
}

/** The plan compares with the control arm; of several arms it means each. */
function isPlannedContrast(change: Change, { second }: Comparison): boolean {
  const { arms } = change.outcome.study.design;
  return second.control === true || arms.length === 2;
}

function columnsOf(rows: readonly ChangeRow[], reference: string) {
  return {
    before: rows.map(({ before }) => before),
    after: rows.map(({ after }) => after),
    group: rows.map(({ arm }) => arm),
    reference,
  };
}

function estimateOf(differences: { readonly [arm: string]: Estimate }, arm: Arm): Estimate {
  const found = differences[arm.id];
  if (found) return found;
  throw new InputError({
    expected: `a difference of arm ${arm.id}`,
    got: "none",
    where: "compareArms",
  });
}

function scaled(estimate: Estimate, isLogged: boolean): Estimate {
  return isLogged ? percentOf(estimate) : estimate;
}

function eachLeftOut(
  rows: readonly ChangeRow[],
  { first, second }: Comparison,
  level: number,
): (Estimate | null)[] {
  const arms = [...new Set(rows.map(({ arm }) => arm))].filter((arm) => arm !== second.id);
  const columns = [
    rows.map(() => 1),
    ...arms.map((arm) => rows.map((row) => (row.arm === arm ? 1 : 0))),
    rows.map(({ before }) => before),
  ];
  const weights = [0, ...arms.map((arm) => (arm === first.id ? 1 : 0)), 0];
  return withoutEachRow(
    columns,
    rows.map(({ after }) => after),
    weights,
    level,
  );
}

function resampled(
  change: Change,
  { first, second }: Comparison,
  { resamples = 10_000, seed = change.outcome.study.plan.seed }: CompareArmsOptions,
  { value }: Estimate,
): Estimate {
  const { level } = change.outcome.study.plan;
  const arms = [...new Set(change.rows.map(({ arm }) => arm))];
  const code = change.rows.map(({ arm }) => arms.indexOf(arm));
  const { before, after, group } = columnsOf(change.rows, second.id);
  const drawn = bootstrap(
    [before, after, code],
    ([x = [], y = [], arm = []]) => {
      const labels = Array.from(arm, (place) => itemAt(arms, place));
      const fit = adjustForBaseline({ before: x, after: y, group: labels, reference: second.id });
      return estimateOf(fit.differences, first).value;
    },
    { resamples, seed, level, strata: group, method: "bca" },
  );
  return { value, ...(drawn.estimate.interval && { interval: drawn.estimate.interval }) };
}

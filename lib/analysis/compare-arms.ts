import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline } from "../stats/baseline.js";
import { jointTest } from "../stats/contrast.js";
import type { Estimate } from "../stats/estimate.js";
import { hc3WithoutEachRow } from "../stats/hc3-without-each-row.js";
import { fitLinear } from "../stats/linear-model.js";
import { permuteAdjusted } from "../stats/permute-adjusted.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { resampledDifference } from "./arm-resampling.js";
import { type ArmPair, armPairs, comparisonObstacle, pairPart } from "./arm-rows.js";
import type { ChangeRow } from "./change-rows.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
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
  /** "t" by default; "BCa" draws whole golfers within arms; "permutation" gives a p value alone. */
  readonly interval?: "t" | "BCa" | "permutation";
  /** "ordinary" by default; "HC3" where the spread of the arms may differ. */
  readonly standardErrors?: "ordinary" | "HC3";
  /** Resamples of the bootstrap, or orders of the permutation test. */
  readonly resamples?: number;
  /** Seed of the bootstrap or the permutation test; that of the plan unless given. */
  readonly seed?: number;
}

const optionNames = ["interval", "standardErrors", "resamples", "seed"] as const;

/**
 * Compares the arms of a study after the block, adjusted for where each golfer started (analysis of
 * covariance): every arm against the control arm, or all pairs of arms where the design has none.
 * With three arms or more the joint test of all arms comes first.
 *
 * With one arm, or with an arm of fewer than two golfers measured twice, the answer says why there is
 * no comparison. The golfers compared are those measured on both visits. Each answer with an interval
 * says what leaving each golfer out does. A permutation test has one p value and no such range: it
 * would be a new test, with its own draws, for every golfer.
 * @param change from `outcome.change()`
 * @returns one answer per comparison, first − second, in the unit of the outcome; on logarithms in
 *   percent (ratio of geometric means)
 * @throws InputError when an option is not known
 * @see Vickers & Altman (2001) BMJ 323:1123–1124; Freedman & Lane (1983) J Bus Econ Stat 1:292–298
 * @example compareArms(openStudy("winter-block").primary.change()).estimate.value // 2.379…
 */
export function compareArms(change: Change, options: CompareArmsOptions = {}): Answer {
  knownOptions(options, optionNames, "compareArms");
  const why = comparisonObstacle(change);
  const { n, of } = { n: change.rows.length, of: "golfers" } as const;
  const whole = { ...common(change), kind: "compareArms", count: { n, of } } as const;
  if (why !== undefined) return answer({ ...whole, unanswered: why });
  const pairs = armPairs(change.outcome.study.design.arms);
  const answers = pairs.map((pair) => compared(change, pair, options));
  const [only] = answers;
  if (answers.length === 1 && only) return only;
  const parts = answers.map((one, i) => ({ ...one, part: pairPart(itemAt(pairs, i)) }));
  const isPlain = options.interval === undefined && options.standardErrors === undefined;
  return answer({ ...whole, parts: isPlain ? [jointly(change), ...parts] : parts });
}

function common(change: Change): Omit<AnswerFields, "kind" | "count"> {
  const { outcome } = change;
  return {
    quantity: "difference",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    adjustedFor: ["baseline"],
    unit: outcome.isLogged ? "%" : outcome.unit,
    randomised: outcome.study.design.allocation === "random",
    rule: outcome.rule.title,
    method: "analysis of covariance",
    source: change.source(),
    references: referencesOf(change),
  };
}

/** The joint test that no two arms differ after the block. */
function jointly(change: Change): Answer {
  const { rows } = change;
  const { arms } = change.outcome.study.design;
  const fit = fitLinear({
    y: rows.map((row) => row.after),
    terms: { before: rows.map((row) => row.before), arm: rows.map((row) => row.arm) },
  });
  const { f, df1, df2, p } = jointTest(fit, ["arm"]);
  return answer({
    ...common(change),
    kind: "compareArms",
    part: "joint",
    quantity: "test",
    aspect: "joint test of all arms",
    unit: "",
    references: [],
    estimate: { value: p, statistic: f, p },
    count: { n: rows.length, of: "golfers" },
    planned: change.planned && arms.some((arm) => arm.control),
    method: `analysis of covariance, F test on ${df1} and ${df2} degrees of freedom`,
  });
}

/** The smallest worthwhile change of the plan, where it names one for this outcome. */
export function referencesOf({ outcome }: Change): ReferenceValue[] {
  if (outcome.isLogged) return [];
  const planned = outcome.study.plan.smallestWorthwhile ?? {};
  const value = planned[outcome.quantity === "grip" ? "grip_kgf" : "speed_mph"];
  return value === undefined ? [] : [{ name: "smallest worthwhile change", value }];
}

function compared(change: Change, pair: ArmPair, options: CompareArmsOptions): Answer {
  const { first, second } = pair;
  const { level } = change.outcome.study.plan;
  const { interval = "t", standardErrors = "ordinary" } = options;
  const fields = {
    ...common(change),
    kind: "compareArms",
    arms: { first: first.title, second: second.title },
    count: { n: change.rows.length, of: "golfers" },
    planned: change.planned && isPlannedContrast(change, pair),
    method: methodOf(options, change.outcome.isLogged),
    ...aspectOf(options),
  } as const;
  if (interval === "permutation") return answer({ ...fields, ...permuted(change, pair, options) });
  const { allocation } = change.outcome.study.design;
  const fit = adjustForBaseline(columnsOf(change.rows, second.id, titlesOf(change)), {
    level,
    standardErrors,
    ...(allocation === "random" && { randomised: true }),
  });
  const ordinary = present(fit.differences[titlesOf(change).get(first.id) ?? first.id]);
  const estimate =
    interval === "BCa" ? resampledDifference(change, pair, options, ordinary) : ordinary;
  const { isLogged } = change.outcome;
  return answer({
    ...fields,
    estimate: scaled(estimate, isLogged),
    leaveOneOut: leaveOneOutOf(
      scaled(ordinary, isLogged),
      change.rows.map(({ participant }) => participant),
      eachLeftOut(change.rows, pair, { level, standardErrors }).map(
        (one) => one && scaled(one, isLogged),
      ),
    ),
    warnings: fit.warnings,
  });
}

/** The Freedman–Lane test of two arms; golfers of other arms take no part in it. */
function permuted(
  change: Change,
  { first, second }: ArmPair,
  { resamples = 10_000, seed = change.outcome.study.plan.seed }: CompareArmsOptions,
): Partial<Answer> {
  const rows = [...change.of(first.id), ...change.of(second.id)];
  const test = permuteAdjusted(columnsOf(rows, second.id), { resamples, seed });
  return {
    quantity: "test",
    unit: "",
    references: [],
    estimate: { value: test.p, statistic: test.statistic, p: test.p },
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
    method: test.method,
  };
}

/** What sets a variant of the comparison apart from the plain one in a title. */
function aspectOf({ interval, standardErrors }: CompareArmsOptions): Pick<Answer, "aspect"> {
  if (interval === "BCa") return { aspect: "BCa bootstrap" };
  if (interval === "permutation") return { aspect: "permutation test" };
  return standardErrors === "HC3" ? { aspect: "HC3 standard errors" } : {};
}

function methodOf(
  { interval = "t", standardErrors = "ordinary" }: CompareArmsOptions,
  isLogged: boolean,
): string {
  const scale = isLogged ? " of logarithms (ratio of geometric means)" : "";
  const resampling = interval === "BCa" ? ", BCa bootstrap of golfers within arms" : "";
  const errors = standardErrors === "HC3" ? ", HC3 standard errors" : "";
  return `analysis of covariance${scale}${resampling}${errors}`;
}

/** The plan compares with the control arm; of several arms it means each. */
function isPlannedContrast(change: Change, { second }: ArmPair): boolean {
  const { arms } = change.outcome.study.design;
  return second.control === true || arms.length === 2;
}

/** Arms by title, so that warnings name them as a reader knows them; two of one title by id. */
function titlesOf(change: Change): ReadonlyMap<string, string> {
  const { arms } = change.outcome.study.design;
  const areUnique = new Set(arms.map(({ title }) => title)).size === arms.length;
  return new Map(arms.map(({ id, title }) => [id, areUnique ? title : id]));
}

function columnsOf(
  rows: readonly ChangeRow[],
  reference: string,
  names: ReadonlyMap<string, string> = new Map(),
) {
  return {
    before: rows.map(({ before }) => before),
    after: rows.map(({ after }) => after),
    group: rows.map(({ arm }) => names.get(arm) ?? arm),
    reference: names.get(reference) ?? reference,
  };
}

function scaled(estimate: Estimate, isLogged: boolean): Estimate {
  return isLogged ? percentOf(estimate) : estimate;
}

function eachLeftOut(
  rows: readonly ChangeRow[],
  { first, second }: ArmPair,
  { level, standardErrors }: { readonly level: number; readonly standardErrors: string },
): (Estimate | null)[] {
  const arms = [...new Set(rows.map(({ arm }) => arm))].filter((arm) => arm !== second.id);
  const columns = [
    rows.map(() => 1),
    ...arms.map((arm) => rows.map((row) => (row.arm === arm ? 1 : 0))),
    rows.map(({ before }) => before),
  ];
  const weights = [0, ...arms.map((arm) => (arm === first.id ? 1 : 0)), 0];
  const refit = standardErrors === "HC3" ? hc3WithoutEachRow : withoutEachRow;
  return refit(
    columns,
    rows.map(({ after }) => after),
    weights,
    level,
  );
}

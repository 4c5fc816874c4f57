import { lowerFirst } from "../first-letter.js";
import { knownOptions } from "../options.js";
import { describe } from "../stats/describe.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { planPaired, planPrecision, powerPaired } from "../stats/plan.js";
import { planAncova } from "../stats/plan-ancova.js";
import { sdInterval } from "../stats/sd-limits.js";
import type { ChangeRow } from "./change-rows.js";
import type { Change } from "./outcome.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** How many golfers a next study of this outcome takes, by the spread of changes seen here. */
export interface StudySize extends Answer {
  /** Standard deviation of the changes within an arm, with its χ² interval. */
  readonly spread: Answer;
  /** Power of a one-arm study of the size seen to show the difference asked for, in percent. */
  readonly power: Answer;
  /** Golfers needed by design and power, for the difference asked for and for half and twice it. */
  readonly byDifference: ResultTable;
}

/** The difference that the next study is to show. */
export interface StudySizeOptions {
  /** In the unit of the outcome; the plan's smallest worthwhile change unless given. */
  readonly difference?: number;
}

/** What the pilot's golfers say: spread of changes, spread and correlation of the visits. */
interface Noise {
  readonly n: number;
  readonly df: number;
  readonly sdChange: number;
  readonly sdAfter: number;
  readonly correlation: number;
}

/**
 * Golfers per arm of a two-arm study, compared after the block and adjusted for baseline, that shows
 * a difference with a power of 80 %. The standard deviations and the correlation of the two visits
 * come from the golfers of this change, pooled within arms.
 *
 * A spread from few golfers is uncertain: the range when one golfer is left out shows how much the
 * number depends on single golfers. People who drop out are not counted.
 * @param change from `outcome.change()`, of a pilot or of this study
 * @param options difference, when it is not the plan's smallest worthwhile change
 * @returns golfers per arm; why there is no number in `unanswered`
 * @throws InputError when an option is not known
 * @see Borm, Fransen & Lemmens (2007) J Clin Epidemiol 60:1234–1238
 * @example studySize(openStudy("coach-nine").primary.change()).estimate.value > 2 // true
 */
export function studySize(change: Change, options: StudySizeOptions = {}): StudySize {
  knownOptions(options, ["difference"], "studySize");
  const { outcome, rows } = change;
  const { level } = outcome.study.plan;
  const difference = options.difference ?? worthwhile(change);
  const noise = noiseOf(rows);
  const fields = fieldsOf(change);
  if (!noise || difference === undefined) {
    const why = noise
      ? "The plan names no smallest worthwhile change for this outcome, and no other difference was asked for."
      : `The spread of changes needs an arm of three golfers measured on both visits whose values differ; golfers measured in all: ${rows.length}.`;
    const none = answer({ ...fields, unanswered: why });
    const byDifference = resultTable(why, sizeColumns(outcome.unit), []);
    return frozen({
      ...none,
      spread: noise ? spreadOf(change, noise) : none,
      power: none,
      byDifference,
    });
  }
  const asked = (from: Noise): Estimate => ({ value: perArm(from, difference, level, 0.8) });
  return frozen({
    ...answer({ ...fields, estimate: asked(noise), leaveOneOut: leftOut(rows, noise, asked) }),
    spread: spreadOf(change, noise),
    power: powerOf(change, noise, difference),
    byDifference: resultTable(
      `Golfers needed to show a difference in ${lowerFirst(outcome.measure.name)}, by the spread of changes of ${noise.n} golfers.`,
      sizeColumns(outcome.unit),
      [0.5, 1, 2].map((times) => sizeRow(noise, times * difference, level)),
    ),
  });
}

function worthwhile({ outcome }: Change): number | undefined {
  const { smallestWorthwhile } = outcome.study.plan;
  return smallestWorthwhile?.[outcome.quantity === "grip" ? "grip_kgf" : "speed_mph"];
}

function fieldsOf(change: Change): AnswerFields {
  const { outcome, before, after, rows } = change;
  return {
    kind: "studySize",
    quantity: "size",
    measure: {
      ...outcome.measure,
      name: `Golfers per arm for ${lowerFirst(outcome.measure.name)}`,
    },
    visits: { before: visitName(before), at: visitName(after) },
    unit: "golfers",
    count: { n: rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "two arms, baseline-adjusted, power 80 %, non-central t, spread of changes seen here",
    source: change.source(),
  };
}

/** Variances within arms, pooled by their degrees of freedom. */
function noiseOf(rows: readonly ChangeRow[]): Noise | undefined {
  const arms = [...new Set(rows.map(({ arm }) => arm))]
    .map((arm) => rows.filter((row) => row.arm === arm))
    .filter((own) => own.length > 1);
  const n = arms.reduce((sum, own) => sum + own.length, 0);
  const df = n - arms.length;
  if (df < 2) return undefined;
  const pooled = (name: "before" | "after" | "change") =>
    arms.reduce(
      (sum, own) => sum + (own.length - 1) * describe(own.map((row) => row[name])).sd ** 2,
      0,
    ) / df;
  const [before, after, changes] = [pooled("before"), pooled("after"), pooled("change")];
  if (!(before > 0 && after > 0 && changes > 0)) return undefined;
  const correlation = (before + after - changes) / (2 * Math.sqrt(before * after));
  return { n, df, sdChange: Math.sqrt(changes), sdAfter: Math.sqrt(after), correlation };
}

function perArm(noise: Noise, difference: number, level: number, power: number): number {
  const { sdAfter: sd, correlation } = noise;
  return planAncova({ difference, sd, correlation: within(correlation), level, power }).n1;
}

/** Rounding may carry a correlation of nearly equal visits to 1, where nothing is left to plan for. */
function within(correlation: number): number {
  return Math.max(-0.999, Math.min(0.999, correlation));
}

function leftOut(
  rows: readonly ChangeRow[],
  whole: Noise,
  asked: (from: Noise) => Estimate,
): NonNullable<Answer["leaveOneOut"]> {
  const without = rows.flatMap((row) => {
    const noise = noiseOf(rows.filter((one) => one !== row));
    return noise ? [asked(noise).value] : [];
  });
  const all = [asked(whole).value, ...without];
  return {
    leaving: "person",
    low: Math.min(...all),
    high: Math.max(...all),
    changesConclusion: [],
  };
}

function spreadOf(change: Change, { sdChange, df }: Noise): Answer {
  const { outcome, rows } = change;
  const { level } = outcome.study.plan;
  const method = "pooled within arms, χ² interval";
  return answer({
    ...fieldsOf(change),
    measure: {
      ...outcome.measure,
      name: `Standard deviation of changes in ${lowerFirst(outcome.measure.name)}`,
    },
    unit: outcome.unit,
    method,
    estimate: { value: sdChange, df, interval: sdInterval(sdChange, df, level, method) },
    leaveOneOut: leftOut(
      rows,
      { n: rows.length, df, sdChange, sdAfter: 1, correlation: 0 },
      (from) => ({
        value: from.sdChange,
      }),
    ),
  });
}

function powerOf(change: Change, noise: Noise, difference: number): Answer {
  const { outcome, rows } = change;
  const { level } = outcome.study.plan;
  const power = ({ sdChange }: Noise): Estimate => ({
    value: 100 * powerPaired({ n: noise.n, difference, sdChange, level }),
  });
  const size = `${difference} ${outcome.unit}`;
  return answer({
    ...fieldsOf(change),
    quantity: "share",
    measure: {
      ...outcome.measure,
      name: `Power of a one-arm study of this size for a change of ${size} in ${lowerFirst(outcome.measure.name)}`,
    },
    unit: "%",
    method: "paired t, non-central t",
    estimate: power(noise),
    leaveOneOut: leftOut(rows, noise, power),
  });
}

function sizeColumns(unit: string) {
  return [
    column("difference", "Difference", unit, 1),
    column("paired80", "One arm, power 80 %", "", 0),
    column("paired90", "One arm, power 90 %", "", 0),
    column("arms80", "Each of two arms, power 80 %", "", 0),
    column("arms90", "Each of two arms, power 90 %", "", 0),
    column("precision", "One arm, CI of ± half the difference", "", 0),
  ];
}

function sizeRow(noise: Noise, difference: number, level: number) {
  const { sdChange } = noise;
  const paired = (power: number) => planPaired({ difference, sdChange, level, power }).n;
  return {
    difference,
    paired80: paired(0.8),
    paired90: paired(0.9),
    arms80: perArm(noise, difference, level, 0.8),
    arms90: perArm(noise, difference, level, 0.9),
    precision: planPrecision({ halfWidth: difference / 2, sdChange, level }).n,
  };
}

import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Estimate } from "../stats/estimate.js";
import { individualResponse } from "../stats/individual-response.js";
import { differenceOfVariances, varianceLimits } from "../stats/sd-limits.js";
import { type ArmPair, armObstacle, armPairs, columnOf, pairPart } from "./arm-rows.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/**
 * Whether golfers differ in how much they respond: the variance of the changes in an arm − that in
 * the control arm. Measurement error and day-to-day variation are in both and cancel.
 *
 * A negative variance is an estimate like any other: no differences in response show.
 * @param change from `outcome.change()`
 * @returns per trained arm the difference of the variances, in the square of the unit, and its signed
 *   root as a standard deviation of responses
 * @throws InputError when an option is given
 * @see Hopkins (2015) J Appl Physiol 118:1444–1446; Atkinson & Batterham (2015) Exp Physiol
 *   100:577–588 (both cited from memory)
 * @example individualResponseOf(openStudy("winter-block").primary.change()).parts.length // 2
 */
export function individualResponseOf(change: Change, options: Record<string, never> = {}): Answer {
  knownOptions(options, [], "individualResponseOf");
  const base = fields(change);
  const { arms } = change.outcome.study.design;
  const control = arms.find((arm) => arm.control);
  const why =
    armObstacle(change, 3) ??
    (control
      ? undefined
      : "Without a control arm the spread of changes without training is not known.");
  if (why !== undefined) return answer({ ...base, unanswered: why });
  const pairs = armPairs(arms);
  return answer({
    ...base,
    parts: pairs.flatMap((pair) => responseOf(change, pair, base, pairs.length > 1)),
  });
}

function fields(change: Change): AnswerFields {
  const { outcome } = change;
  const unit = outcome.isLogged ? "" : outcome.unit;
  return {
    kind: "individualResponseOf",
    quantity: "size",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    unit: unit === "" ? "" : `${unit}²`,
    count: { n: change.rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "difference of the variances of change, MOVER interval",
    source: change.source(),
  };
}

function responseOf(
  change: Change,
  pair: ArmPair,
  base: AnswerFields,
  isOneOfSeveral: boolean,
): Answer[] {
  const { first, second } = pair;
  const [trained, control] = [change.of(first.id), change.of(second.id)];
  const { level } = change.outcome.study.plan;
  const { variance, sd, sdInterval, warnings } = individualResponse(
    columnOf(trained, "change"),
    columnOf(control, "change"),
    { level },
  );
  const rows = [...trained, ...control];
  const part = (name: string) => (isOneOfSeveral ? `${pairPart(pair)}-${name}` : name);
  const common = {
    ...base,
    arms: { first: first.title, second: second.title },
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
    warnings,
  } as const;
  return [
    answer({
      ...common,
      part: part("variance"),
      aspect: "variance of the changes",
      estimate: variance,
      leaveOneOut: leaveOneOutOf(
        variance,
        rows.map(({ participant }) => participant),
        variancesWithoutEach(columnOf(trained, "change"), columnOf(control, "change"), level),
      ),
    }),
    answer({
      ...common,
      part: part("sd"),
      aspect: "standard deviation of individual responses (negative where the variance is)",
      unit: change.outcome.isLogged ? "" : change.outcome.unit,
      estimate: { value: sd, interval: sdInterval },
    }),
  ];
}

/** The difference of variances without each golfer of both arms, from sums that leave one out. */
function variancesWithoutEach(
  trained: readonly number[],
  control: readonly number[],
  level: number,
): Estimate[] {
  const whole = [trained, control].map((changes) =>
    varianceLimits(sdOf(changes), changes.length - 1, level),
  );
  const estimate = (limits: { value: number; low: number; high: number }): Estimate => ({
    value: limits.value,
    interval: { low: limits.low, high: limits.high, level, method: "MOVER" },
  });
  const without = (changes: readonly number[]) =>
    sdsWithoutEach(changes).map((sd) => varianceLimits(sd, changes.length - 2, level));
  return [
    ...without(trained).map((one) => estimate(differenceOfVariances(one, itemAt(whole, 1)))),
    ...without(control).map((one) => estimate(differenceOfVariances(itemAt(whole, 0), one))),
  ];
}

function meanOf(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0) / values.length;
}

function squaresOf(values: readonly number[]): number {
  const mean = meanOf(values);
  return values.reduce((total, value) => total + (value - mean) ** 2, 0);
}

function sdOf(values: readonly number[]): number {
  return Math.sqrt(squaresOf(values) / (values.length - 1));
}

/** Standard deviation without each value: the sum of squares falls by d² n / (n − 1). */
function sdsWithoutEach(values: readonly number[]): number[] {
  const { length: n } = values;
  const [mean, squares] = [meanOf(values), squaresOf(values)];
  return values.map((value) =>
    Math.sqrt(Math.max(0, squares - ((value - mean) ** 2 * n) / (n - 1)) / (n - 2)),
  );
}

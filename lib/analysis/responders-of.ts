import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Estimate } from "../stats/estimate.js";
import { type Responder, responders } from "../stats/responders.js";
import type { Arm } from "../study/package/design.js";
import { columnOf } from "./arm-rows.js";
import { type ChangeError, changeError } from "./change-error.js";
import { referencesOf } from "./compare-arms.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { column, limitColumns, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** Golfers whose change exceeds measurement error, with the error itself. */
export interface RespondersAnswer extends Answer {
  /** Every golfer's change with the interval that measurement error leaves around it. */
  readonly golfers: ResultTable;
  /** Typical error of one visit, from the control arm; left out without a control arm. */
  readonly typicalError?: Answer;
  /** Minimal detectable change of one golfer; left out without a control arm. */
  readonly detectable?: Answer;
}

/**
 * How many golfers of each arm rose by more than measurement error explains. The error comes from
 * the control arm over the same visits; the minimal detectable change takes Student's t, because the
 * typical error is itself an estimate.
 *
 * A golfer beyond the minimal detectable change has changed; whether the training did it, the number
 * does not show: golfers of the control arm are counted beside.
 * @param change from `outcome.change()`
 * @returns one count per arm, then the typical error and the minimal detectable change with their
 *   intervals
 * @throws InputError when an option is given
 * @see Hopkins (2000) Sports Med 30:1–15; Jacobson & Truax (1991) J Consult Clin Psychol 59:12–19
 * @example respondersOf(openStudy("winter-block").primary.change()).parts.length // 4
 */
export function respondersOf(
  change: Change,
  options: Record<string, never> = {},
): RespondersAnswer {
  knownOptions(options, [], "respondersOf");
  const error = changeError(change);
  const base = fields(change);
  if ("unanswered" in error) {
    const whole = answer({ ...base, unanswered: error.unanswered });
    return Object.freeze({ ...whole, golfers: golferTable(change, []) });
  }
  const { level } = change.outcome.study.plan;
  const { typicalError } = error.retest;
  const judged = responders(columnOf(change.rows, "change"), {
    typicalError: typicalError.value,
    ...(typicalError.df !== undefined && { typicalErrorDf: typicalError.df }),
    level,
  });
  const { arms } = change.outcome.study.design;
  const counts = arms.map((arm) => countIn(change, arm, judged, base));
  const errors = errorParts(change, error, base);
  const whole = answer({ ...base, parts: [...counts, errors.typicalError, errors.detectable] });
  return Object.freeze({ ...whole, ...errors, golfers: golferTable(change, judged) });
}

function fields(change: Change): AnswerFields {
  const { outcome } = change;
  return {
    kind: "respondersOf",
    quantity: "share",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    unit: outcome.isLogged ? "" : outcome.unit,
    count: { n: change.rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "change compared with t × √2 × typical error of the control arm",
    source: change.source(),
  };
}

function errorParts(
  change: Change,
  { control, retest }: ChangeError,
  base: AnswerFields,
): { typicalError: Answer; detectable: Answer } {
  const rows = change.of(control.id);
  const common = {
    ...base,
    quantity: "size",
    arms: { first: control.title },
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
  } as const;
  const { typicalError, detectable95, mdc95 } = retest;
  const factor = detectable95 / typicalError.value;
  const byT: Estimate = {
    value: detectable95,
    ...(mdc95.df !== undefined && { df: mdc95.df }),
    ...(typicalError.interval && {
      interval: {
        ...typicalError.interval,
        low: factor * typicalError.interval.low,
        high: factor * typicalError.interval.high,
      },
    }),
  };
  return {
    typicalError: answer({
      ...common,
      part: "typical-error",
      aspect: "typical error of one visit",
      estimate: typicalError,
      method: "retest of the control arm, χ² interval",
    }),
    detectable: answer({
      ...common,
      part: "mdc",
      aspect: "minimal detectable change of one golfer (95 %)",
      estimate: byT,
      method: "t × √2 × typical error of the control arm, χ² interval",
      references: referencesOf(change),
    }),
  };
}

function countIn(
  change: Change,
  arm: Arm,
  judged: readonly Responder[],
  base: AnswerFields,
): Answer {
  const rows = change.of(arm.id);
  const up = change.rows.map((row, i) => row.arm === arm.id && itemAt(judged, i).verdict === "up");
  const value = up.filter(Boolean).length;
  const own = up.filter((_, i) => itemAt(change.rows, i).arm === arm.id);
  return answer({
    ...base,
    part: arm.id,
    arms: { first: arm.title },
    aspect: "golfers whose rise exceeds the minimal detectable change",
    estimate: { value },
    unit: `of ${rows.length}`,
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
    // The error is kept: leaving one golfer out moves the count by that golfer alone.
    leaveOneOut: leaveOneOutOf(
      { value },
      rows.map(({ participant }) => participant),
      own.map((isUp) => ({ value: value - (isUp ? 1 : 0) })),
    ),
  });
}

const verdictWords = {
  up: "higher, beyond error",
  down: "lower, beyond error",
  "within error": "within error",
} as const;

function golferTable(change: Change, judged: readonly Responder[]): ResultTable {
  const { study, unit, measure } = change.outcome;
  const titles = new Map(study.design.arms.map(({ id, title }) => [id, title]));
  return resultTable(
    `${measure.name}: change of every golfer from ${change.before.title.toLowerCase()} to ${change.after.title.toLowerCase()}, with the interval that measurement error leaves.`,
    [
      column("participant", "Golfer"),
      column("arm", "Arm"),
      column("change", "Change", unit, 1),
      ...limitColumns(unit, 1),
      column("verdict", "Change"),
    ],
    judged.map(({ low, high, verdict }, i) => {
      const row = itemAt(change.rows, i);
      return {
        participant: row.participant,
        arm: titles.get(row.arm) ?? row.arm,
        change: row.change,
        low,
        high,
        verdict: verdictWords[verdict],
      };
    }),
  );
}

import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import { doseRelation } from "../stats/dose.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { effectByTrait } from "../stats/interaction.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import type { Arm } from "../study/package/design.js";
import { attendanceOf } from "./attendance.js";
import type { ChangeRow } from "./change-rows.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { refusalSentence } from "./refusal.js";
import { type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";
import { doseTables, loggedDoses, logSource, type TrainingDose } from "./training-dose.js";

/** How much was trained. */
export interface DoseOptions {
  /** "sessions" completed between the visits, the default, or "minutes" trained. */
  readonly dose?: "sessions" | "minutes";
}

/** A golfer's dose and change. */
export interface DosePoint {
  /** Code of the golfer. */
  readonly participant: string;
  /** Title of the arm. */
  readonly arm: string;
  /** True in the control arm. */
  readonly control: boolean;
  /** Sessions or minutes between the two visits. */
  readonly x: number;
  /** Change of the outcome, in its unit. */
  readonly y: number;
}

/** The relation of a change with how much was trained. */
export interface DoseAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "doseOf";
  /** Slope in each control arm: what attendance itself goes with. */
  readonly otherArms: Answer;
  /** Slope in each trained arm − slope in the control arm. */
  readonly difference: Answer;
  /** Rank correlations of sessions completed with the value before and with age. */
  readonly attendance: Answer;
  /** Rows of the training log: used, and left out with the reason. */
  readonly account: ResultTable;
  /** Sessions planned and completed, minutes and reasons, golfer by golfer. */
  readonly golfers: ResultTable;
  /** Sessions missed by reason and arm. */
  readonly missed: ResultTable;
  /** Every golfer's dose and change. */
  readonly points: readonly DosePoint[];
  /** What the dose is and its unit, for an axis. */
  readonly dose: { readonly quantity: string; readonly unit: string };
}

/**
 * Whether golfers who trained more gained more: within each trained arm, the outcome at the second
 * visit on the dose, adjusted for baseline. Nobody was allocated a dose, so the slope describes and
 * does not show what another session would do.
 *
 * @param change from `outcome.change()`
 * @returns one slope per trained arm, in units of the outcome per session or minute; without a
 *   training log, or with too few golfers, why there is none in `unanswered`
 * @throws InputError when an option is not known
 */
export function doseOf(change: Change, options: DoseOptions = {}): DoseAnswer {
  knownOptions(options, ["dose"], "doseOf");
  const { dose = "sessions" } = options;
  const logged = loggedDoses(change, dose);
  const trained = change.outcome.study.design.arms.filter((arm) => !arm.control);
  const others = change.outcome.study.design.arms.filter((arm) => arm.control);
  const slopes = trained.map((arm) => slopeIn(change, arm, logged));
  const [only] = slopes;
  const fields = fieldsOf(change, logged);
  const whole = slopes.length === 1 && only ? only : answer({ ...fields, parts: slopes });
  return frozen({
    ...whole,
    kind: "doseOf" as const,
    otherArms: several(
      fields,
      others.map((arm) => slopeIn(change, arm, logged)),
      "The study has no control arm.",
    ),
    difference: several(
      fields,
      trained.flatMap((arm) => others.map((other) => differenceOf(change, arm, other, logged))),
      "The study has no control arm to compare the slope with.",
    ),
    attendance: attendanceOf(fields, change, logged),
    ...(logged.why === undefined ? doseTables(change, logged) : emptyTables(logged.why)),
    points: change.rows.flatMap(({ participant, arm, change: y }) => {
      const x = logged.doses.get(participant);
      const of = change.outcome.study.design.arms.find(({ id }) => id === arm);
      if (x === undefined || !of) return [];
      return [{ participant, arm: of.title, control: of.control === true, x, y }];
    }),
    dose: { quantity: logged.quantity, unit: logged.unit },
  });
}

function emptyTables(why: string) {
  const empty: ResultTable = resultTable(why, [], []);
  return { account: empty, golfers: empty, missed: empty };
}

function several(fields: AnswerFields, parts: readonly Answer[], none: string): Answer {
  const [only] = parts;
  if (!only) return answer({ ...fields, unanswered: none });
  return parts.length === 1 ? only : answer({ ...fields, parts });
}

function fieldsOf(change: Change, logged: TrainingDose): AnswerFields {
  const { outcome } = change;
  return {
    kind: "doseOf",
    quantity: "relation",
    aspect: `slope on ${logged.quantity.toLowerCase()}${logged.window}`,
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    adjustedFor: ["baseline"],
    unit: `${outcome.unit || "log"} per ${logged.each}`,
    count: { n: change.rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "least squares on the dose",
    source: change.source(),
  };
}

interface Dosed {
  readonly rows: readonly ChangeRow[];
  readonly doses: readonly number[];
}

function dosed(change: Change, arms: readonly Arm[], { doses }: TrainingDose): Dosed {
  const rows = change.rows.filter(
    ({ arm, participant }) => arms.some(({ id }) => id === arm) && doses.has(participant),
  );
  return { rows, doses: rows.map(({ participant }) => present(doses.get(participant))) };
}

function obstacle(where: string, { rows, doses }: Dosed, need: number): string | undefined {
  if (rows.length < need) {
    return `A dose relation needs at least ${need} golfers with both visits and a training log; ${where} has ${rows.length}.`;
  }
  if (new Set(doses).size < 2) return `In ${where} all golfers did the same amount.`;
  if (new Set(rows.map(({ before }) => before)).size < 2) {
    return `In ${where} all golfers started from the same value.`;
  }
  return undefined;
}

function slopeIn(change: Change, arm: Arm, logged: TrainingDose): Answer {
  const own = dosed(change, [arm], logged);
  const fields: AnswerFields = {
    ...fieldsOf(change, logged),
    part: arm.id,
    arms: { first: arm.title },
    count: { n: own.rows.length, of: "golfers" },
    source: logSource(change, own.rows),
  };
  const why = logged.why ?? obstacle(arm.title, own, 4);
  if (why !== undefined) return answer({ ...fields, unanswered: why });
  const { level } = change.outcome.study.plan;
  const before = own.rows.map((row) => row.before);
  const after = own.rows.map((row) => row.after);
  return orWhy(fields, () => {
    const found = doseRelation({ before, after, dose: own.doses }, { level });
    const columns = [before.map(() => 1), before, own.doses];
    return answer({
      ...fields,
      estimate: found.slope,
      references: [{ name: "gain in proportion to the dose", value: found.proportional }],
      leaveOneOut: leaveOneOutOf(
        found.slope,
        own.rows.map(({ participant }) => participant),
        withoutEachRow(columns, after, [0, 0, 1], level),
      ),
      warnings: [...found.warnings, ...describing(found.slope, found.proportional)],
    });
  });
}

/** Says so where the interval allows both no relation and the whole gain in proportion. */
function describing({ interval }: Estimate, proportional: number): string[] {
  if (!interval || !(interval.low < 0 && interval.high > 0)) return [];
  if (!(interval.low < proportional && interval.high > proportional)) return [];
  return ["The interval includes both no relation and a gain in proportion to the dose."];
}

/** An answer, or the reason why these golfers do not allow it. */
function orWhy(fields: AnswerFields, make: () => Answer): Answer {
  try {
    return make();
  } catch (error) {
    const unanswered = refusalSentence(error, "These golfers do not allow the model");
    return answer({ ...fields, unanswered });
  }
}

function differenceOf(change: Change, arm: Arm, other: Arm, logged: TrainingDose): Answer {
  const both = dosed(change, [arm, other], logged);
  const fields: AnswerFields = {
    ...fieldsOf(change, logged),
    part: arm.id,
    quantity: "difference",
    arms: { first: arm.title, second: other.title },
    count: { n: both.rows.length, of: "golfers" },
    method: "least squares with arm, dose and their product",
    source: logSource(change, both.rows),
  };
  const why =
    logged.why ??
    obstacle(arm.title, dosed(change, [arm], logged), 3) ??
    obstacle(other.title, dosed(change, [other], logged), 3);
  if (why !== undefined) return answer({ ...fields, unanswered: why });
  const { level } = change.outcome.study.plan;
  const before = both.rows.map((row) => row.before);
  const after = both.rows.map((row) => row.after);
  const group = both.rows.map((row) => row.arm);
  return orWhy(fields, () => {
    const { interaction } = effectByTrait(
      { before, after, group, reference: other.id, trait: both.doses },
      { level },
    );
    const inArm = group.map((id) => (id === arm.id ? 1 : 0));
    const product = both.doses.map((dose, i) => dose * itemAt(inArm, i));
    const columns = [before.map(() => 1), before, inArm, both.doses, product];
    return answer({
      ...fields,
      estimate: interaction,
      leaveOneOut: leaveOneOutOf(
        interaction,
        both.rows.map(({ participant }) => participant),
        withoutEachRow(columns, after, [0, 0, 0, 0, 1], level),
      ),
    });
  });
}

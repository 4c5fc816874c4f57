import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { type BaselineRelation, baselineRelation } from "../stats/baseline-relation.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import type { ChangeRow } from "./change-rows.js";
import { decimalText } from "./decimal-text.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** How the change depends on the value before, as seen and without regression to the mean. */
export interface RelationToBaseline extends Answer {
  /** Slope of the change on the value before, as measured. */
  readonly asSeen: Answer;
}

/**
 * How the true change depends on the true value before: the slope of change on the value before,
 * corrected for regression to the mean by Blomqvist's method. Measurement error alone makes golfers
 * who read low before appear to gain more; the slope that error alone makes is a reference value.
 * @param change from `outcome.change()`
 * @param typicalError from `reliabilityOf(…, { between: "visits" })`, in the unit of the outcome
 * @returns slope without a unit; why there is none in `unanswered`
 * @throws InputError when an option is not known, or the typical error is an answer to another question
 * @see Blomqvist (1977) J Am Stat Assoc 72:746–749
 */
export function relationToBaseline(
  change: Change,
  options: { readonly typicalError: Answer },
): RelationToBaseline {
  knownOptions(options, ["typicalError"], "relationToBaseline");
  const { typicalError } = options;
  const fields = fieldsOf(change, typicalError);
  const error = typicalError.estimate;
  if (typicalError.unit !== change.outcome.unit) {
    const expected = `a typical error in ${change.outcome.unit}`;
    const got = typicalError.unit || "none";
    throw new InputError({ expected, got, where: "relationToBaseline, typicalError" });
  }
  const why = obstacle(change, error);
  if (why !== undefined || !error) {
    const none = answer({ ...fields, unanswered: why ?? "" });
    return frozen({ ...none, asSeen: none });
  }
  const { level } = change.outcome.study.plan;
  const fit = (rows: readonly ChangeRow[]) => related(rows, error, level);
  const whole = fit(change.rows);
  const asSeen = answer({
    ...fields,
    measure: { ...fields.measure, name: `${fields.measure.name}, not corrected` },
    estimate: whole.slope,
    method: "least squares, not corrected for regression to the mean",
    leaveOneOut: leftOut(change.rows, whole.slope, (rows) => fit(rows).slope),
    warnings: [
      `Measurement error alone makes a slope of ${decimalText(whole.expected, 3)}.`,
      ...whole.warnings,
    ],
  });
  if (!whole.corrected) {
    const none = answer({ ...fields, unanswered: whole.warnings.join(" ") });
    return frozen({ ...none, asSeen });
  }
  return frozen({
    ...answer({
      ...fields,
      estimate: whole.corrected,
      leaveOneOut: leftOut(change.rows, whole.corrected, (rows) => fit(rows).corrected),
    }),
    asSeen,
  });
}

function fieldsOf(change: Change, typicalError: Answer): AnswerFields {
  const { outcome, before, after, rows } = change;
  return {
    kind: "relationToBaseline",
    quantity: "relation",
    measure: {
      ...outcome.measure,
      name: `${outcome.measure.name}: change per unit of the value before`,
    },
    visits: { before: visitName(before), at: visitName(after) },
    unit: "",
    count: { n: rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: `corrected for regression to the mean (Blomqvist), typical error from ${typicalError.count.n} golfers`,
    source: change.source(),
  };
}

function obstacle({ rows }: Change, error: Estimate | undefined): string | undefined {
  if (!error) return "There is no typical error from visit to visit to correct the slope with.";
  if (new Set(rows.map(({ before }) => before)).size > 2) return undefined;
  return `A slope needs three golfers measured on both visits who started from different values; the study has ${rows.length}.`;
}

function related(rows: readonly ChangeRow[], error: Estimate, level: number): BaselineRelation {
  return baselineRelation(
    rows.map(({ before }) => before),
    rows.map(({ after }) => after),
    {
      typicalError: error.value,
      ...(error.df !== undefined && { typicalErrorDf: error.df }),
      level,
    },
  );
}

function leftOut(
  rows: readonly ChangeRow[],
  whole: Estimate,
  of: (rows: readonly ChangeRow[]) => Estimate | undefined,
): NonNullable<Answer["leaveOneOut"]> {
  const without = rows.map((row) => {
    const rest = rows.filter((one) => one !== row);
    return new Set(rest.map(({ before }) => before)).size > 2 ? (of(rest) ?? null) : null;
  });
  return leaveOneOutOf(
    whole,
    rows.map(({ participant }) => participant),
    without,
  );
}

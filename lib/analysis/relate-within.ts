import { present } from "../entry.js";
import { knownOptions } from "../options.js";
import { frozen } from "../stats/estimate.js";
import { fitMixed, type MixedFit } from "../stats/mixed/mixed.js";
import { withoutEachSubject } from "../stats/mixed/without-each-subject.js";
import { splitWithinBetween } from "../stats/within-between.js";
import { joinedSource } from "./joined-source.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Outcome } from "./outcome.js";
import { refusalSentence } from "./refusal.js";
import type { RelationUnits } from "./relation-tables.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";
import { byGolfer, type VisitPair, visitPairs } from "./visit-pairs.js";
import { ownSlopesOf, repeatedCorrelationOf } from "./within-golfers.js";

/** One golfer's visits and lines. */
export interface GolferLine {
  /** Code of the golfer. */
  readonly participant: string;
  /** Values of the predicting outcome, visit by visit. */
  readonly x: readonly number[];
  /** Values of the predicted outcome, visit by visit. */
  readonly y: readonly number[];
  /** The golfer's own slope from the golfer's own visits; left out where there is none. */
  readonly slope?: number;
  /** Height of that line at x = 0. */
  readonly intercept?: number;
  /** The golfer's slope in the mixed model; left out where there is none. */
  readonly shrunken?: number;
}

/** A relation within golfers from visit to visit. */
export interface WithinRelation extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "relateWithin";
  /** The slope of the mixed model without time in it. */
  readonly unadjusted: Answer;
  /** Mean of the golfers' own slopes. */
  readonly ownSlopes: Answer;
  /** Repeated-measures correlation. */
  readonly correlation: Answer;
  /** Golfers whose own slope cannot be fitted, with the reason. */
  readonly setAside: ResultTable;
  /** Every golfer's visits and lines. */
  readonly golfers: readonly GolferLine[];
  /** Names and units of the axes. */
  readonly axes: RelationUnits;
}

/**
 * How one outcome goes with another within golfers: on a visit at which a golfer's x is higher than
 * usual, is y higher too? A mixed model of all visits with the golfer's mean of x and the distance
 * from it, adjusted for time and for the time of each arm but the control; beside it the same without
 * time, the mean of the golfers' own slopes, and the repeated-measures correlation.
 *
 * Leaving a golfer out holds the variances at those of the whole model.
 * @param y the outcome that is predicted
 * @param x the outcome that it is predicted from
 * @returns the slope within golfers, in units of y per unit of x; why there is none in `unanswered`
 * @throws InputError when the outcomes are of different studies
 * @see van de Pol & Wright (2009) Anim Behav 77:753–758
 */
export function relateWithin(
  y: Outcome,
  x: Outcome,
  options: Record<string, never> = {},
): WithinRelation {
  knownOptions(options, [], "relateWithin");
  const pairs = visitPairs(y, x);
  const golfers = byGolfer(pairs);
  const axes = {
    y: { quantity: y.measure.name, unit: y.unit },
    x: { quantity: x.measure.name, unit: x.unit },
    slope: `${y.unit || "log"} per ${x.unit || "log"}`,
  };
  const fields = fieldsOf(y, x, [...golfers.keys()], axes.slope);
  const why = obstacle(golfers);
  const own = ownSlopesOf(fields, golfers, y.study.plan.level, why);
  const timed = modelOf(y, pairs, true, why);
  const plain = modelOf(y, pairs, false, why);
  const shrunken = new Map(
    typeof timed === "string" ? [] : timed.fit.perSubject.map((one) => [one.subject, one.slope]),
  );
  return frozen({
    ...slopeAnswer({ ...fields, adjustedFor: ["time", "time in each arm"] }, timed),
    kind: "relateWithin" as const,
    unadjusted: slopeAnswer(fields, plain),
    ownSlopes: own.answer,
    correlation: repeatedCorrelationOf(fields, golfers, y.study.plan.level, why),
    setAside: resultTable(
      "Golfers whose own slope could not be fitted.",
      [column("participant", "Golfer"), column("reason", "Reason")],
      own.setAside,
    ),
    golfers: [...golfers].map(([participant, rows]) => {
      const line = own.lines.get(participant);
      const slope = shrunken.get(participant);
      return {
        participant,
        x: rows.map((row) => row.x),
        y: rows.map((row) => row.y),
        ...line,
        ...(slope !== undefined && { shrunken: slope }),
      };
    }),
    axes,
  });
}

function fieldsOf(y: Outcome, x: Outcome, golfers: readonly string[], unit: string): AnswerFields {
  const occasions = y.study.design.occasions.map(({ id }) => id);
  return {
    kind: "relateWithin",
    quantity: "relation",
    aspect: "slope within golfers",
    measure: y.measure,
    on: x.measure,
    unit,
    count: { n: golfers.length, of: "golfers" },
    rule: `${y.rule.title}; ${x.rule.title}`,
    method: "mixed model of all visits",
    source: joinedSource(y.source(golfers, occasions), x.source(golfers, occasions)),
  };
}

function obstacle(golfers: ReadonlyMap<string, readonly VisitPair[]>): string | undefined {
  const repeated = [...golfers.values()].filter(
    (rows) => rows.length > 1 && new Set(rows.map(({ x }) => x)).size > 1,
  );
  if (repeated.length >= 4) return undefined;
  return `A relation within golfers needs at least four golfers with both values on two visits or more; the study has ${repeated.length}.`;
}

interface WithinModel {
  readonly fit: MixedFit;
  readonly without: ReturnType<typeof withoutEachSubject>;
  readonly level: number;
}

/** The mixed model, or why there is none. */
function modelOf(
  { study }: Outcome,
  pairs: readonly VisitPair[],
  withTime: boolean,
  why: string | undefined,
): WithinModel | string {
  if (why !== undefined) return why;
  const { level } = study.plan;
  const subject = pairs.map(({ participant }) => participant);
  const y = pairs.map((pair) => pair.y);
  const split = splitWithinBetween(
    subject,
    pairs.map(({ x }) => x),
  );
  const terms = {
    between: [...split.between],
    within: [...split.within],
    ...(withTime && timeTerms(study.design.arms, pairs)),
  };
  // Slopes that differ between golfers need more visits than an intercept and a slope for each.
  const slope = pairs.length > 2 * new Set(subject).size ? { slope: "within" } : {};
  try {
    const fit = fitMixed({ subject, y, terms }, { ...slope, level });
    const rows = { subject, y, terms, ...slope };
    return { fit, without: withoutEachSubject(fit, rows, "within", level), level };
  } catch (error) {
    return refusalSentence(error, "These visits do not allow the model");
  }
}

/** Weeks for everybody, and weeks in each arm but the control, or but the first without one. */
function timeTerms(
  arms: readonly { readonly id: string; readonly control?: boolean }[],
  pairs: readonly VisitPair[],
): Record<string, number[]> {
  const measured = arms.filter(({ id }) => pairs.some(({ arm }) => arm === id));
  const reference = measured.find(({ control }) => control) ?? measured[0];
  const weeks = pairs.map(({ week }) => week);
  const own = measured
    .filter((arm) => arm !== reference)
    .map(({ id }): [string, number[]] => [
      `week in ${id}`,
      pairs.map(({ arm, week }) => (arm === id ? week : 0)),
    ]);
  return { week: weeks, ...Object.fromEntries(own) };
}

function slopeAnswer(fields: AnswerFields, model: WithinModel | string): Answer {
  if (typeof model === "string") return answer({ ...fields, unanswered: model });
  const { fit, without } = model;
  const estimate = present(fit.fixed.within);
  const intercepts = fit.random.slopeSd === undefined;
  const random = intercepts
    ? "These visits are too few for slopes that differ between golfers, so one slope is taken for all."
    : fit.singular
      ? "The fit is singular: these visits do not show how golfers differ in their slopes, so no golfer's own slope may be read from it."
      : undefined;
  return answer({
    ...fields,
    method: `${fit.method}, random intercepts${intercepts ? "" : " and slopes"}, Satterthwaite t; a golfer is left out with the variances held`,
    estimate,
    count: { n: fit.subjects, of: "golfers" },
    leaveOneOut: leaveOneOutOf(
      estimate,
      without.map(({ subject }) => subject),
      without.map((one) => one.estimate),
    ),
    warnings: random === undefined ? [] : [random],
  });
}

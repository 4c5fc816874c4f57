import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { bootstrap } from "../stats/bootstrap/bootstrap.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { fitLinear, type LinearFit } from "../stats/linear-model.js";
import { fitLine } from "../stats/regression.js";
import { codedTerms } from "../stats/terms.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { covariateName, covariatesOf } from "./covariates.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { changeName } from "./outcome-choice.js";
import { refusalSentence } from "./refusal.js";
import {
  outcomeBehind,
  type Related,
  type RelatedPoint,
  type RelatedRows,
  relatedRows,
} from "./related-rows.js";
import { correlationAnswer } from "./relation-correlation.js";
import {
  bandOf,
  coefficientTable,
  influenceTable,
  pointsAt,
  type RelationBand,
  type RelationUnits,
  readingsTable,
} from "./relation-tables.js";
import { type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** How two outcomes are related. */
export interface RelateOptions {
  /** Id of the visit; the first of the design unless given. Changes have visits of their own. */
  readonly at?: string;
  /** Columns of the participants file, or "arm": the relation among golfers alike in these. */
  readonly adjustFor?: readonly string[];
  /** "ordinary" unless given; "HC3" where the spread depends on the size. */
  readonly standardErrors?: "ordinary" | "HC3";
  /** "t" unless given; "BCa" draws whole golfers; not with adjustFor. */
  readonly interval?: "t" | "BCa";
  /** Resamples of the bootstrap, 10 000 unless given. */
  readonly resamples?: number;
  /** Seed of the bootstrap; that of the plan unless given. */
  readonly seed?: number;
}

/** A relation between two outcomes: the slope, and beside it the correlation and its tables. */
export interface RelationAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "relate";
  /** The correlation; partial where covariates are adjusted for. */
  readonly correlation: Answer;
  /** Every coefficient. */
  readonly coefficients: ResultTable;
  /** The five golfers who move the unadjusted line most. */
  readonly influence: ResultTable;
  /** The unadjusted line at round values, refused outside the range that was seen. */
  readonly readings: ResultTable;
  /** Golfers with both values. */
  readonly points: readonly RelatedPoint[];
  /** The unadjusted line with its bands; empty without an answer. */
  readonly band: readonly RelationBand[];
  /** Names and units of the axes. */
  readonly axes: RelationUnits;
}

const optionNames = ["at", "adjustFor", "standardErrors", "interval", "resamples", "seed"] as const;

/**
 * How one outcome goes with another between golfers, on one visit or as changes: the slope by least
 * squares, with the correlation, the coefficients of covariates, influence and readings beside it.
 * A relation between golfers does not show what a change in one golfer does.
 *
 * @param y the outcome, or change, that is predicted
 * @param x the outcome, or change, that it is predicted from
 * @returns the slope in units of y per unit of x; why there is none in `unanswered`
 * @throws InputError when an option is not known, a covariate is not a column of the participants
 *   file, or the two are of different studies or visits
 */
export function relate(y: Related, x: Related, options: RelateOptions = {}): RelationAnswer {
  knownOptions(options, optionNames, "relate");
  const { adjustFor = [], interval = "t" } = options;
  if (interval === "BCa" && adjustFor.length > 0) {
    const expected = 'interval "t" with adjustFor';
    throw new InputError({ expected, got: '"BCa"', where: "relate, interval" });
  }
  const related = relatedRows(y, x, options.at);
  const covariates = covariatesOf(
    related.study,
    related.points.map(({ participant }) => participant),
    adjustFor,
  );
  const points = pointsAt(related.points, covariates.places);
  const fields = fieldsOf(y, x, { ...related, points }, adjustFor);
  const axes = axesOf(y, x, related.areChanges);
  const why = obstacle(points, adjustFor.length);
  if (why !== undefined) return unanswered(fields, axes, points, why);
  const { level } = related.study.plan;
  const columns = {
    y: points.map((point) => point.y),
    terms: { x: points.map((point) => point.x), ...covariates.terms },
  };
  const fit = fitOr(() =>
    fitLinear(columns, { level, standardErrors: options.standardErrors ?? "ordinary" }),
  );
  if (typeof fit === "string") return unanswered(fields, axes, points, fit);
  const ordinary = options.standardErrors === "HC3" ? fitLinear(columns, { level }) : fit;
  const without = slopesWithoutEach(columns, level);
  const slope =
    interval === "BCa" ? resampled(points, options, related) : present(fit.coefficients.x);
  const line = fitLine({ x: columns.terms.x, y: columns.y }, { level });
  return frozen({
    ...answer({
      ...fields,
      unit: axes.slope,
      method: methodOf(options),
      estimate: slope,
      leaveOneOut: leaveOneOutOf(present(ordinary.coefficients.x), codesOf(points), without),
      warnings: [...covariates.warnings, ...fit.warnings, ...unmatchedWords(related)],
    }),
    kind: "relate" as const,
    correlation: correlationAnswer(fields, points, ordinary, without, level),
    coefficients: coefficientTable(fit.coefficients, axes, adjustFor),
    influence: influenceTable(points, axes),
    readings: readingsTable(line, axes, level),
    points,
    band: bandOf(line, level),
    axes,
  });
}

function fieldsOf(
  y: Related,
  x: Related,
  related: RelatedRows,
  adjustFor: readonly string[],
): AnswerFields {
  const outcome = outcomeBehind(y);
  const other = outcomeBehind(x);
  return {
    kind: "relate",
    quantity: "relation",
    aspect: related.areChanges ? "slope of the changes" : "slope",
    measure: outcome.measure,
    on: other.measure,
    visits: related.visits,
    adjustedFor: adjustFor.map(covariateName),
    unit: "",
    count: { n: related.points.length, of: "golfers" },
    rule: `${outcome.rule.title}; ${other.rule.title}`,
    method: "least squares",
    source: related.source(codesOf(related.points)),
  };
}

/** Names and units of two outcomes or changes. */
function axesOf(y: Related, x: Related, areChanges: boolean): RelationUnits {
  const axis = (related: Related) => {
    const { measure, unit } = outcomeBehind(related);
    return { quantity: areChanges ? changeName(measure.name) : measure.name, unit };
  };
  const [ofY, ofX] = [axis(y), axis(x)];
  return { y: ofY, x: ofX, slope: `${ofY.unit || "log"} per ${ofX.unit || "log"}` };
}

/** A fit, or why these golfers do not allow it. */
function fitOr(fit: () => LinearFit): LinearFit | string {
  try {
    return fit();
  } catch (error) {
    return refusalSentence(error, "These golfers do not allow this adjustment");
  }
}

function obstacle(points: readonly RelatedPoint[], covariates: number): string | undefined {
  const need = 4 + covariates;
  if (points.length < need) {
    return `A relation needs at least ${need} golfers with both values; the study has ${points.length}.`;
  }
  if (new Set(points.map(({ x }) => x)).size === 1) {
    return "All golfers have the same value, so that no relation can be estimated.";
  }
  if (new Set(points.map(({ y }) => y)).size === 1) {
    return "The predicted value is the same for all golfers, so that no relation can be estimated.";
  }
  return undefined;
}

function unanswered(
  fields: AnswerFields,
  axes: RelationUnits,
  points: readonly RelatedPoint[],
  why: string,
): RelationAnswer {
  const empty = (caption: string) => resultTable(caption, [], []);
  return frozen({
    ...answer({ ...fields, unit: axes.slope, unanswered: why }),
    kind: "relate" as const,
    correlation: answer({ ...fields, aspect: "correlation", unit: "", unanswered: why }),
    coefficients: empty(why),
    influence: empty(why),
    readings: empty(why),
    points,
    band: [],
    axes,
  });
}

function methodOf({ standardErrors, interval }: RelateOptions): string {
  if (interval === "BCa") return "least squares, BCa bootstrap of golfers";
  return standardErrors === "HC3" ? "least squares, HC3 standard errors" : "least squares";
}

function codesOf(points: readonly RelatedPoint[]): string[] {
  return points.map(({ participant }) => participant);
}

function unmatchedWords({ unmatched }: RelatedRows): string[] {
  if (unmatched.length === 0) return [];
  const golfers = unmatched.length === 1 ? "1 golfer has" : `${unmatched.length} golfers have`;
  return [
    `${golfers} one of the two values only and ${unmatched.length === 1 ? "is" : "are"} left out.`,
  ];
}

function slopesWithoutEach(
  { y, terms }: Parameters<typeof fitLinear>[0],
  level: number,
): (Estimate | null)[] {
  const coded = codedTerms(terms, y.length, {}, true, "relate");
  const columns = [new Float64Array(y.length).fill(1), ...coded.columns];
  const weights = ["intercept", ...coded.names].map((name) => (name === "x" ? 1 : 0));
  return withoutEachRow(columns, y, weights, level);
}

function resampled(
  points: readonly RelatedPoint[],
  { resamples = 10_000, seed }: RelateOptions,
  { study }: RelatedRows,
): Estimate {
  const drawn = bootstrap(
    [points.map(({ x }) => x), points.map(({ y }) => y)],
    ([x = [], y = []]) => fitLine({ x, y }).slope.value,
    { resamples, seed: seed ?? study.plan.seed, level: study.plan.level, method: "bca" },
  );
  const { value, interval } = drawn.estimate;
  return { value, ...(interval && { interval }) };
}

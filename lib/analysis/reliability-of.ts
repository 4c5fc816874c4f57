import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { sdInterval } from "../stats/sd-limits.js";
import { type TwoWayError, twoWayErrors } from "../stats/two-way-error.js";
import type { Arm } from "../study/package/design.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Outcome } from "./outcome.js";
import { visitOf } from "./related-rows.js";
import {
  agreementTable,
  iccAnswer,
  iccTable,
  moreTrialsTable,
  shiftAnswer,
} from "./reliability-parts.js";
import { type RepeatedValues, trialsOf, visitsAsTrials, wholeTable } from "./repeated-values.js";
import { type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** Between what the error is measured. */
export interface ReliabilityOptions {
  /**
   * "trials" of one visit, the default; or "visits", in the control arm, which did not train for
   * the outcome.
   */
  readonly between?: "trials" | "visits";
  /** Id of the visit whose trials are taken; the first of the design unless given. */
  readonly at?: string;
  /**
   * Id of the arm whose visits are compared; the control arm unless given. In an arm that trained,
   * the change that all share is taken out, but differences in response count as error.
   */
  readonly arm?: string;
  /** Ids of the visits; those of the plan unless given, all of the design with "all". */
  readonly visits?: readonly string[] | "all";
}

/** How reliable an outcome is: the typical error, with what else the same values show. */
export interface ReliabilityAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "reliabilityOf";
  /** Minimal detectable change of one golfer at the level of the plan: z √2 typical error. */
  readonly mdc: Answer;
  /** The typical error in percent, from logarithms. */
  readonly cv: Answer;
  /** Intraclass correlation, consistency of one value. */
  readonly icc: Answer;
  /** Last trial, or visit, − first. */
  readonly shift: Answer;
  /** Six forms of the intraclass correlation. */
  readonly iccForms: ResultTable;
  /** Typical error and reliability of the mean of 1 to 10 trials. */
  readonly moreTrials: ResultTable;
  /** Bland and Altman's limits of agreement of the first and the last trial or visit. */
  readonly agreement: ResultTable;
  /** The values, golfer by golfer, for figures. */
  readonly repeated: RepeatedValues;
}

const optionNames = ["between", "at", "visits", "arm"] as const;

/**
 * How reliable an outcome is. The typical error is the standard deviation of a golfer's repeated
 * values, shifts that all golfers share taken out; every golfer with two values or more counts, so
 * that a lost trial costs one value and not a golfer. Its interval is the χ² interval, which assumes
 * normal errors of one size.
 *
 * Trials of one visit share a day; the error from visit to visit is larger, and it is the one to
 * compare a change with.
 * @param outcome from `study.outcome`
 * @returns the typical error in the unit of the outcome; why there is none in `unanswered`
 * @throws InputError when an option, a visit or an arm is not known
 * @see Hopkins (2000) Sports Med 30:1–15
 */
export function reliabilityOf(
  outcome: Outcome,
  options: ReliabilityOptions = {},
): ReliabilityAnswer {
  knownOptions(options, optionNames, "reliabilityOf");
  const { between = "trials" } = options;
  const chosen = between === "visits" ? betweenVisits(outcome, options) : within(outcome, options);
  const { fields, repeated, obstacle } = chosen;
  const { level } = outcome.study.plan;
  const errors = twoWayErrors(repeated.values);
  const why = obstacle ?? (errors.whole ? undefined : tooFew(between, errors.persons.length));
  if (why !== undefined || !errors.whole) return unanswered(fields, repeated, why ?? "");
  const counted = { ...fields, count: { n: errors.persons.length, of: "golfers" } as const };
  const table = wholeTable(repeated);
  return frozen({
    ...sized(counted, errors, level, 1),
    kind: "reliabilityOf" as const,
    mdc: mdcOf(counted, errors, level),
    cv: cvOf(counted, repeated, outcome, level),
    icc: iccAnswer(counted, repeated, table, level),
    shift: shiftAnswer(counted, table, level),
    iccForms: iccTable(table, level),
    moreTrials: moreTrialsTable(repeated, outcome.unit, between),
    agreement: agreementTable(table, repeated.trials, outcome.unit, level),
    repeated,
  });
}

type Errors = ReturnType<typeof twoWayErrors>;

interface Chosen {
  readonly fields: AnswerFields;
  readonly repeated: RepeatedValues;
  readonly obstacle?: string;
}

function within(outcome: Outcome, { at }: ReliabilityOptions): Chosen {
  const visit = visitOf(outcome.study, at);
  const repeated = trialsOf(outcome, visit.id);
  const people = [...new Set(repeated.values.map(({ person }) => person))];
  const one = outcome.quantity === "grip" ? "trial" : "swing";
  return {
    fields: {
      ...common(outcome),
      aspect: `typical error of one ${one}`,
      visits: { at: visitName(visit) },
      count: { n: people.length, of: "golfers" },
      rule: `single ${one}s`,
      method: "two-way analysis of variance, χ² interval",
      source: outcome.source(people, [visit.id]),
    },
    repeated,
  };
}

function betweenVisits(outcome: Outcome, { visits, arm: chosen }: ReliabilityOptions): Chosen {
  const { design, plan } = outcome.study;
  const planned = plan.primary && [plan.primary.before, plan.primary.after];
  const all = design.occasions.map(({ id }) => id);
  const ids = visits === "all" ? all : (visits ?? planned ?? all);
  const occasions = ids.map((id) => visitOf(outcome.study, id));
  const arms = armsFor(design.arms, chosen);
  const repeated = visitsAsTrials(
    outcome,
    ids,
    arms.map(({ id }) => id),
  );
  const people = [...new Set(repeated.values.map(({ person }) => person))];
  const [arm] = arms;
  const isTrained = arm !== undefined && arm.control !== true;
  const [first, last] = [present(occasions[0]), present(occasions.at(-1))];
  return {
    fields: {
      ...common(outcome),
      aspect: "typical error from visit to visit",
      ...(arm && { arms: { first: arm.title } }),
      visits: { before: visitName(first), at: visitName(last) },
      count: { n: people.length, of: "golfers" },
      rule: outcome.rule.title,
      method: `two-way analysis of variance of the ${isTrained ? "trained" : "control"} arm, χ² interval`,
      ...(isTrained && {
        warnings: [
          "The golfers trained between the visits, so that differences in response count as error.",
        ],
      }),
      source: outcome.source(people, ids),
    },
    repeated,
    ...(!arm && {
      obstacle:
        "The study has no control arm, so that changes from visit to visit include the training and do not show measurement error.",
    }),
    ...(arm && occasions.length < 2 && { obstacle: "The design has one visit only." }),
  };
}

/** The arm that was named, or the control arm. */
function armsFor(arms: readonly Arm[], chosen: string | undefined): readonly Arm[] {
  const found = arms.filter(({ id, control }) =>
    chosen === undefined ? control === true : id === chosen,
  );
  if (chosen === undefined || found.length > 0) return found;
  const expected = `an arm of the design (${arms.map(({ id }) => id).join(", ")})`;
  throw new InputError({ expected, got: JSON.stringify(chosen), where: "reliabilityOf, arm" });
}

function common(outcome: Outcome) {
  return {
    kind: "reliabilityOf",
    quantity: "size",
    measure: outcome.measure,
    unit: outcome.unit,
  } as const;
}

function tooFew(between: "trials" | "visits", n: number): string {
  const what = between === "trials" ? "valid trials or more on the visit" : "visits or more";
  return `A typical error needs at least two golfers with two ${what}; found: ${n}.`;
}

function unanswered(
  fields: AnswerFields,
  repeated: RepeatedValues,
  why: string,
): ReliabilityAnswer {
  const none = (aspect: string, unit = fields.unit) =>
    answer({ ...fields, aspect, unit, unanswered: why });
  const empty = resultTable(why, [], []);
  return frozen({
    ...answer({ ...fields, unanswered: why }),
    kind: "reliabilityOf" as const,
    mdc: none("minimal detectable change"),
    cv: none("coefficient of variation", "%"),
    icc: none("ICC(3,1)", ""),
    shift: none("last − first"),
    iccForms: empty,
    moreTrials: empty,
    agreement: empty,
    repeated,
  });
}

/** A multiple of the typical error with its χ² interval. */
function multiple({ sd, df }: TwoWayError, factor: number, level: number): Estimate {
  const value = factor * sd;
  return { value, df, interval: sdInterval(value, df, level, "χ² of the error mean square") };
}

function sized(fields: AnswerFields, errors: Errors, level: number, factor: number): Answer {
  const estimate = multiple(present(errors.whole), factor, level);
  const without = errors.without.map((one) => one && multiple(one, factor, level));
  return answer({
    ...fields,
    estimate,
    leaveOneOut: leaveOneOutOf(estimate, errors.persons, without),
  });
}

// Abe et al. (2025) J Sports Sci Med 24:543–554 (18 to 35 years) and 24:707–711 (a year apart)
const publishedMdc = [
  { name: "published minimal detectable change, healthy adults", value: 4.0 },
  { name: "published minimal detectable change, a year apart", value: 7.7 },
] as const;

function mdcOf(fields: AnswerFields, errors: Errors, level: number): Answer {
  const factor = normal().quantile((1 + level) / 2) * Math.SQRT2;
  const percent = `${Math.round(100 * level)} %`;
  const isVisits = fields.visits?.before !== undefined;
  const of = isVisits ? "" : fields.measure.outcome === "grip" ? " of one trial" : " of one swing";
  const isGrip = fields.measure.outcome === "grip" && fields.unit === "kgf";
  const aspect = `minimal detectable change${of} (${percent})`;
  const named = { ...fields, aspect, method: `${factor.toFixed(2)} × typical error` };
  const references = isVisits && isGrip && level === 0.95 ? publishedMdc : [];
  return sized({ ...named, references }, errors, level, factor);
}

function cvOf(
  fields: AnswerFields,
  { values }: RepeatedValues,
  { isLogged }: Outcome,
  level: number,
): Answer {
  const named = {
    ...fields,
    aspect: "coefficient of variation",
    unit: "%",
    method: "typical error of logarithms, χ² interval",
  };
  if (!isLogged && !values.every(({ value }) => value > 0)) {
    return answer({ ...named, unanswered: "Not every value is positive." });
  }
  const logs = isLogged
    ? values
    : values.map(({ value, ...rest }) => ({ ...rest, value: Math.log(value) }));
  const errors = twoWayErrors(logs);
  const percent = (error: TwoWayError): Estimate => {
    const { value, df, interval } = multiple(error, 1, level);
    const { low, high, ...about } = present(interval);
    const scale = (log: number) => 100 * Math.expm1(log);
    const limits = { low: scale(low), high: scale(high), ...about };
    return { value: scale(value), ...(df !== undefined && { df }), interval: limits };
  };
  const estimate = percent(present(errors.whole));
  const without = errors.without.map((one) => one && percent(one));
  return answer({
    ...named,
    estimate,
    leaveOneOut: leaveOneOutOf(estimate, errors.persons, without),
  });
}

import { present } from "../entry.js";
import { knownOptions } from "../options.js";
import { frozen, type Interval } from "../stats/estimate.js";
import {
  type Choice,
  medianWithoutEach,
  type SpecificationCurve,
  specificationCurve,
} from "../stats/specification.js";
import { summariseSpecifications } from "../stats/specification-summary.js";
import { decimalText } from "./decimal-text.js";
import type { Change } from "./outcome.js";
import { refusalSentence } from "./refusal.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import {
  type Alternatives,
  columnsFor,
  comparisonOf,
  dataChoices,
  type SpecifiedArms,
} from "./specification-choices.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** The rule of a result that sets several rules side by side. */
export type SeveralRules = "several";

/** The effect under one combination of choices. */
export interface EffectSpecification {
  /** Option taken of each choice, by name. */
  readonly choice: Choice;
  /** Effect in percent. */
  readonly value: number;
  /** Bootstrap interval of the effect, in percent. */
  readonly interval: Interval;
  /** Golfers that this combination uses. */
  readonly n: number;
  /** Whether it is the combination of the plan. */
  readonly planned: boolean;
}

/** The effect under every combination of choices. */
export interface SpecificationsAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "specifications";
  /** Every specification in order of its effect; empty without an answer. */
  readonly specifications: readonly EffectSpecification[];
  /** Names of choices and options where they differ from those in `specifications`. */
  readonly labels: Readonly<Record<string, string>>;
  /** How far each choice moves the effect. */
  readonly choices: ResultTable;
  /** The median effect and the joint test, as two answers. */
  readonly summary: () => Answer;
}

const optionNames = ["rules", "trials", "golfers", "resamples", "seed"] as const;
/**
 * Specification curve: the effect of an arm, in percent, under every combination of choices that a
 * reviewer could defend. Choices about the data are given; scale (kgf or logarithms), adjustment
 * (baseline or change) and centre (mean, trimmed mean, median) are always tried. With several arms
 * the first that is not the control arm is compared with it.
 *
 * @param change from `outcome.change()`
 * @param alternatives rules, trials and golfers to try; the usual ones unless given
 * @returns the median effect; why there is none in `unanswered`; `summary()` has the joint test too
 * @throws InputError when an alternative is not known
 * @see Simonsohn, Simmons, Nelson (2020) Nature Human Behaviour 4:1208–1214
 */
export function specifications(
  change: Change,
  alternatives: Alternatives = {},
): SpecificationsAnswer {
  knownOptions(alternatives, optionNames, "specifications");
  const comparison = comparisonOf(change);
  const fields = fieldsOf(change, typeof comparison === "string" ? undefined : comparison);
  if (typeof comparison === "string") return unanswered(fields, comparison);
  try {
    return answered(change, comparison, alternatives, fields);
  } catch (error) {
    return unanswered(
      fields,
      refusalSentence(error, "These golfers do not allow every specification"),
    );
  }
}

function fieldsOf(change: Change, comparison: SpecifiedArms | undefined): AnswerFields {
  const { outcome } = change;
  const rows = comparison
    ? change.rows.filter(({ arm }) => [comparison.first.id, comparison.second.id].includes(arm))
    : change.rows;
  return {
    kind: "specifications",
    quantity: "difference",
    aspect: "median effect of all specifications",
    measure: outcome.measure,
    ...(comparison && {
      arms: { first: comparison.first.title, second: comparison.second.title },
    }),
    visits: { before: visitName(change.before), at: visitName(change.after) },
    unit: "%",
    count: { n: rows.length, of: "golfers" },
    rule: "several" satisfies SeveralRules,
    method: "median of a specification curve",
    source: change.source(rows),
  };
}

function unanswered(fields: AnswerFields, why: string): SpecificationsAnswer {
  const base = answer({ ...fields, unanswered: why });
  return withSummary(
    {
      ...base,
      kind: "specifications",
      specifications: [],
      labels,
      choices: resultTable(why, [], []),
    },
    base,
  );
}

/** The summary is a function and no data: it does not show in JSON. */
function withSummary(
  record: Omit<SpecificationsAnswer, "summary">,
  summary: Answer,
): SpecificationsAnswer {
  const made = { ...record } as SpecificationsAnswer;
  Object.defineProperty(made, "summary", { value: () => summary });
  return frozen(made);
}

function answered(
  change: Change,
  comparison: SpecifiedArms,
  alternatives: Alternatives,
  fields: AnswerFields,
): SpecificationsAnswer {
  const { plan } = change.outcome.study;
  const data = dataChoices(change, comparison, alternatives);
  const columns = columnsFor(change, comparison);
  const { seed = plan.seed, resamples = 2000 } = alternatives;
  const planned = {
    rule: change.outcome.rule.id,
    trials: "in use",
    golfers: "all",
    scale: change.outcome.isLogged ? "log" : "raw",
    adjust: "baseline",
    centre: "mean",
  };
  const input = { data, columns, reference: comparison.second.id, planned };
  const curve = specificationCurve(input, { resamples, seed, level: plan.level });
  const base = medianAnswer(fields, curve, input);
  const summary = answer({ ...fields, parts: [base, jointAnswer(fields, curve)] });
  return withSummary(
    {
      ...base,
      kind: "specifications",
      specifications: curve.specifications,
      labels,
      choices: choiceTable(curve),
    },
    summary,
  );
}

function medianAnswer(
  fields: AnswerFields,
  curve: SpecificationCurve,
  input: Parameters<typeof specificationCurve>[0],
): Answer {
  const { specifications: all } = curve;
  const [low, high] = [present(all[0]).value, present(all.at(-1)).value];
  const range = medianWithoutEach(input);
  return answer({
    ...fields,
    part: "median",
    estimate: { value: curve.median },
    method: `median of ${all.length} specifications, ${curve.distinct} of them distinct`,
    leaveOneOut: {
      leaving: "person",
      low: range.low,
      high: range.high,
      changesConclusion: range.changesConclusion,
    },
    warnings: [
      `The ${all.length} specifications range from ${decimalText(low, 1)} to ${decimalText(high, 1)} %; ${percent(curve.sameSign)} have the sign of the median, and ${percent(curve.excludingZero)} have an interval that excludes zero.`,
    ],
  });
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

function jointAnswer(fields: AnswerFields, curve: SpecificationCurve): Answer {
  return answer({
    ...fields,
    part: "joint",
    quantity: "test",
    aspect: "permutation test of the median effect",
    unit: "",
    method: `${curve.resamples} shuffles of the arms`,
    estimate: { value: curve.jointP, p: curve.jointP },
  });
}

const labels: Readonly<Record<string, string>> = {
  rule: "rule",
  adjust: "adjustment",
  mean3: "mean of three",
  max3: "highest of three",
  median3: "median of three",
  mean2: "mean of two",
  baseline: "adjusted for baseline",
  change: "change scores",
  log: "logarithms",
  raw: "measured unit",
};

function choiceTable(curve: SpecificationCurve): ResultTable {
  const rows = summariseSpecifications(curve).map(
    ({ choice, option, specifications: count, low, median, high, excludingZero }) => ({
      choice: labels[choice] ?? choice,
      option: labels[option] ?? option,
      specifications: count,
      low,
      median,
      high,
      clear: 100 * excludingZero,
    }),
  );
  return resultTable(
    "How far each choice moves the effect: lowest, median and highest among the specifications that made it.",
    [
      column("choice", "Choice"),
      column("option", "Option"),
      column("specifications", "Specifications", "", 0),
      column("low", "Lowest", "%", 1),
      column("median", "Median", "%", 1),
      column("high", "Highest", "%", 1),
      column("clear", "Interval excludes zero", "%", 0),
    ],
    rows,
  );
}

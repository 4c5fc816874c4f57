import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { lowerFirst } from "../first-letter.js";
import { studentT } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval } from "../stats/estimate.js";
import { pool } from "../stats/pool/pool.js";
import type { SourceRecord } from "../study/tables/source-record.js";
import { changeWithin } from "./change-within.js";
import { compareArms } from "./compare-arms.js";
import { joinedSource } from "./joined-source.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { type PooledRow, pooledEstimate, pooledRows } from "./pooled-row.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, singleAnswers } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/** A pooled estimate with what each study adds. */
export interface PoolAnswer extends Answer {
  /** The studies of the pool with their weights. */
  readonly rows: readonly PooledRow[];
  /** Where the true value of a new study may lie; left out where the studies are too few. */
  readonly prediction?: Interval;
  /** The pool without each study in turn, each with its interval. */
  readonly withoutEach: ResultTable;
  /** Names and unit of the axis. */
  readonly axis: { readonly quantity: string; readonly unit: string };
}

/** What is pooled of each study. */
export interface PoolStudiesOptions {
  /** Name of each answer's study, where answers are pooled. */
  readonly labels?: readonly string[];
  /** "kgf" or "mph" as measured, or "percent": ratios of geometric means. */
  readonly scale?: "measured" | "percent";
  /** Outcome of each study: the primary one unless given. */
  readonly outcome?: "primary" | "speed";
}

/** The estimate of one study on the scale on which it is pooled. */
interface StudyEstimate {
  readonly label: string;
  readonly n: number;
  readonly value: number;
  readonly se: number;
  readonly answer: Answer;
}

const optionNames = ["labels", "scale", "outcome"] as const;

/**
 * Pools several studies, or one answer of each, in two stages: random effects by REML with the
 * modified Hartung–Knapp interval, which includes how little a few studies show of the differences
 * between studies.
 *
 * Of studies that all have a control arm, the difference between arms is pooled; otherwise the change
 * within the trained arms, which includes any change that would have happened without training.
 *
 * @param given studies from `openStudy`, or one answer per study in one unit
 * @returns the pooled estimate; why there is none in `unanswered`
 * @throws InputError when an option is not known, nothing is given, or answers have several units
 */
export function poolStudies(
  given: readonly StudyOutcomes[] | readonly Answer[],
  options: PoolStudiesOptions = {},
): PoolAnswer {
  knownOptions(options, optionNames, "poolStudies");
  const answers = answersOf(given, options);
  const [model] = answers;
  if (!model) {
    throw new InputError({ expected: "studies or answers", got: "none", where: "poolStudies" });
  }
  const units = [...new Set(answers.map(({ answer: { unit } }) => unit))];
  if (units.length > 1) {
    const expected = "answers in one unit";
    throw new InputError({ expected, got: units.join(" and "), where: "poolStudies" });
  }
  const isPercent = model.answer.unit === "%";
  const own = answers.flatMap(({ label, answer: one }) => studyEstimate(label, one, isPercent));
  return pooled(own, model.answer, isPercent, answers.length - own.length);
}

interface Labelled {
  readonly label: string;
  readonly answer: Answer;
}

function answersOf(
  given: readonly StudyOutcomes[] | readonly Answer[],
  { labels, scale, outcome }: PoolStudiesOptions,
): Labelled[] {
  const studies = given.filter((one): one is StudyOutcomes => one.kind === "study");
  if (studies.length === 0) {
    const answers = given.filter((one): one is Answer => one.kind !== "study");
    return answers.map((one, i) => ({
      label: labels?.[i] ?? labelOf(one, i),
      answer: present(singleAnswers(one)[0]),
    }));
  }
  const controlled = studies.every(({ design }) => design.arms.some((arm) => arm.control));
  return studies.map((study) => {
    const chosen = outcome === "speed" ? study.outcome("speed") : study.primary;
    const change = (scale === "percent" ? chosen.logged() : chosen).change();
    const asked = controlled ? compareArms(change) : changeWithin(change);
    const control = study.design.arms.find((arm) => arm.control)?.title;
    const singles = singleAnswers(asked);
    const trained = singles.find(({ arms }) => arms?.first !== control) ?? singles[0];
    return { label: study.title, answer: present(trained) };
  });
}

function labelOf({ source }: Answer, place: number): string {
  const folder = source.files[0]?.split("/")[0];
  return folder ?? `study ${place + 1}`;
}

/** The estimate on the scale of the pool; nothing where a study has none. */
function studyEstimate(label: string, one: Answer, isPercent: boolean): StudyEstimate[] {
  const { estimate, count } = one;
  const interval = estimate?.interval;
  if (!estimate || !interval) return [];
  if (!isPercent) {
    const { value, se } = estimate;
    return se === undefined ? [] : [{ label, n: count.n, value, se, answer: one }];
  }
  // A ratio of geometric means keeps no standard error: it comes back from the limit on logarithms.
  const log = (percent: number) => Math.log1p(percent / 100);
  const quantile = studentT(estimate.df ?? 1e6).quantile((1 + interval.level) / 2);
  const value = log(estimate.value);
  return [{ label, n: count.n, value, se: (log(interval.high) - value) / quantile, answer: one }];
}

function pooled(
  own: readonly StudyEstimate[],
  model: Answer,
  isPercent: boolean,
  lost: number,
): PoolAnswer {
  const fields = fieldsOf(own, model);
  const axis = { quantity: axisTitle(model), unit: model.unit };
  if (own.length < 2) {
    const why = `A pool needs at least two studies with an estimate; there ${own.length === 1 ? "is one" : "are none"}.`;
    const none = resultTable(why, [], []);
    return frozen({ ...answer({ ...fields, unanswered: why }), rows: [], withoutEach: none, axis });
  }
  const back = (value: number) => (isPercent ? 100 * Math.expm1(value) : value);
  const found = poolOf(own);
  const estimate = pooledEstimate(found.estimate, back);
  const without = own.map((_, i) => {
    const rest = own.filter((_one, j) => j !== i);
    return rest.length > 1
      ? pooledEstimate(poolOf(rest).estimate, back)
      : present(itemAt(rest, 0).answer.estimate);
  });
  const labels = own.map(({ label }) => label);
  return frozen({
    ...answer({
      ...fields,
      method: `${found.method}${isPercent ? ", on logarithms" : ""}`,
      estimate,
      leaveOneOut: leaveOneOutOf(estimate, labels, without, "study"),
      warnings: warningsOf(own, model, lost),
    }),
    rows: pooledRows(found.studies, own, back),
    ...(found.prediction &&
      own.length > 2 && {
        prediction: {
          ...found.prediction,
          low: back(found.prediction.low),
          high: back(found.prediction.high),
        },
      }),
    withoutEach: withoutTable(labels, without, model.unit),
    axis,
  });
}

function poolOf(own: readonly StudyEstimate[]) {
  return pool({
    estimate: own.map(({ value }) => value),
    se: own.map(({ se }) => se),
    label: own.map(({ label }) => label),
  });
}

function fieldsOf(own: readonly StudyEstimate[], model: Answer): AnswerFields {
  const { quantity, measure, on, unit, rule, adjustedFor } = model;
  const rules = new Set(own.map((one) => one.answer.rule));
  const sources: SourceRecord[] = own.map((one) => ({
    ...one.answer.source,
    participants: one.answer.source.participants.map((golfer) => `${one.label}: ${golfer}`),
  }));
  return {
    kind: "poolStudies",
    quantity,
    aspect: quantity === "change" ? "trained arms, studies pooled" : "studies pooled",
    measure,
    ...(on && { on }),
    adjustedFor,
    unit,
    count: { n: own.length, of: "studies" },
    rule: rules.size > 1 ? [...rules].join("; ") : rule,
    method: "random effects",
    source: joinedSource(...sources),
  };
}

function axisTitle({ quantity, measure, unit }: Answer): string {
  const name = lowerFirst(measure.name);
  if (quantity === "change") return `Change of ${name} in the trained arm`;
  if (quantity === "difference") return `Difference between arms, ${name}`;
  return unit === "" ? measure.name : `Estimate, ${name}`;
}

function warningsOf(own: readonly StudyEstimate[], { quantity }: Answer, lost: number): string[] {
  return [
    ...(lost > 0 ? [`${lost} ${lost === 1 ? "study has" : "studies have"} no estimate.`] : []),
    ...(own.length < 5
      ? [
          `${own.length} studies show little about the differences between studies; the interval includes that.`,
        ]
      : []),
    ...(quantity === "change"
      ? [
          "The change within the trained arms includes any change that would have happened without training.",
        ]
      : []),
  ];
}

function withoutTable(
  labels: readonly string[],
  without: readonly Estimate[],
  unit: string,
): ResultTable {
  return resultTable(
    "The pool without each study in turn; of two studies the other one is left with its own interval.",
    [column("label", "Without"), column("value", "Pooled", unit, 2), ...limitColumns(unit, 2)],
    labels.map((label, i) => {
      const { value, interval } = itemAt(without, i);
      return { label, value, ...limitsOf(interval) };
    }),
  );
}

import { itemAt, present, realAt } from "../entry.js";
import { unlessRefused } from "../errors.js";
import { fisherF, normal } from "../num/distributions.js";
import { agreement } from "../stats/agreement.js";
import { pairedChange } from "../stats/change.js";
import type { Estimate } from "../stats/estimate.js";
import { type IccForm, icc } from "../stats/icc.js";
import { fitVarianceComponents } from "../stats/mixed/components.js";
import { generalisability } from "../stats/mixed/generalisability.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { RepeatedValues, wholeTable } from "./repeated-values.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

type Whole = ReturnType<typeof wholeTable>;

/** Variances between golfers and of the error, trials as fixed effects; undefined where they cannot be fitted. */
function componentsOf({ values, trials }: RepeatedValues) {
  return unlessRefused(() =>
    fitVarianceComponents({
      y: values.map(({ value }) => value),
      groups: { golfer: values.map(({ person }) => person) },
      ...(trials.length > 1 && { terms: { trial: values.map(({ trial }) => trial) } }),
    }),
  );
}

/**
 * ICC(3,1): from F where every golfer has every trial, with each golfer left out from downdated
 * sums; else from the variance components of every value.
 */
export function iccAnswer(
  fields: AnswerFields,
  repeated: RepeatedValues,
  whole: Whole,
  level: number,
): Answer {
  const named = { ...fields, aspect: "ICC(3,1)", unit: "" };
  const golfers = new Set(repeated.values.map(({ person }) => person)).size;
  if (whole.table.length === golfers && golfers > 1) {
    const estimate = icc(whole.table, { level })["ICC(3,1)"];
    if (!estimate) return answer({ ...named, unanswered: "Nothing varies between golfers." });
    return answer({
      ...named,
      count: { n: golfers, of: "golfers" },
      method: "two-way analysis of variance, F interval",
      estimate,
      leaveOneOut: leaveOneOutOf(estimate, whole.participants, iccWithoutEach(whole.table, level)),
    });
  }
  const fit = componentsOf(repeated);
  const found = fit && ratioEstimate(fit, level);
  if (!found) {
    return answer({ ...named, unanswered: "These values do not separate golfers from error." });
  }
  return answer({
    ...named,
    count: { n: golfers, of: "golfers" },
    method: "variance components (REML) of every value, delta method",
    estimate: found,
  });
}

/** σ²person/(σ²person + σ²error), its interval on the scale of the log ratio. */
function ratioEstimate(
  fit: NonNullable<ReturnType<typeof componentsOf>>,
  level: number,
): Estimate | null {
  const golfer = present(fit.components.golfer).variance;
  const error = present(fit.components.residual).variance;
  const value = golfer / (golfer + error);
  const covariance = fit.componentCovariance;
  if (!covariance || golfer === 0 || error === 0) return { value };
  const [a, b] = [covariance.names.indexOf("golfer"), covariance.names.indexOf("residual")];
  const at = (i: number, j: number) => itemAt(itemAt(covariance.matrix, i), j);
  const variance =
    at(a, a) / golfer ** 2 + at(b, b) / error ** 2 - (2 * at(a, b)) / (golfer * error);
  const half = normal().quantile((1 + level) / 2) * Math.sqrt(variance);
  const back = (log: number) => 1 / (1 + Math.exp(-log));
  const log = Math.log(golfer / error);
  const interval = {
    low: back(log - half),
    high: back(log + half),
    level,
    method: "delta method on the log ratio",
  };
  return { value, interval };
}

/** ICC(3,1) = (B − E)/(B + (k − 1)E) without each row, from sums less the row's own. */
function iccWithoutEach(table: readonly (readonly number[])[], level: number): (Estimate | null)[] {
  const n = table.length;
  const k = itemAt(table, 0).length;
  if (n < 3) return table.map(() => null);
  const means = table.map((row) => row.reduce((sum, value) => sum + value, 0) / k);
  const misses = table.map((row, i) => row.map((value) => value - itemAt(means, i)));
  const shifts = new Float64Array(k);
  let squares = 0;
  for (const row of misses) {
    for (const [j, miss] of row.entries()) {
      shifts[j] = realAt(shifts, j) + miss;
      squares += miss ** 2;
    }
  }
  const centre = means.reduce((sum, value) => sum + value, 0) / n;
  const spread = means.reduce((sum, value) => sum + (value - centre) ** 2, 0);
  const [df1, df2] = [n - 2, (n - 2) * (k - 1)];
  const upper = fisherF(df1, df2).quantile((1 + level) / 2);
  const lower = fisherF(df2, df1).quantile((1 + level) / 2);
  return table.map((_, i) => {
    const own = itemAt(misses, i);
    let rest = squares - own.reduce((sum, miss) => sum + miss ** 2, 0);
    for (let j = 0; j < k; j++) rest -= (realAt(shifts, j) - itemAt(own, j)) ** 2 / (n - 1);
    const between = k * (spread - (n / (n - 1)) * (itemAt(means, i) - centre) ** 2);
    const ratio = between / df1 / (rest / df2);
    if (!Number.isFinite(ratio)) return null;
    const of = (f: number) => (f - 1) / (f + k - 1);
    const interval = { low: of(ratio / upper), high: of(ratio * lower), level, method: "F" };
    return { value: of(ratio), interval };
  });
}

/** Last − first by paired t, from golfers who have every value. */
export function shiftAnswer(
  fields: AnswerFields,
  { participants, table }: Whole,
  level: number,
): Answer {
  const isVisits = fields.visits?.before !== undefined;
  const named: AnswerFields = {
    ...fields,
    quantity: "difference",
    aspect: isVisits ? "last visit − first visit" : "last trial − first trial",
    method: "paired t",
    count: { n: table.length, of: "golfers" },
  };
  if (table.length < 2) {
    return answer({ ...named, unanswered: "Fewer than two golfers have every value." });
  }
  const first = table.map((row) => itemAt(row, 0));
  const last = table.map((row) => present(row.at(-1)));
  const { change } = pairedChange(first, last, { level });
  const changes = last.map((value, i) => value - itemAt(first, i));
  return answer({
    ...named,
    estimate: change,
    leaveOneOut: leaveOneOutOf(
      change,
      participants,
      withoutEachRow([changes.map(() => 1)], changes, [1], level),
    ),
  });
}

const forms: readonly (readonly [IccForm, string])[] = [
  ["ICC(1,1)", "one trial, each golfer with trials of their own"],
  ["ICC(2,1)", "one trial, agreement, trials drawn from many"],
  ["ICC(3,1)", "one trial, consistency, these trials"],
  ["ICC(1,k)", "mean of the trials, each golfer with trials of their own"],
  ["ICC(2,k)", "mean of the trials, agreement"],
  ["ICC(3,k)", "mean of the trials, consistency"],
];

/** Six forms of the intraclass correlation, from golfers who have every trial. */
export function iccTable({ table }: Whole, level: number): ResultTable {
  const caption = `Six forms of the intraclass correlation (Shrout and Fleiss 1979), from the ${table.length} golfers with every trial. Report the form with the number.`;
  const columns = [
    column("form", "Form"),
    column("about", "About"),
    column("value", "ICC", "", 3),
    ...limitColumns("", 3),
  ];
  if (table.length < 2 || itemAt(table, 0).length < 2) return resultTable(caption, columns, []);
  const found = icc(table, { level });
  const rows = forms.flatMap(([form, about]) => {
    const estimate = found[form];
    if (!estimate) return [];
    const { value, interval } = estimate;
    return [{ form, about, value, ...limitsOf(interval) }];
  });
  return resultTable(caption, columns, rows);
}

/** What the mean of more trials would give: a decision study on the variance components. */
export function moreTrialsTable(
  repeated: RepeatedValues,
  unit: string,
  between: "trials" | "visits",
): ResultTable {
  const one = between === "trials" ? "trials" : "visits";
  const caption = `Typical error and reliability of the mean of several ${one}, from the variance components of every value (generalisability theory).`;
  const columns = [
    column("count", `Mean of so many ${one}`, "", 0),
    column("typicalError", "Typical error", unit, 2),
    column("g", "Reliability (G)", "", 3),
  ];
  const fit = componentsOf(repeated);
  if (!fit || present(fit.components.golfer).variance === 0) {
    return resultTable(caption, columns, []);
  }
  const rows = [1, 2, 3, 4, 5, 6, 8, 10].map((count) => {
    const { g, typicalErrorRelative } = generalisability(fit, {
      person: "golfer",
      trials: { trial: count },
    });
    return { count, typicalError: typicalErrorRelative, g };
  });
  return resultTable(caption, columns, rows);
}

/** Limits of agreement of the last and the first trial or visit, exact intervals. */
export function agreementTable(
  { table }: Whole,
  trials: readonly string[],
  unit: string,
  level: number,
): ResultTable {
  const caption = `Agreement of the last and the first of ${trials.length}: mean difference and limits of agreement (Bland and Altman), with exact intervals.`;
  const columns = [
    column("what", "Last − first"),
    column("value", "Value", unit, 2),
    ...limitColumns(unit, 2),
  ];
  if (table.length < 3 || trials.length < 2) return resultTable(caption, columns, []);
  const { bias, lower, upper } = agreement(
    table.map((row) => present(row.at(-1))),
    table.map((row) => itemAt(row, 0)),
    { level },
  );
  const row = (what: string, { value, interval }: Estimate) => ({
    what,
    value,
    ...limitsOf(interval),
  });
  return resultTable(caption, columns, [
    row("mean difference", bias),
    row("lower limit of agreement", lower),
    row("upper limit of agreement", upper),
  ]);
}

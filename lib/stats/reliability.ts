import { itemAt, present } from "../entry.js";
import { normal, studentT } from "../num/distributions.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen } from "./estimate.js";
import { iccOf } from "./icc.js";
import { confidenceLevel } from "./input.js";
import { pairColumns, sdOfChanges } from "./pairs.js";
import { sdInterval } from "./sd-limits.js";
import { tEstimate } from "./t-estimate.js";
import { type MeanSquares, type TrialTable, tableOf, trialTable } from "./trials.js";

/** What repeated trials of the same people are worth. */
export interface Reliability {
  /** Name of the function that made this record. */
  readonly kind: "reliability";
  /** Number of people. */
  readonly n: number;
  /** Number of trials, k. */
  readonly trials: number;
  /** Mean of each trial over people, in the unit of the columns. */
  readonly trialMeans: readonly number[];
  /** √(mean square error): the standard deviation of one person's trials, shifts of all removed. */
  readonly typicalError: Estimate;
  /** √(variance of trials + error variance): shifts of all counted as error. */
  readonly semAgreement: number;
  /** Minimal detectable change of one person at 90 %, by the normal quantile; χ² interval. */
  readonly mdc90: Estimate;
  /** Minimal detectable change of one person at 95 %. */
  readonly mdc95: Estimate;
  /** The change that `responders` needs at 90 % when given the degrees of freedom: t in place of z. */
  readonly detectable90: number;
  /** The same change at 95 %. */
  readonly detectable95: number;
  /** Typical error of the logarithms as a percentage; left out where a value is not positive. */
  readonly cvPercent?: Estimate;
  /** Last trial − first trial. */
  readonly meanShift: Estimate;
  /** ICC(3,1); left out where nothing varies. */
  readonly icc?: Estimate;
  /** Estimated variances; a negative one is reported as it is. */
  readonly variances: {
    readonly people: number;
    readonly trials: number;
    readonly error: number;
  };
  /** Mean squares of the two-way analysis of variance. */
  readonly meanSquares: MeanSquares;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Reliability of repeated trials: typical error, minimal detectable change, shift, ICC.
 *
 * With the two-way mean squares B (people), T (trials), E (error) of n people and k trials:
 * typicalError = √E with (n − 1)(k − 1) degrees of freedom, its interval from χ²;
 * semAgreement = √(E + (T − E)/n), which is √(mean square within people); mdc90 = z₀.₉₅ √2 typicalError; mdc95 = z₀.₉₇₅ √2 typicalError
 * with the normal quantile z, and the interval of the typical error times the same factor;
 * detectable90 and detectable95 take Student's t on the same degrees of freedom, because the typical
 * error is itself an estimate (with z, 9 people of 2 trials call 8.8 % of no-changes a change);
 * cvPercent = 100 (exp(√E of the logarithms) − 1);
 * meanShift = last − first trial by paired t; icc = ICC(3,1).
 *
 * The χ² intervals of typicalError, mdc and cvPercent assume errors of a normal distribution and one
 * size for all people. Simulated coverage of the 95 % interval at 9 to 60 people: 95 % with normal
 * errors, 90 to 91 % where people differ in error size, 83 to 88 % with heavy tails (t, 5 df) and 76
 * to 81 % with exponential errors.
 *
 * @param table rows are people, columns are trials in order; at least 2 × 2, any one unit
 * @returns typicalError, semAgreement, mdc90, mdc95 and meanShift in the unit of the table, cvPercent
 *   in %, icc without unit
 * @throws InputError when the table is not rectangular, too small, or holds a value that is not finite
 * @see Hopkins (2000) Sports Med 30:1–15; Weir (2005) J Strength Cond Res 19:231–240;
 *   de Vet et al. (2006) J Clin Epidemiol 59:1033–1039 for the agreement form
 * @example reliability([[50.1, 50.9], [48.7, 48.2], [55, 55.6]]).typicalError.value // 0.4949747468305839
 */
export function reliability(
  table: ArrayLike<ArrayLike<number>>,
  options: { level?: number } = {},
): Reliability {
  knownOptions(options, ["level"], "reliability");
  const { level = 0.95 } = options;
  const checked = trialTable(table, "reliability");
  confidenceLevel(level, "reliability");
  const { people: n, trials: k, columns, meanSquares } = checked;
  const warnings: string[] = [];
  const variances = {
    people: (meanSquares.people - meanSquares.error) / k,
    trials: (meanSquares.trials - meanSquares.error) / n,
    error: meanSquares.error,
  };
  warn(variances, warnings);
  const typicalError = typicalErrorOf(checked, level);
  const df = present(typicalError.df);
  const scaled = (factor: number): Estimate => ({
    value: factor * typicalError.value,
    df,
    interval: sdInterval(factor * typicalError.value, df, level, "χ² of the error mean square"),
  });
  const detectable = (confidence: number) =>
    scaled(normal().quantile((1 + confidence) / 2) * Math.SQRT2);
  const detectableByT = (confidence: number) =>
    studentT(df).quantile((1 + confidence) / 2) * Math.SQRT2 * typicalError.value;
  const consistency = iccOf(checked, level)["ICC(3,1)"];
  return frozen({
    kind: "reliability",
    n,
    trials: k,
    trialMeans: columns.map(mean),
    typicalError,
    semAgreement: Math.sqrt(meanSquares.within),
    mdc90: detectable(0.9),
    mdc95: detectable(0.95),
    detectable90: detectableByT(0.9),
    detectable95: detectableByT(0.95),
    ...variationPercent(checked, level, warnings),
    meanShift: shift(itemAt(columns, 0), itemAt(columns, k - 1), level),
    ...(consistency === undefined ? {} : { icc: consistency }),
    variances,
    meanSquares,
    method: "two-way analysis of variance, people × trials",
    warnings,
  });
}

function warn(variances: Reliability["variances"], warnings: string[]): void {
  if (variances.people < 0) {
    warnings.push(
      `The variance between people is estimated as ${variances.people}, below 0; it is not clipped.`,
    );
  }
  if (variances.trials < 0) {
    warnings.push(
      `The variance between trials is estimated as ${variances.trials}, below 0; it is not clipped.`,
    );
  }
  if (variances.error === 0) {
    warnings.push("The trials of each person agree exactly, shifts of all apart: typical error 0.");
  }
}

function typicalErrorOf({ people, trials, meanSquares }: TrialTable, level: number): Estimate {
  const df = (people - 1) * (trials - 1);
  const value = Math.sqrt(meanSquares.error);
  return { value, df, interval: sdInterval(value, df, level, "χ² of the error mean square") };
}

function variationPercent(
  table: TrialTable,
  level: number,
  warnings: string[],
): { cvPercent?: Estimate } {
  if (!table.rows.every((row) => row.every((value) => value > 0))) {
    warnings.push("Not every value is positive, so the coefficient of variation is left out.");
    return {};
  }
  const logs = typicalErrorOf(tableOf(table.rows.map((row) => row.map(Math.log))), level);
  const percent = (log: number) => 100 * Math.expm1(log);
  const { low, high } = present(logs.interval);
  const interval = {
    low: percent(low),
    high: percent(high),
    level,
    method: "χ² of the error mean square of logarithms",
  };
  return { cvPercent: { value: percent(logs.value), df: present(logs.df), interval } };
}

function shift(first: Float64Array, last: Float64Array, level: number): Estimate {
  const pairs = pairColumns(first, last, "reliability, trials");
  const n = first.length;
  const se = sdOfChanges(pairs) / Math.sqrt(n);
  return tEstimate(mean(pairs.changes), se, n - 1, level, "paired t, last − first trial");
}

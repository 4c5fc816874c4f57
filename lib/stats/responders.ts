import { InputError } from "../errors.js";
import { normal, studentT } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { meanAndSd } from "./describe.js";
import { frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, nonNegative, numbers, shown } from "./input.js";
import { differenceOfVariances, varianceLimits } from "./sd-limits.js";

/** Smallest worthwhile change, with the steps that led to it. */
export interface SmallestWorthwhile {
  /** Name of the function that made this record. */
  readonly kind: "smallestWorthwhile";
  /** People whose baseline was used. */
  readonly n: number;
  /** share × sdTrue, in the unit of the baseline; left out where sdTrue does not exist. */
  readonly value?: number;
  /** From the χ² limits of the spread and, with its df, of the error; a limit below 0 is 0. */
  readonly interval?: Interval;
  /** Share of the true standard deviation that counts as worthwhile, such as 0.2. */
  readonly share: number;
  /** Standard deviation between people as measured, divisor n − 1. */
  readonly sdObserved: number;
  /** Standard error of measurement, as given, in the unit of the baseline. */
  readonly typicalError: number;
  /** sdObserved² − typicalError²; a negative one is reported as it is. */
  readonly varianceTrue: number;
  /** √varianceTrue; left out where the variance is negative. */
  readonly sdTrue?: number;
  /** The arithmetic in one line. */
  readonly working: string;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `smallestWorthwhile`. */
export interface WorthwhileOptions {
  /** Share of the spread between people, default 0.2. */
  readonly share?: number;
  /** Typical error of one measurement in the unit of the baseline, default 0. */
  readonly typicalError?: number;
  /** Degrees of freedom of the typical error; without them it counts as known. */
  readonly typicalErrorDf?: number;
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/**
 * Smallest worthwhile change of a group: a share of the spread between people, measurement error
 * taken out of that spread first.
 *
 * value = share · √(s² − typicalError²), s with divisor n − 1. Interval: MOVER limits of
 * s² − typicalError² from the χ² limits of both, which assume normal distributions.
 *
 * @param baseline one value per person, at least two, any unit
 * @param options share (0.2 where none is named), typical error in the unit of the baseline (0: the
 *   spread is taken as it is) with its degrees of freedom, level
 * @returns value in the unit of the baseline, with its working; where the error exceeds the spread
 *   the variance is negative, said so, and there is no value
 * @throws InputError when a value is not finite, there are fewer than two, or an option is out of
 *   range
 * @see Hopkins (2004) Sportscience 8:1–7; Cohen (1988) for the share 0.2; Zou & Donner (2008) Stat
 *   Med 27:1693–1702 for the limits
 * @example smallestWorthwhile([40, 45, 50, 55, 60], { typicalError: 1.44 }).value // 1.554688393215824
 */
export function smallestWorthwhile(
  baseline: Numbers,
  options: WorthwhileOptions = {},
): SmallestWorthwhile {
  const where = "smallestWorthwhile";
  knownOptions(options, ["share", "typicalError", "typicalErrorDf", "level"], where);
  const { share = 0.2, typicalError = 0, typicalErrorDf, level = 0.95 } = options;
  const values = numbers(baseline, where, 2);
  nonNegative(share, `${where}, share`);
  nonNegative(typicalError, `${where}, typicalError`);
  degreesOfFreedom(typicalErrorDf, where);
  confidenceLevel(level, where);
  const sdObserved = meanAndSd(values).sd;
  const observed = varianceLimits(sdObserved, values.length - 1, level);
  const error = varianceLimits(typicalError, typicalErrorDf, level);
  const variance = differenceOfVariances(observed, error);
  const record = {
    kind: "smallestWorthwhile",
    n: values.length,
    share,
    sdObserved,
    typicalError,
    varianceTrue: variance.value,
    method: "share of the standard deviation between people, measurement error removed",
  } as const;
  const steps = `${share} × √(${short(sdObserved)}² − ${short(typicalError)}²)`;
  if (variance.value < 0) {
    return frozen({
      ...record,
      working: `${steps}: the variance is ${short(variance.value)}, below 0`,
      warnings: [
        "The typical error exceeds the spread between people: there is no smallest worthwhile change.",
      ],
    });
  }
  const sdTrue = Math.sqrt(variance.value);
  const value = share * sdTrue;
  const root = (limit: number) => share * Math.sqrt(Math.max(0, limit));
  const method = "χ² limits of the variances";
  return frozen({
    ...record,
    value,
    interval: { low: root(variance.low), high: root(variance.high), level, method },
    sdTrue,
    working: `${steps} = ${short(value)}`,
    warnings: sdObserved === 0 ? ["People do not differ, so the value is 0."] : [],
  });
}

function degreesOfFreedom(df: number | undefined, where: string): void {
  if (df === undefined || (typeof df === "number" && df > 0 && df < Number.POSITIVE_INFINITY))
    return;
  throw new InputError({
    expected: "positive degrees of freedom",
    got: shown(df),
    where: `${where}, typicalErrorDf`,
  });
}

/** A number short enough for the working line. */
function short(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/** One person's change set against measurement error. */
export interface Responder {
  /** after − before, in the unit of the columns. */
  readonly change: number;
  /** Lower limit of the true change. */
  readonly low: number;
  /** Upper limit of the true change. */
  readonly high: number;
  /** "within error" where the interval holds 0. */
  readonly verdict: "up" | "down" | "within error";
}

/** Options of `responders`. */
export interface RespondersOptions {
  /** Typical error of one measurement, in the unit of the change. */
  readonly typicalError: number;
  /** Degrees of freedom of the typical error; without them it counts as known. */
  readonly typicalErrorDf?: number;
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/**
 * Each person's change with the interval that measurement error leaves around it.
 *
 * low, high = change ∓ t √2 typicalError, t the quantile of `level` on typicalErrorDf, or the normal
 * quantile where no degrees of freedom are given; "up" and "down" only where the interval excludes 0.
 * Of 100 people who did not change, about 5 are called up or down at 0.95 (7 with exponential
 * errors). The normal quantile with a typical error from few people calls more: 8 to 10 of 100 from
 * 9 people and 2 trials, simulated. Give the degrees of freedom, people − 1 times trials − 1.
 *
 * @param change after − before, one value per person, any unit
 * @param options typicalError in the same unit, its degrees of freedom, level as a fraction
 * @returns one record per person in the order given, in the unit of the change
 * @throws InputError when a value is not finite, the typical error is missing or negative, or the
 *   degrees of freedom are not positive
 * @see Hopkins (2000) Sports Med 30:1–15; Jacobson & Truax (1991) J Consult Clin Psychol 59:12–19
 * @example responders([5, -1], { typicalError: 1.44, typicalErrorDf: 11 }).map((person) => person.verdict) // ["up","within error"]
 */
export function responders(change: Numbers, options: RespondersOptions): readonly Responder[] {
  const where = "responders";
  knownOptions(options, ["typicalError", "typicalErrorDf", "level"], where);
  const { typicalError, typicalErrorDf, level = 0.95 } = options;
  const changes = numbers(change, where);
  nonNegative(typicalError, `${where}, typicalError`);
  degreesOfFreedom(typicalErrorDf, where);
  confidenceLevel(level, where);
  const distribution = typicalErrorDf === undefined ? normal() : studentT(typicalErrorDf);
  const reach = distribution.quantile((1 + level) / 2) * Math.SQRT2 * typicalError;
  return frozen(Array.from(changes, (value) => responder(value, reach)));
}

function responder(change: number, reach: number): Responder {
  const low = change - reach;
  const high = change + reach;
  return { change, low, high, verdict: low > 0 ? "up" : high < 0 ? "down" : "within error" };
}

import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { meanAndSd } from "./describe.js";
import { type Estimate, frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, nonNegative, numbers } from "./input.js";

/** Smallest change worth having, with the steps that led to it. */
export interface SmallestWorthwhile {
  readonly kind: "smallestWorthwhile";
  readonly n: number;
  /** share × sdTrue, in the unit of the baseline; left out where sdTrue does not exist. */
  readonly value?: number;
  readonly share: number;
  /** Standard deviation between people as measured, divisor n − 1. */
  readonly sdObserved: number;
  readonly typicalError: number;
  /** sdObserved² − typicalError²; a negative one is reported as it is. */
  readonly varianceTrue: number;
  /** √varianceTrue; left out where the variance is negative. */
  readonly sdTrue?: number;
  /** The arithmetic in one line. */
  readonly working: string;
  readonly method: string;
  readonly warnings: readonly string[];
}

/**
 * Smallest worthwhile change of a group: a share of the spread between people, measurement error
 * taken out of that spread first.
 *
 * value = share · √(s² − typicalError²), s with divisor n − 1.
 *
 * @param baseline one value per person, at least two, any unit
 * @param options share of the standard deviation (0.2 where none is named) and typical error in the
 *   unit of the baseline (0: the spread is taken as it is)
 * @returns value in the unit of the baseline, with its working; where the error exceeds the spread
 *   the variance is negative, said so, and there is no value
 * @throws InputError when a value is not finite, there are fewer than two, or an option is negative
 * @see Hopkins (2004) Sportscience 8:1–7; Cohen (1988) for the share 0.2
 * @example smallestWorthwhile([40, 45, 50, 55, 60], { typicalError: 1.44 }).value // 1.554688393215824
 */
export function smallestWorthwhile(
  baseline: Numbers,
  options: { share?: number; typicalError?: number } = {},
): SmallestWorthwhile {
  knownOptions(options, ["share", "typicalError"], "smallestWorthwhile");
  const { share = 0.2, typicalError = 0 } = options;
  const values = numbers(baseline, "smallestWorthwhile", 2);
  nonNegative(share, "smallestWorthwhile, share");
  nonNegative(typicalError, "smallestWorthwhile, typicalError");
  const sdObserved = meanAndSd(values).sd;
  const varianceTrue = sdObserved ** 2 - typicalError ** 2;
  const record = {
    kind: "smallestWorthwhile",
    n: values.length,
    share,
    sdObserved,
    typicalError,
    varianceTrue,
    method: "share of the standard deviation between people, measurement error removed",
  } as const;
  const steps = `${share} × √(${short(sdObserved)}² − ${short(typicalError)}²)`;
  if (varianceTrue < 0) {
    return frozen({
      ...record,
      working: `${steps}: the variance is ${short(varianceTrue)}, below 0`,
      warnings: [
        "The typical error exceeds the spread between people: no smallest worthwhile change can be told.",
      ],
    });
  }
  const sdTrue = Math.sqrt(varianceTrue);
  const value = share * sdTrue;
  return frozen({
    ...record,
    value,
    sdTrue,
    working: `${steps} = ${short(value)}`,
    warnings: sdObserved === 0 ? ["People do not differ, so the value is 0."] : [],
  });
}

/** A number short enough for the working line. */
function short(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/** One person's change set against measurement error. */
export interface Responder {
  readonly change: number;
  readonly low: number;
  readonly high: number;
  /** "within error" where the interval holds 0. */
  readonly verdict: "up" | "down" | "within error";
}

/**
 * Each person's change with the interval that measurement error leaves around it.
 *
 * low, high = change ∓ z √2 typicalError with the normal quantile z of `level`; "up" and "down" only
 * where the interval leaves 0 out, so where |change| exceeds the minimal detectable change at that
 * level. Of 100 people who did not change, about 5 leave it at 0.95.
 *
 * @param change after − before, one value per person, any unit
 * @param options typicalError of one measurement in the same unit; level as a fraction
 * @returns one record per person in the order given, in the unit of the change
 * @throws InputError when a value is not finite or the typical error is missing or negative
 * @see Hopkins (2000) Sports Med 30:1–15; Jacobson & Truax (1991) J Consult Clin Psychol 59:12–19
 * @example responders([5, -1], { typicalError: 1.44 }).map((person) => person.verdict) // ["up","within error"]
 */
export function responders(
  change: Numbers,
  options: { typicalError: number; level?: number },
): readonly Responder[] {
  knownOptions(options, ["typicalError", "level"], "responders");
  const { typicalError, level = 0.95 } = options;
  const changes = numbers(change, "responders");
  nonNegative(typicalError, "responders, typicalError");
  confidenceLevel(level, "responders");
  const reach = normal(0, 1).quantile((1 + level) / 2) * Math.SQRT2 * typicalError;
  return frozen(Array.from(changes, (value) => responder(value, reach)));
}

function responder(change: number, reach: number): Responder {
  const low = change - reach;
  const high = change + reach;
  return { change, low, high, verdict: low > 0 ? "up" : high < 0 ? "down" : "within error" };
}

/** How much people differ in their response beyond what differs without training. */
export interface IndividualResponse {
  readonly kind: "individualResponse";
  /** People in both arms. */
  readonly n: number;
  /** Variance of the changes in training minus that in control, in the square of the unit. */
  readonly variance: Estimate;
  /** Signed root of the variance: negative where control varies more. */
  readonly sd: number;
  /** Signed roots of the limits of the variance. */
  readonly sdInterval: Interval;
  readonly sdTrained: number;
  readonly sdControl: number;
  readonly method: string;
  readonly warnings: readonly string[];
}

/**
 * Individual responses: the spread of changes in the trained arm beyond that in control.
 *
 * variance = s_T² − s_C²; se = √(2 (s_T⁴/(n_T − 1) + s_C⁴/(n_C − 1))); interval ± z se;
 * sd = sign(variance) √|variance|. A negative variance is an estimate like any other: it says that
 * the data show no individual responses, and is neither clipped nor hidden.
 *
 * @param trained changes (after − before) of the trained arm, at least two, any unit
 * @param control changes of the control arm, at least two, the same unit
 * @returns variance in the square of the unit, sd in the unit
 * @throws InputError when an arm has fewer than two changes or a value is not finite
 * @see Hopkins (2015) J Appl Physiol 118:1444–1446; Atkinson & Batterham (2015) Exp Physiol
 *   100:577–588 (both cited from memory)
 * @example individualResponse([-5, 0, 5], [-3, 0, 3]).sd // 4
 */
export function individualResponse(
  trained: Numbers,
  control: Numbers,
  options: { level?: number } = {},
): IndividualResponse {
  knownOptions(options, ["level"], "individualResponse");
  const { level = 0.95 } = options;
  confidenceLevel(level, "individualResponse");
  const arms = [
    numbers(trained, "individualResponse, trained", 2),
    numbers(control, "individualResponse, control", 2),
  ];
  const [sdTrained, sdControl] = arms.map((arm) => meanAndSd(arm).sd) as [number, number];
  const value = sdTrained ** 2 - sdControl ** 2;
  const [dfTrained, dfControl] = arms.map((arm) => arm.length - 1) as [number, number];
  const se =
    Math.SQRT2 *
    Math.hypot(sdTrained ** 2 / Math.sqrt(dfTrained), sdControl ** 2 / Math.sqrt(dfControl));
  const half = normal(0, 1).quantile((1 + level) / 2) * se;
  const method = "normal, variance of a variance";
  const interval = { low: value - half, high: value + half, level, method };
  return frozen({
    kind: "individualResponse",
    n: dfTrained + dfControl + 2,
    variance: { value, se, interval },
    sd: signedRoot(value),
    sdInterval: { ...interval, low: signedRoot(interval.low), high: signedRoot(interval.high) },
    sdTrained,
    sdControl,
    method: "difference of the variances of change, trained − control",
    warnings:
      value < 0
        ? [
            "Changes vary more in control: the variance is negative, and no response differences show.",
          ]
        : [],
  });
}

function signedRoot(value: number): number {
  return Math.sign(value) * Math.sqrt(Math.abs(value));
}

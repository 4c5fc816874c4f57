import { knownOptions } from "../options.js";
import { meanAndSd } from "./describe.js";
import { type Estimate, frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, numbers } from "./input.js";
import { differenceOfVariances, sdFactors, varianceLimits } from "./sd-limits.js";

/** How much people differ in their response beyond what differs without training. */
export interface IndividualResponse {
  /** Name of the function that made this record. */
  readonly kind: "individualResponse";
  /** People in both arms. */
  readonly n: number;
  /** Variance of the changes in training minus that in control, in the square of the unit. */
  readonly variance: Estimate;
  /** Signed root of the variance: negative where control varies more. */
  readonly sd: number;
  /** Signed roots of the limits of the variance. */
  readonly sdInterval: Interval;
  /** Standard deviation of the changes in training, divisor n − 1. */
  readonly sdTrained: number;
  /** Standard deviation of the changes in control, divisor n − 1. */
  readonly sdControl: number;
  /** The response SD that would just put the interval above 0 with these arms' sizes and control. */
  readonly smallestDetectable?: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Individual responses: the spread of changes in the trained arm beyond that in control.
 *
 * variance = s_T² − s_C²; se = √(2 (s_T⁴/(n_T − 1) + s_C⁴/(n_C − 1))); the interval recovers its
 * limits from the χ² limits of each arm's variance (MOVER), so it is not symmetric;
 * sd = sign(variance) √|variance|. A negative variance is an estimate like any other: it says that
 * the data show no individual responses, and is neither clipped nor hidden.
 *
 * χ² limits assume normal changes: with exponential ones the 95 % interval covers 79 % at 60 people. With 12 people per arm only response differences larger than the
 * spread of control can be detected: `smallestDetectable` gives the SD.
 *
 * @param trained changes (after − before) of the trained arm, at least two, any unit
 * @param control changes of the control arm, at least two, the same unit
 * @returns variance in the square of the unit, sd in the unit
 * @throws InputError when an arm has fewer than two changes or a value is not finite
 * @see Hopkins (2015) J Appl Physiol 118:1444–1446; Atkinson & Batterham (2015) Exp Physiol
 *   100:577–588 (both cited from memory); Zou & Donner (2008) Stat Med 27:1693–1702 for the limits
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
  const first = numbers(trained, "individualResponse, trained", 2);
  const second = numbers(control, "individualResponse, control", 2);
  const [sdTrained, sdControl] = [meanAndSd(first).sd, meanAndSd(second).sd];
  const [dfTrained, dfControl] = [first.length - 1, second.length - 1];
  const limits = differenceOfVariances(
    varianceLimits(sdTrained, dfTrained, level),
    varianceLimits(sdControl, dfControl, level),
  );
  const se =
    Math.SQRT2 *
    Math.hypot(sdTrained ** 2 / Math.sqrt(dfTrained), sdControl ** 2 / Math.sqrt(dfControl));
  const method = "MOVER from the χ² limits of each arm";
  const interval = { low: limits.low, high: limits.high, level, method };
  const smallestDetectable = detectableSd(sdControl, dfTrained, dfControl, level);
  return frozen({
    kind: "individualResponse",
    n: first.length + second.length,
    variance: { value: limits.value, se, interval },
    sd: signedRoot(limits.value),
    sdInterval: { ...interval, low: signedRoot(interval.low), high: signedRoot(interval.high) },
    sdTrained,
    sdControl,
    ...(smallestDetectable !== undefined && { smallestDetectable }),
    method: "difference of the variances of change, trained − control",
    warnings: responseWarnings(
      { sdTrained, sdControl, n1: first.length, n2: second.length },
      interval,
      smallestDetectable,
    ),
  });
}

function responseWarnings(
  {
    sdTrained,
    sdControl,
    n1,
    n2,
  }: { sdTrained: number; sdControl: number; n1: number; n2: number },
  interval: Interval,
  detectable: number | undefined,
): string[] {
  if (sdTrained === 0 && sdControl === 0) {
    return [
      "Every change is the same within each arm: the data give no information about responses.",
    ];
  }
  const warnings: string[] = [];
  if (sdTrained < sdControl) {
    warnings.push(
      "Changes vary more in control: the variance is negative, and no response differences show.",
    );
  }
  if (interval.low <= 0 && sdControl > 0) {
    warnings.push(
      detectable === undefined
        ? `With ${n1} and ${n2} people no response differences can be detected at this level.`
        : `With ${n1} and ${n2} people an SD of responses below ${Number(detectable.toPrecision(3))} cannot be distinguished from 0.`,
    );
  }
  return warnings;
}

/**
 * The response SD at which the lower limit is 0: with R = s_T²/s_C², a = 1 − df/χ²₁₋α/₂ of the
 * trained arm and b = df/χ²α/₂ − 1 of control, (R − 1)² = a²R² + b².
 */
function detectableSd(
  sdControl: number,
  dfTrained: number,
  dfControl: number,
  level: number,
): number | undefined {
  if (sdControl === 0) return undefined;
  const a = 1 - sdFactors(dfTrained, level).low ** 2;
  const b = sdFactors(dfControl, level).high ** 2 - 1;
  const square = 1 - (1 - a * a) * (1 - b * b);
  const ratio = (1 + Math.sqrt(square)) / (1 - a * a);
  const sd = sdControl * Math.sqrt(ratio - 1);
  return Number.isFinite(sd) ? sd : undefined;
}

function signedRoot(value: number): number {
  return Math.sign(value) * Math.sqrt(Math.abs(value));
}

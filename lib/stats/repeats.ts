import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen } from "./estimate.js";
import { nonNegative, shown, wholeNumber } from "./input.js";

/** The error of a value made of so many trials. */
export interface RepeatsRow {
  /** Trials in a visit whose mean is the value. */
  readonly trials: number;
  /** Typical error from visit to visit of the mean of so many trials; left out below a negative variance. */
  readonly typicalError?: number;
  /** Minimal detectable change of such a value at 95 %, in the unit of the columns. */
  readonly mdc95?: number;
}

/** What more trials in a visit can and cannot buy. */
export interface ErrorByTrials {
  /** Name of the function that made this record. */
  readonly kind: "errorByTrials";
  /** Variance of the visit itself, which no number of trials removes; negative when not told apart from 0. */
  readonly visitVariance: number;
  /** Variance of a single trial within a visit, in the square of the unit. */
  readonly trialVariance: number;
  /** One row per number of trials asked. */
  readonly rows: readonly RepeatsRow[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Typical error from visit to visit of the mean of k trials, for k from 1 up: √(visit² + trial²/k).
 *
 * trial² is the square of the typical error of one trial within a visit; visit² is what is left of
 * the square of the retest error of the mean of `trials` trials: retest² − trial²/trials.
 * @param errors trialError: typical error of one trial; retestError: typical error from visit to
 *   visit of the mean of `trials` trials; one unit u
 * @returns typical errors and 95 % minimal detectable changes in u, variances in u²
 * @throws InputError when an error is negative or a count is no whole number from 1
 * @see Brennan RL (2001) Generalizability Theory, chapter 2 (error variance of a mean over trials)
 * @example errorByTrials({ trialError: 1.5, retestError: 1.3, trials: 3 }, { upTo: 3 }).rows[2].typicalError // 1.3
 */
export function errorByTrials(
  errors: {
    readonly trialError: number;
    readonly retestError: number;
    readonly trials: number;
  },
  options: { upTo?: number } = {},
): ErrorByTrials {
  knownOptions(options, ["upTo"], "errorByTrials");
  const { upTo = 10 } = options;
  const where = "errorByTrials";
  nonNegative(errors.trialError, `${where}, trialError`);
  nonNegative(errors.retestError, `${where}, retestError`);
  wholeNumber(errors.trials, `${where}, trials`);
  wholeNumber(upTo, `${where}, upTo`);
  const trialVariance = errors.trialError ** 2;
  const visitVariance = errors.retestError ** 2 - trialVariance / errors.trials;
  const z = normal().quantile(0.975);
  const rows = Array.from({ length: upTo }, (_, i) => {
    const variance = visitVariance + trialVariance / (i + 1);
    if (variance < 0) return { trials: i + 1 };
    const typicalError = Math.sqrt(variance);
    return { trials: i + 1, typicalError, mdc95: z * Math.SQRT2 * typicalError };
  });
  const negative = visitVariance < 0;
  return frozen({
    kind: "errorByTrials",
    visitVariance,
    trialVariance,
    rows,
    method: "variance of a visit + variance of a trial / trials",
    warnings: negative
      ? [
          "The retest error is smaller than the trials alone explain: the variance of a visit comes out negative, so the benefit of more trials may be overestimated.",
        ]
      : [],
  });
}

/**
 * Reliability of the mean of several trials from that of one (Spearman–Brown):
 * times · r / (1 + (times − 1) · r). `times` may be a fraction, for fewer trials.
 * @param reliability an intraclass correlation, above −1 / (times − 1) and at most 1
 * @throws InputError when the reliability exceeds 1 or times is not positive
 * @see Spearman (1910) Br J Psychol 3:271–295; Shrout & Fleiss (1979) Psychol Bull 86:420–428
 * @example spearmanBrown(0.7148, 4) // 0.9092990713649662
 */
export function spearmanBrown(reliability: number, times: number): number {
  if (typeof reliability !== "number" || !(reliability <= 1)) {
    throw refusal("a reliability of at most 1", reliability, "reliability");
  }
  if (typeof times !== "number" || !(times > 0)) throw refusal("a number above 0", times, "times");
  const bottom = 1 + (times - 1) * reliability;
  if (!(bottom > 0))
    throw refusal("a reliability above −1 / (times − 1)", reliability, "reliability");
  return (times * reliability) / bottom;
}

function refusal(expected: string, got: unknown, at: string): InputError {
  return new InputError({ expected, got: shown(got), where: `spearmanBrown, ${at}` });
}

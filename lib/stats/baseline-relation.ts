import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { mean, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, nonNegative, shown } from "./input.js";
import { pairColumns } from "./pairs.js";
import { fitLine } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** How change goes with the value people started from, and how much of that error alone makes. */
export interface BaselineRelation {
  /** Name of the function that made this record. */
  readonly kind: "baselineRelation";
  /** Number of people. */
  readonly n: number;
  /**
   * Slope of change on the value before, as seen. It has no p value: measurement error makes it
   * differ from 0 where nothing else does.
   */
  readonly slope: Estimate;
  /** Slope that error alone makes: −typicalError² / s². */
  readonly expected: number;
  /** slope − expected: what error alone does not explain, on the scale as seen. */
  readonly beyondError: Estimate;
  /**
   * Slope of true change on the true value before; left out where the error is as large as the
   * spread between people.
   */
  readonly corrected?: Estimate;
  /** typicalError² / s²: share of the variance before that is error; 1 − reliability. */
  readonly errorShare: number;
  /** Standard error of measurement of one value before, as given, in the unit of the columns. */
  readonly typicalError: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `baselineRelation`: the measurement error that the slope is compared with. */
export interface BaselineRelationOptions {
  /** Standard error of measurement of one value before, in the unit of the columns. */
  readonly typicalError: number;
  /** Degrees of freedom it rests on; without it the error counts as known. */
  readonly typicalErrorDf?: number;
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/**
 * Relation of change with the value before, corrected for regression to the mean.
 *
 * A value that happened to be read too low before leaves room for a rise, so the slope b of
 * after − before on before is biased: with k = typicalError² / s² and a true slope β it is
 * β(1 − k) − k on average, and −k where change has nothing to do with the start. Blomqvist's
 * corrected slope is β = (b + k) / (1 − k), with
 * se² = se_b² / (1 − k)² + ((1 + b) / (1 − k)²)² · k² (2 / (n − 1) + 2 / df_error) and t on n − 2
 * degrees of freedom. Few people make it wide: then hold the slope as seen against `expected`.
 *
 * @param before first occasion, one value per person, at least three, any unit
 * @param after second occasion, the same people, order and unit
 * @returns slopes without unit (unit of change per unit of the value before)
 * @throws InputError when lengths differ, there are fewer than three people, a value is not finite,
 *   every value before is the same, or the typical error is missing or negative
 * @see Blomqvist (1977) J Am Stat Assoc 72:746–749; Hayes (1988) Stat Med 7:915–927; Chiolero et
 *   al. (2013) Front Public Health 1:29; Fontanari & Santos (2025) arXiv:2509.04718 for small groups
 * @example baselineRelation([30, 40, 50, 60], [35, 43, 53, 61], { typicalError: 3 }).corrected.value // -0.069767441860465
 */
export function baselineRelation(
  before: Numbers,
  after: Numbers,
  options: BaselineRelationOptions,
): BaselineRelation {
  knownOptions(options, ["typicalError", "typicalErrorDf", "level"], "baselineRelation");
  const { typicalError, typicalErrorDf, level = 0.95 } = options;
  const pairs = pairColumns(before, after, "baselineRelation", { least: 3 });
  nonNegative(typicalError, "baselineRelation, typicalError");
  confidenceLevel(level, "baselineRelation");
  const n = pairs.before.length;
  const { value, se, df, interval } = fitLine(
    { x: pairs.before, y: pairs.changes },
    { level },
  ).slope;
  const variance = sumOfSquaredDeviations(pairs.before, mean(pairs.before)) / (n - 1);
  const share = typicalError ** 2 / variance;
  const shareVariance = share ** 2 * (2 / (n - 1) + errorVariance(typicalErrorDf));
  const beyond = Math.sqrt(present(se) ** 2 + shareVariance);
  const seen = { value, se: present(se), df: present(df), interval: present(interval) };
  return frozen({
    kind: "baselineRelation",
    n,
    slope: seen,
    expected: -share,
    beyondError: tEstimate(value + share, beyond, present(df), level, "slope less −error share, t"),
    ...(share < 1 ? { corrected: blomqvist(seen, share, shareVariance, level) } : {}),
    errorShare: share,
    typicalError,
    method: "change on the value before, least squares; corrected by Blomqvist's method",
    warnings:
      share < 1
        ? []
        : [
            "The typical error is as large as the spread before, so the true slope cannot be estimated.",
          ],
  });
}

function errorVariance(df?: number): number {
  if (df === undefined) return 0;
  if (df > 0) return 2 / df;
  const expected = "degrees of freedom above 0";
  throw new InputError({ expected, got: shown(df), where: "baselineRelation, typicalErrorDf" });
}

function blomqvist(
  { value, se, df }: { value: number; se: number; df: number },
  share: number,
  shareVariance: number,
  level: number,
): Estimate {
  const kept = 1 - share;
  const variance = (se / kept) ** 2 + ((1 + value) / kept ** 2) ** 2 * shareVariance;
  const corrected = (value + share) / kept;
  return tEstimate(corrected, Math.sqrt(variance), df, level, "Blomqvist's correction, t");
}

/** The rise that comes from picking people by a low value alone. */
export interface SelectionGain {
  /** Name of the function that made this record. */
  readonly kind: "selectionGain";
  /** Mean rise of those picked when nobody truly changes, in the unit of the values. */
  readonly value: number;
  /** Share of people who would be picked. */
  readonly share: number;
  /** typicalError² / s²: share of the variance of the values that is error. */
  readonly errorShare: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Regression to the mean of people picked because they measured low: the rise to expect at the next
 * test if nobody changes, s k φ(z) / Φ(z) with z = (below − mean) / s and k = typicalError² / s².
 *
 * @param input mean and sd of the values as measured in all people, typicalError of one value, and
 *   `below`: people who measure less are selected; one unit for all
 * @returns the expected rise in that unit, for normal values
 * @throws InputError when a number is not finite, sd is not above 0, or the error exceeds the sd
 * @see Davis (1976) Am J Epidemiol 104:493–498; Barnett, van der Pols, Dobson (2005) Int J Epidemiol
 *   34:215–220 (both cited from memory)
 * @example selectionGain({ mean: 40, sd: 8, typicalError: 2, below: 40 }).value // 0.3989422804014327
 */
export function selectionGain(input: {
  mean: number;
  sd: number;
  typicalError: number;
  below: number;
}): SelectionGain {
  knownOptions(input, ["mean", "sd", "typicalError", "below"], "selectionGain");
  const { mean: centre, sd, typicalError, below } = input;
  for (const [name, value] of Object.entries({ mean: centre, below })) {
    if (typeof value !== "number" || !Number.isFinite(value)) {
      throw new InputError({
        expected: "a finite number",
        got: shown(value),
        where: `selectionGain, ${name}`,
      });
    }
  }
  nonNegative(typicalError, "selectionGain, typicalError");
  if (!(nonNegative(sd, "selectionGain, sd") > 0) || typicalError > sd) {
    const expected = "a standard deviation above 0 and not below the typical error";
    throw new InputError({ expected, got: shown(sd), where: "selectionGain, sd" });
  }
  const z = (below - centre) / sd;
  const share = normal(0, 1).cdf(z);
  const errorShare = (typicalError / sd) ** 2;
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  return frozen({
    kind: "selectionGain",
    // Far below the mean nobody is picked; the mean of a normal tail there is close to z itself.
    value: share > 0 ? (sd * errorShare * density) / share : -sd * errorShare * z,
    share,
    errorShare,
    method: "regression to the mean of a normal value, no true change",
  });
}

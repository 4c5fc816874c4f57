import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { medianInPlace } from "../num/median.js";
import { mean, sum, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Numbers, outOfRange } from "./estimate.js";
import { numbers, shown } from "./input.js";

/** One column in numbers; every one but `n` and `cvPercent` is in the unit of the column. */
export interface Description {
  /** Name of the function that made this record. */
  readonly kind: "describe";
  /** Number of values. */
  readonly n: number;
  /** Arithmetic mean. */
  readonly mean: number;
  /** Sample standard deviation, divisor n − 1. */
  readonly sd: number;
  /** Standard error of the mean, sd / √n. */
  readonly se: number;
  /** Half of the values lie at or below it. */
  readonly median: number;
  /** Lower quartile by definition 7. */
  readonly q1: number;
  /** Upper quartile by definition 7. */
  readonly q3: number;
  /** Smallest value. */
  readonly min: number;
  /** Largest value. */
  readonly max: number;
  /** Median absolute deviation from the median × 1.4826, which estimates sd for normal data. */
  readonly mad: number;
  /** 100 sd / |mean|; left out where the mean is 0. */
  readonly cvPercent?: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Makes the median absolute deviation of normal data estimate their standard deviation. */
const madScale = 1.4826;

/**
 * Describes one column: mean, spread, quartiles.
 *
 * sd = √(Σ(x − x̄)² / (n − 1)), se = sd / √n, quartiles by Hyndman–Fan definition 7,
 * mad = 1.4826 · median|x − median|, cvPercent = 100 sd / |x̄|.
 *
 * @param x at least two numbers in any one unit
 * @returns the description in the unit of `x`; a warning where the coefficient of variation means
 *   little (values that are not all positive) or does not exist (a mean of 0)
 * @throws InputError when a value is not a finite number or there are fewer than two
 * @see Hyndman & Fan (1996) Am Stat 50:361–365 for the quartiles
 * @example describe([40, 42, 41, 45]).sd // 2.160246899469287
 */
export function describe(x: Numbers): Description {
  const values = numbers(x, "describe", 2);
  const n = values.length;
  const sorted = values.slice().sort();
  const { mean: average, sd } = meanAndSd(values);
  const median = orderedQuantile(sorted, 0.5, 7);
  const warnings: string[] = [];
  return frozen({
    kind: "describe",
    n,
    mean: average,
    sd,
    se: sd / Math.sqrt(n),
    median,
    q1: orderedQuantile(sorted, 0.25, 7),
    q3: orderedQuantile(sorted, 0.75, 7),
    min: realAt(sorted, 0),
    max: realAt(sorted, n - 1),
    mad: madScale * medianOf(values.map((value) => Math.abs(value - median))),
    ...variationPercent(average, sd, realAt(sorted, 0), warnings),
    method: "sd with divisor n − 1, quartiles by definition 7, mad × 1.4826",
    warnings,
  });
}

function variationPercent(
  average: number,
  sd: number,
  least: number,
  warnings: string[],
): { cvPercent?: number } {
  if (average === 0) {
    warnings.push("The mean is 0, so there is no coefficient of variation.");
    return {};
  }
  if (least <= 0) {
    warnings.push(
      "Not every value is positive: the coefficient of variation depends on where the scale starts.",
    );
  }
  return { cvPercent: (100 * sd) / Math.abs(average) };
}

/** Mean and sample standard deviation; a column of one repeated value has exactly 0. */
export function meanAndSd(x: Float64Array): { mean: number; sd: number } {
  const average = mean(x);
  if (x.every((value) => value === x[0])) return { mean: realAt(x, 0), sd: 0 };
  const sd = Math.sqrt(sumOfSquaredDeviations(x, average) / (x.length - 1));
  if (sd === 0) throw outOfRange(sd, "standard deviation of values that differ");
  return { mean: average, sd };
}

/** Median of checked values in any order. */
export function medianOf(x: Float64Array): number {
  return medianInPlace(x.slice());
}

/** Number of a quantile definition in Hyndman & Fan (1996). */
export type QuantileDefinition = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9;

/**
 * Sample quantile by any of the nine definitions of Hyndman & Fan.
 *
 * Definitions 1–3 return observed values or means of two neighbours; 4–9 interpolate at position
 * a + p(n + 1 − a − b) between order statistics, with (a, b) = (0, 1), (½, ½), (0, 0), (1, 1),
 * (⅓, ⅓), (⅜, ⅜).
 *
 * @param x at least one number, any order, any unit
 * @param p probability from 0 to 1
 * @returns the quantile in the unit of `x`
 * @throws InputError when a value is not finite, `p` is outside 0–1 or the definition is not 1–9
 * @see Hyndman & Fan (1996) Sample quantiles in statistical packages, Am Stat 50:361–365
 * @example quantile([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 0.1, { definition: 6 }) // 1.1
 */
export function quantile(
  x: Numbers,
  p: number,
  options: { definition?: QuantileDefinition } = {},
): number {
  knownOptions(options, ["definition"], "quantile");
  const { definition = 7 } = options;
  const sorted = numbers(x, "quantile").sort();
  if (typeof p !== "number" || !(p >= 0 && p <= 1)) {
    throw new InputError({
      expected: "a probability from 0 to 1",
      got: shown(p),
      where: "quantile, p",
    });
  }
  if (!Number.isInteger(definition) || definition < 1 || definition > 9) {
    throw new InputError({
      expected: "a definition from 1 to 9",
      got: shown(definition),
      where: "quantile, definition",
    });
  }
  return orderedQuantile(sorted, p, definition);
}

/** Plotting-position constants (a, b) of the interpolating definitions 4 to 9. */
const positions: Record<number, readonly [number, number]> = {
  4: [0, 1],
  5: [0.5, 0.5],
  6: [0, 0],
  7: [1, 1],
  8: [1 / 3, 1 / 3],
  9: [3 / 8, 3 / 8],
};

/** Quantile of values already sorted from small to large. */
export function orderedQuantile(
  sorted: Float64Array,
  p: number,
  definition: QuantileDefinition,
): number {
  const n = sorted.length;
  const [a, b] = positions[definition] ?? [0, 1];
  const raw = definition === 3 ? n * p - 0.5 : a + p * (n + 1 - a - b);
  // n·p that should be whole may miss by rounding: 0.3 × 10 must be 3.
  const whole = Math.round(raw);
  const position = Math.abs(raw - whole) <= 4 * Number.EPSILON * n ? whole : raw;
  const j = Math.floor(position);
  const low = realAt(sorted, Math.min(Math.max(j, 1), n) - 1);
  const high = realAt(sorted, Math.min(Math.max(j + 1, 1), n) - 1);
  const share = shareOfUpper(position, j, definition);
  if (share === 0) return low;
  return share === 1 ? high : Math.min(high, low + share * (high - low));
}

/** How much of the upper neighbour enters: 0, ½ or 1 for definitions 1–3, a fraction for the rest. */
function shareOfUpper(position: number, j: number, definition: QuantileDefinition): number {
  const between = position > j;
  if (definition === 1) return between ? 1 : 0;
  if (definition === 2) return between ? 1 : 0.5;
  if (definition === 3) return between || j % 2 !== 0 ? 1 : 0;
  return position - j;
}

/**
 * Serial correlation of a sequence with itself `lag` places on: do swings in a row resemble one
 * another?
 *
 * r = Σ(xᵢ − x̄)(xᵢ₊ₗ − x̄) / Σ(xᵢ − x̄)².
 *
 * @param x at least `lag` + 2 numbers in the order in which they were measured
 * @returns a number without unit, between −1 and 1
 * @throws InputError when a value is not finite, the sequence is too short, the lag is not a whole
 *   number from 1 up, or every value is the same
 * @see NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.12 Autocorrelation
 * @example serialCorrelation([10000001, 10000003, 10000002]) // -0.5
 */
export function serialCorrelation(x: Numbers, options: { lag?: number } = {}): number {
  knownOptions(options, ["lag"], "serialCorrelation");
  const { lag = 1 } = options;
  if (!Number.isInteger(lag) || lag < 1) {
    throw new InputError({
      expected: "a whole number from 1 up",
      got: shown(lag),
      where: "serialCorrelation, lag",
    });
  }
  const values = numbers(x, "serialCorrelation", lag + 2);
  const average = mean(values);
  const deviations = values.map((value) => value - average);
  const total = sum(deviations.map((deviation) => deviation * deviation));
  if (values.every((value) => value === values[0])) {
    throw new InputError({
      expected: "values that differ",
      got: `${values.length} equal values`,
      where: "serialCorrelation",
    });
  }
  const products = new Float64Array(values.length - lag);
  for (let i = 0; i < products.length; i++)
    products[i] = realAt(deviations, i) * realAt(deviations, i + lag);
  return sum(products) / total;
}

import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { normal } from "../../num/distributions.js";
import { type RandomStream, randomStream } from "../../num/random.js";
import { mean, sumOfSquaredDeviations } from "../../num/sums.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen, type Interval, type Labels, type Numbers } from "../estimate.js";
import { confidenceLevel, requiredSeed, shown } from "../input.js";
import { Resampler, type Statistic, statisticOf } from "./draws.js";
import { jackknifeAcceleration, jackknifeError, valuesWithoutEach } from "./jackknife.js";
import {
  type BootstrapMethod,
  bootstrapLimits,
  bootstrapMethods,
  type Replication,
  shareBelow,
} from "./limits.js";
import { inBlocks, resampledColumns, resamplingUnits, type Units } from "./units-drawn.js";

/** How to resample and what interval to make. */
export interface BootstrapOptions {
  /** Number of resamples, 10 000 unless given. */
  readonly resamples?: number;
  /** Whole number from 0 up that fixes the draws. */
  readonly seed: number;
  /** Name of the stream of draws, so that results of one study with one seed stay independent. */
  readonly name?: string;
  /** Confidence level of the interval, 0.95 unless given. */
  readonly level?: number;
  /** How the limits are made, "bca" unless given. */
  readonly method?: BootstrapMethod;
  /** Labels of rows that belong together (a person): whole clusters are drawn. */
  readonly clusters?: Labels;
  /** Labels of groups fixed by the design (an arm): units are drawn within each. */
  readonly strata?: Labels;
  /** Standard error of the statistic, for the studentized method; the jackknife unless given. */
  readonly se?: Statistic;
}

/** An estimate that always has a standard error and an interval. */
export interface BootstrapEstimate extends Estimate {
  /** Standard deviation of the replicates, in the unit of the statistic. */
  readonly se: number;
  /** Bootstrap interval, in the unit of the statistic. */
  readonly interval: Interval;
}

/** A statistic, its bootstrap distribution and an interval. */
export interface Bootstrap {
  /** Name of the function that made this record. */
  readonly kind: "bootstrap";
  /** Rows given. */
  readonly n: number;
  /** Units drawn: rows, or whole clusters. */
  readonly units: number;
  /**
   * The statistic of the data, the standard deviation of the replicates as its standard error, and
   * the interval, all in the unit of the statistic.
   */
  readonly estimate: BootstrapEstimate;
  /** Mean of the replicates − the estimate, in the unit of the statistic. */
  readonly bias: number;
  /** Bias correction; left out when all replicates lie on one side of the estimate. */
  readonly z0?: number;
  /** Acceleration; left out when the jackknife does not give one. */
  readonly acceleration?: number;
  /** The statistic of each resample where it is defined, in the order drawn. */
  readonly replicates: readonly number[];
  /** Number of resamples drawn. */
  readonly resamples: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Bootstrap interval of any statistic. Units (rows, or whole clusters) are drawn with replacement
 * `resamples` times; z0 = Φ⁻¹(share of replicates below the estimate plus half of those equal);
 * acceleration by the jackknife over the same units (beyond 2 000, over 1 000 random blocks of
 * them). Quantiles are the (R + 1)p-th replicates.
 *
 * With few units BCa intervals are too narrow: for a mean of 9 to 24 normal values the 95 % interval
 * covers 90 to 92 %, the studentized one 95 %. For means and slopes of small samples ask for
 * "studentized"; BCa suits medians, ratios and other statistics without a standard error.
 * @param columns one or more columns of one length; the statistic receives them in this order
 * @param statistic `(columns, unit) => number` in any unit u. `unit` numbers the unit drawn that
 *   each row belongs to, so that a person drawn twice counts as two people. The columns are used
 *   again for the next call: copy what must be kept; sorting them in place is safe.
 * @returns estimate and bias in u; `warnings` and `method` say so when the method asked for
 *   is undefined and another stands in, and how many resamples had no finite statistic (or one
 *   that refused them with an InputError)
 * @throws InputError when columns differ in length, hold fewer than two units, a cluster spans two
 *   strata, the seed is missing, an option is unknown, or the statistic is not finite for the data or for nearly all resamples
 * @see Efron (1987) JASA 82:171–185; Davison & Hinkley (1997) Bootstrap Methods, chapters 2 and 5
 * @example bootstrap([[4, 4, 4, 4, 4]], ([x]) => x[0], { resamples: 99, seed: 7 }).estimate.value // 4
 */
export function bootstrap(
  columns: readonly Numbers[],
  statistic: Statistic,
  options: BootstrapOptions,
): Bootstrap {
  const { resamples, seed, name, level, method } = checkedOptions(statistic, options);
  const data = resampledColumns(columns, "bootstrap");
  const stream = randomStream(seed, name);
  const units = inBlocks(
    resamplingUnits(itemAt(data, 0).length, options, "bootstrap"),
    stream.split("blocks"),
  );
  const sampler = new Resampler(data, units);
  const whole = sampler.whole();
  const estimate = definedForTheData(statistic(whole.columns, whole.unit));
  const acceleration = jackknifeAcceleration(valuesWithoutEach(sampler, statistic), units);
  const errorOf = method === "studentized" && errorEstimator(sampler, statistic, options.se);
  const error = errorOf ? errorOf() : Number.NaN;

  const drawn = replicate(sampler, statistic, stream, resamples, errorOf);
  const from = replication(estimate, drawn.replicates, acceleration, units.count);
  const { interval, warnings } = bootstrapLimits(method, from, level, {
    error,
    errors: drawn.errors,
  });
  return frozen({
    kind: "bootstrap" as const,
    n: itemAt(data, 0).length,
    units: units.count,
    estimate: { value: estimate, se: from.se, interval },
    bias: from.bias,
    ...(Number.isFinite(from.z0) && { z0: from.z0 }),
    ...(Number.isFinite(acceleration) && { acceleration }),
    replicates: plainList(drawn.replicates),
    resamples,
    seed,
    method: interval.method,
    warnings: [
      ...warnings,
      ...undefinedWarning(resamples - drawn.replicates.length, resamples),
      ...loneUnitWarning(units),
    ],
  });
}

const optionNames: readonly (keyof BootstrapOptions)[] = [
  "resamples",
  "seed",
  "name",
  "level",
  "method",
  "clusters",
  "strata",
  "se",
];

function checkedOptions(statistic: Statistic, options: BootstrapOptions) {
  knownOptions(options, optionNames, "bootstrap");
  const {
    resamples = 10_000,
    seed,
    name = "bootstrap",
    level = 0.95,
    method = "bca",
  } = options ?? {};
  const refuse = (expected: string, got: unknown, where: string): never => {
    throw new InputError({ expected, got: shown(got), where: `bootstrap, ${where}` });
  };
  if (typeof statistic !== "function") refuse("a function of the columns", statistic, "statistic");
  if (!Number.isSafeInteger(resamples) || resamples < 2) {
    refuse("a whole number of resamples, 2 or more", resamples, "resamples");
  }
  requiredSeed(seed, "bootstrap");
  if (!bootstrapMethods.includes(method)) {
    refuse(`one of ${bootstrapMethods.join(", ")}`, method, "method");
  }
  return { resamples, seed, name, level: confidenceLevel(level, "bootstrap"), method };
}

function definedForTheData(value: number): number {
  if (typeof value === "number" && Number.isFinite(value)) return value;
  throw new InputError({
    expected: "a statistic that is a finite number for the data",
    got: shown(value),
    where: "bootstrap, statistic",
  });
}

/** Standard error of the statistic for the units that the sampler holds at the moment. */
function errorEstimator(sampler: Resampler, statistic: Statistic, se?: Statistic): () => number {
  if (!se) return () => jackknifeError(valuesWithoutEach(sampler, statistic), sampler.units);
  // Gathered again: the statistic may have sorted the columns it was given.
  return () => statisticOf(sampler.again(), se);
}

interface Drawn {
  /** Finite replicates in the order drawn. */
  readonly replicates: Float64Array;
  /** Standard error of each of them, when asked for. */
  readonly errors: Float64Array;
}

function replicate(
  sampler: Resampler,
  statistic: Statistic,
  stream: RandomStream,
  resamples: number,
  errorOf: (() => number) | false,
): Drawn {
  const replicates = new Float64Array(resamples);
  const errors = new Float64Array(errorOf ? resamples : 0);
  let count = 0;
  for (let r = 0; r < resamples; r++) {
    const value = statisticOf(sampler.draw(stream), statistic);
    if (!Number.isFinite(value)) continue; // counted, and reported as a warning
    if (errorOf) errors[count] = errorOf();
    replicates[count++] = value;
  }
  if (count < 2) {
    throw new InputError({
      expected: "a statistic that is a finite number for most resamples",
      got: `${count} finite of ${resamples}`,
      where: "bootstrap, statistic",
    });
  }
  return { replicates: replicates.subarray(0, count), errors: errors.subarray(0, count) };
}

function replication(
  estimate: number,
  replicates: Float64Array,
  acceleration: number,
  unitCount: number,
): Replication {
  const centre = mean(replicates);
  let smallest = realAt(replicates, 0);
  let largest = smallest;
  for (let r = 1; r < replicates.length; r++) {
    const value = realAt(replicates, r);
    if (value < smallest) smallest = value;
    if (value > largest) largest = value;
  }
  const scale = Math.max(Math.abs(smallest), Math.abs(largest), Math.abs(estimate));
  return {
    estimate,
    replicates,
    smallest,
    largest,
    se: Math.sqrt(sumOfSquaredDeviations(replicates, centre) / (replicates.length - 1)),
    bias: centre - estimate,
    z0: normal().quantile(shareBelow(replicates, estimate, scale)),
    acceleration,
    unitCount,
  };
}

/** A frozen plain list, so that it survives JSON; much faster than Array.from. */
function plainList(values: Float64Array): readonly number[] {
  const list = new Array<number>(values.length);
  for (let i = 0; i < list.length; i++) list[i] = realAt(values, i);
  return Object.freeze(list);
}

function undefinedWarning(count: number, resamples: number): string[] {
  return count > 0
    ? [`the statistic is undefined in ${count} of ${resamples} resamples, left out`]
    : [];
}

function loneUnitWarning({ strata, strataNames, of }: Units): string[] {
  const lone = strataNames.filter((_, s) => itemAt(strata, s).length === 1);
  return lone.map(
    (name) => `stratum "${name}" has only one of its ${of}: every resample repeats it`,
  );
}

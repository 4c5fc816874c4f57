import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { mean } from "../../num/sums.js";
import { binaryUnit } from "../../num/vector.js";
import { knownOptions } from "../../options.js";
import { frozen, type Labels, type Numbers } from "../estimate.js";
import { Resampler, type Statistic, statisticOf } from "./draws.js";
import { resampledColumns, resamplingUnits, type Units } from "./units-drawn.js";

/** What leaving out one unit at a time says about a statistic. */
export interface Jackknife {
  /** Name of the function that made this record. */
  readonly kind: "jackknife";
  /** Rows given. */
  readonly n: number;
  /** Units left out in turn: rows, or whole clusters. */
  readonly units: number;
  /** The statistic of all rows. */
  readonly estimate: number;
  /** Jackknife standard error, in the unit of the statistic. */
  readonly se: number;
  /** Jackknife estimate of the bias, in the unit of the statistic. */
  readonly bias: number;
  /** BCa acceleration; left out when leaving out a unit never changes the statistic. */
  readonly acceleration?: number;
  /** The statistic without each unit, in the units' order of first appearance. */
  readonly values: readonly number[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/** The statistic without each block of what the resampler holds; NaN where it is not defined. */
export function valuesWithoutEach(from: Resampler, statistic: Statistic): Float64Array {
  const { blocks } = from.units;
  const values = new Float64Array(blocks.reduce((count, list) => count + list.length, 0));
  for (let b = 0; b < values.length; b++) {
    values[b] = statisticOf(from.without(b), statistic);
  }
  return values;
}

/**
 * Sums over blocks of (mean − value)², scaled for the standard error, and of its powers scaled for
 * the acceleration. Within a stratum of g blocks, d = mean − value over that stratum: its units
 * compete only with each other. A stratum of one is the same in every resample and adds nothing.
 */
function deviationSums(values: Float64Array, blocks: Units["blocks"]) {
  let variance = 0;
  let squares = 0;
  let cubes = 0;
  // in units of the largest value, so that cubes of small or large numbers keep their digits
  const unit = binaryUnit(values);
  for (const members of blocks) {
    const size = members.length;
    if (size < 2) continue;
    const inStratum = Float64Array.from(members, (b) => realAt(values, b));
    const centre = mean(inStratum);
    const share = (size - 1) / size;
    for (const value of inStratum) {
      const d = (centre - value) / unit;
      variance += share * d * d;
      squares += (share * d) ** 2;
      cubes += (share * d) ** 3;
    }
  }
  return { variance, squares, cubes, unit };
}

/** Standard error from leave-one-out values: √Σₛ (gₛ − 1)/gₛ Σ d². */
export function jackknifeError(values: Float64Array, { blocks }: Units): number {
  const { variance, unit } = deviationSums(values, blocks);
  return unit * Math.sqrt(variance);
}

/**
 * BCa acceleration from leave-one-out values: Σd³ / (6 (Σd²)^1.5), with influence values weighted
 * by stratum size when there are strata (Davison & Hinkley 1997, eq. 5.28). NaN when all are equal.
 */
export function jackknifeAcceleration(values: Float64Array, { blocks }: Units): number {
  const { squares, cubes } = deviationSums(values, blocks);
  return cubes / (6 * squares ** 1.5);
}

/**
 * Standard error, bias and acceleration of any statistic by leaving out one unit at a time:
 * se = √((n − 1)/n Σ(θ₍ᵢ₎ − θ̄)²), bias = (n − 1)(θ̄ − θ), acceleration = Σd³ / (6 (Σd²)^1.5) with
 * d = θ̄ − θ₍ᵢ₎.
 * @param columns one or more columns of one length; the statistic receives them in this order
 * @param statistic a function of the columns, in any unit u; se and bias are in u. The columns it
 *   receives are used again for the next call: copy what must be kept.
 * @param clusters labels of rows that belong together (a person): whole clusters are left out
 * @param strata labels of groups fixed by the design (an arm)
 * @throws InputError when columns differ in length, hold fewer than two units, or the statistic is
 *   not finite for all the data or without some unit
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap, chapters 10, 11 and 14
 * @example jackknife([[1, 2, 3, 4]], ([x]) => (x[0] + x[x.length - 1]) / 2).estimate // 2.5
 */
export function jackknife(
  columns: readonly Numbers[],
  statistic: Statistic,
  options: { clusters?: Labels; strata?: Labels } = {},
): Jackknife {
  knownOptions(options, ["clusters", "strata"], "jackknife");
  const { clusters, strata } = options;
  const data = resampledColumns(columns, "jackknife");
  const units = resamplingUnits(itemAt(data, 0).length, { clusters, strata }, "jackknife");
  const sampler = new Resampler(data, units);
  const all = sampler.whole();
  const estimate = finite(statistic(all.columns, all.unit), "all the data");
  const values = valuesWithoutEach(sampler, statistic);
  for (const [u, value] of values.entries()) finite(value, `the data without unit ${u}`);
  const acceleration = jackknifeAcceleration(values, units);
  return frozen({
    kind: "jackknife" as const,
    n: itemAt(data, 0).length,
    units: units.count,
    estimate,
    se: jackknifeError(values, units),
    bias: jackknifeBias(values, estimate, units.strata),
    ...(Number.isFinite(acceleration) && { acceleration }),
    values: Array.from(values),
    method: `leave one ${units.of === "rows" ? "row" : "cluster"} out`,
  });
}

function jackknifeBias(values: Float64Array, estimate: number, strata: Units["strata"]): number {
  let bias = 0;
  for (const members of strata) {
    const inStratum = Float64Array.from(members, (u) => realAt(values, u));
    bias += (members.length - 1) * (mean(inStratum) - estimate);
  }
  return bias;
}

function finite(value: number, of: string): number {
  if (Number.isFinite(value)) return value;
  throw new InputError({
    expected: `a statistic that is a finite number for ${of}`,
    got: String(value),
    where: "jackknife, statistic",
  });
}

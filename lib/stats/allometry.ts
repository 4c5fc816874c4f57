import { present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF, studentT } from "../num/distributions.js";
import { sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval, type Numbers } from "./estimate.js";
import { confidenceLevel, namedColumns, numbers, sameLength, shown } from "./input.js";
import type { NamedMatrix } from "./mixed/inference.js";
import { fitLine } from "./regression.js";

/** The power law between a measure and body mass. */
export interface AllometricExponent {
  /** Name of the function that made this record. */
  readonly kind: "allometricExponent";
  /** Number of people. */
  readonly n: number;
  /** Slope of ln y on ln mass, without unit; its p is of "the exponent is 0". */
  readonly exponent: Estimate;
  /** y of a person of mass 1 (geometric), in units of y per unit of mass to the exponent. */
  readonly factor: Estimate;
  /** The exponent compared with the one expected, for example 2/3. */
  readonly comparedWith: {
    readonly exponent: number;
    readonly statistic?: number;
    readonly p: number;
  };
  /** Exponent of the standardised major axis, for two measures that both vary freely. */
  readonly majorAxis: { readonly value: number; readonly interval: Interval };
  /** y / mass^exponent, row by row: y with the part that goes with mass removed. */
  readonly scaled: readonly number[];
  /** Of ln factor and exponent. */
  readonly covariance: NamedMatrix;
  /** factor · mass^exponent, row by row, in units of y. */
  readonly fitted: readonly number[];
  /** ln y − ln fitted, row by row: about the share by which y is above what its mass gives. */
  readonly residuals: readonly number[];
  /** Standard deviation of the residuals of ln y, divisor n − 2. */
  readonly residualSd: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Allometric exponent: how a measure such as grip force grows with body mass.
 *
 *   y = a · massᵇ, fitted as ln y = ln a + b ln mass by least squares, t on n − 2 df
 *
 * Geometrically similar bodies would give force b = 2/3. `scaled` = y/massᵇ compares people of
 * different mass. The standardised major axis has |b| = SD(ln y)/SD(ln mass), limits
 * b(√(B + 1) ∓ √B), B = (1 − r²)/(n − 2) · F(level; 1, n − 2).
 *
 * @param columns `mass` and `y`: n positive numbers each, row by row, in any unit, n ≥ 3
 * @param options level; `expected`: the exponent to compare with, default 2/3
 * @returns exponents without unit
 * @throws InputError when a value is not positive, lengths differ, n < 3, or mass is constant
 * @see Nevill, Ramsbottom & Williams (1992) Eur J Appl Physiol 65:110–117; Warton et al. (2006)
 *   Biol Rev 81:259–291 for the major axis
 * @example allometricExponent({ mass: [1, 8, 27, 64], y: [2, 8, 18, 32] }).exponent.value // 0.6666666666666666
 */
export function allometricExponent(
  columns: { readonly mass: Numbers; readonly y: Numbers },
  options: { readonly level?: number; readonly expected?: number } = {},
): AllometricExponent {
  const where = "allometricExponent";
  const { mass, y } = namedColumns(columns, ["mass", "y"], where);
  knownOptions(options, ["level", "expected"], where);
  const { level = 0.95, expected = 2 / 3 } = options;
  confidenceLevel(level, where);
  if (!Number.isFinite(expected)) {
    throw new InputError({ expected: "a finite exponent", got: shown(expected), where });
  }
  const masses = positive(mass, `${where}, mass`);
  const values = positive(y, `${where}, y`);
  sameLength(values.length, masses.length, `${where}, y`);
  const [x, z] = [masses.map(Math.log), values.map(Math.log)];
  const line = fitLine({ x, y: z }, { level });
  const { slope, intercept, df, residualSd } = line;
  const se = present(slope.se);
  const statistic = se === 0 ? undefined : (slope.value - expected) / se;
  const p =
    statistic === undefined
      ? Number(Math.abs(slope.value - expected) < 1e-12)
      : Math.min(1, 2 * studentT(df).upper(Math.abs(statistic)));
  const limits = present(intercept.interval);
  return frozen({
    kind: "allometricExponent" as const,
    n: masses.length,
    exponent: slope,
    factor: {
      value: Math.exp(intercept.value),
      df,
      interval: { ...limits, low: Math.exp(limits.low), high: Math.exp(limits.high) },
    },
    comparedWith: { exponent: expected, ...(statistic !== undefined && { statistic }), p },
    majorAxis: majorAxis(x, z, line.rSquared ?? 0, slope.value, level),
    scaled: Array.from(values, (value, i) => value / realAt(masses, i) ** slope.value),
    covariance: { names: ["ln factor", "exponent"], matrix: line.covariance.matrix },
    fitted: line.fitted.map(Math.exp),
    residuals: line.residuals,
    residualSd,
    method: "least squares of ln y on ln mass",
    warnings: line.warnings,
  });
}

function majorAxis(
  x: Float64Array,
  z: Float64Array,
  rSquared: number,
  slope: number,
  level: number,
): AllometricExponent["majorAxis"] {
  const df = x.length - 2;
  const size = Math.sqrt(sumOfSquaredDeviations(z) / sumOfSquaredDeviations(x));
  const b = (Math.max(0, 1 - rSquared) / df) * fisherF(1, df).quantile(level);
  const near = size * (Math.sqrt(b + 1) - Math.sqrt(b));
  const far = size * (Math.sqrt(b + 1) + Math.sqrt(b));
  const [low, high] = slope < 0 ? [-far, -near] : [near, far];
  const value = slope < 0 ? -size : size;
  return { value, interval: { low, high, level, method: "F, standardised major axis" } };
}

function positive(column: Numbers, where: string): Float64Array {
  const values = numbers(column, where, 3);
  const at = values.findIndex((value) => !(value > 0));
  if (at >= 0) {
    throw new InputError({
      expected: "a positive number",
      got: shown(values[at]),
      where: `${where}, index ${at}`,
    });
  }
  return values;
}

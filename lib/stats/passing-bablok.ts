import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval } from "./estimate.js";
import { confidenceLevel } from "./input.js";
import { medianIntercept, pairSlopes, rowsAlong, slopeColumns } from "./pair-slopes.js";
import type { LineColumns } from "./regression.js";

/** A line for two methods of measuring the same thing, both with error. */
export interface PassingBablokLine {
  /** Name of the function that made this record. */
  readonly kind: "fitPassingBablok";
  /** Number of rows. */
  readonly n: number;
  /** 1 where the methods differ by a constant alone. */
  readonly slope: Estimate;
  /** Median of y − slope·x, in units of y; 0 where the methods agree and the slope is 1. */
  readonly intercept: Estimate;
  /** Slopes used: pairs of rows that are not the same point and whose slope is not −1. */
  readonly pairs: number;
  /** Slopes below −1, by which the median is shifted. */
  readonly belowMinusOne: number;
  /** Height of the line at each x given, in units of y. */
  readonly fitted: readonly number[];
  /** y − fitted, in the order of the rows given; unit of y. */
  readonly residuals: readonly number[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Passing–Bablok line between two methods that measure one quantity: the shifted median of the
 * slopes of all pairs of rows. Exchanging the methods inverts the slope, and outlying rows move it
 * little.
 *
 * Slopes of identical points and slopes of exactly −1 are left out; pairs with equal x count as
 * ±∞. With K slopes below −1 and N in all, the slope is the median shifted upward by K ranks, its
 * limits the slopes at the ranks M₁ + K and M₂ + K, M₁ = round((N − C)/2), M₂ = N − M₁ + 1,
 * C = z √(n(n − 1)(2n + 5)/18). Intercept: median of y − slope·x, its limits with the limits of
 * the slope.
 *
 * The line comes from ranks, so that its two coefficients have no covariance matrix.
 *
 * It supposes a straight relation and methods that rise together; Passing and Bablok ask for at
 * least 30 rows.
 *
 * @param columns `x` and `y`: n readings each of the two methods, row by row, one unit, 3 to 5 000
 * @returns slope without unit, intercept in the unit of the columns
 * @throws InputError when lengths differ, a value is not finite, x is constant, the columns fall
 *   where the other rises, or an option is unknown
 * @see Passing & Bablok (1983) J Clin Chem Clin Biochem 21:709–720
 * @example fitPassingBablok({ x: [1, 2, 3, 4, 5, 6], y: [1.1, 2.2, 3.1, 4.3, 5.2, 6.4] }).slope.value // 1.05
 */
export function fitPassingBablok(
  columns: LineColumns,
  options: { readonly level?: number } = {},
): PassingBablokLine {
  const where = "fitPassingBablok";
  const [x, y] = slopeColumns(columns, where);
  knownOptions(options, ["level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const slopes = pairSlopes(x, y, methodSlope);
  const count = slopes.length;
  const below = slopes.findIndex((slope) => slope >= -1);
  const shift = below < 0 ? count : below;
  // the slope at a rank of the shifted order, counted from 1
  const at = (rank: number) => realAt(slopes, Math.min(count, rank + shift) - 1);
  const half = Math.floor((count + 1) / 2);
  const slope = count % 2 === 1 ? at(half) : (at(half) + at(half + 1)) / 2;
  if (count === 0 || half + 1 + shift > count || !Number.isFinite(slope)) {
    throw new InputError({
      expected: "two methods that rise together",
      got: `${shift} of ${count} slopes below −1`,
      where,
    });
  }
  const n = x.length;
  const c = normal().quantile((1 + level) / 2) * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
  const first = Math.round((count - c) / 2);
  const limits = { low: at(Math.max(1 - shift, first)), high: at(count - first + 1) };
  const warnings = n < 30 ? [`${n} rows: Passing and Bablok recommend at least 30.`] : [];
  const interval = finiteInterval(limits, level, warnings);
  const intercept = medianIntercept(x, y, slope);
  return frozen({
    kind: "fitPassingBablok" as const,
    n,
    slope: { value: slope, ...(interval && { interval }) },
    intercept: {
      value: intercept,
      ...(interval && {
        interval: {
          ...interval,
          low: medianIntercept(x, y, interval.high),
          high: medianIntercept(x, y, interval.low),
          method: "medians with the limits of the slope",
        },
      }),
    },
    pairs: count,
    belowMinusOne: shift,
    ...rowsAlong([x, y], { intercept, slope }),
    method: "Passing–Bablok, shifted median of the slopes of all pairs",
    warnings,
  });
}

/** Identical points and slopes of exactly −1 have none; equal x counts as ±∞. */
function methodSlope(run: number, rise: number): number | undefined {
  if ((run === 0 && rise === 0) || rise === -run) return undefined;
  return run === 0 ? Math.sign(rise) * Number.POSITIVE_INFINITY : rise / run;
}

/** An interval whose limit is a vertical pair has no number to give: it is left out and said so. */
function finiteInterval(
  { low, high }: { low: number; high: number },
  level: number,
  warnings: string[],
): Interval | undefined {
  if (Number.isFinite(low) && Number.isFinite(high)) {
    return { low, high, level, method: "ranks of the slopes" };
  }
  warnings.push("Too few rows, or too many with equal x: the interval has no finite limit.");
  return undefined;
}

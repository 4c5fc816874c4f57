import { realAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { orderedQuantile } from "./describe.js";
import { type Estimate, frozen } from "./estimate.js";
import { confidenceLevel } from "./input.js";
import { medianIntercept, pairSlopes, rowsAlong, slopeColumns } from "./pair-slopes.js";
import type { LineColumns } from "./regression.js";

/** A line whose slope is the median of the slopes of all pairs of rows. */
export interface TheilSenLine {
  /** Name of the function that made this record. */
  readonly kind: "theilSen";
  /** Number of rows. */
  readonly n: number;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
  /** Median of y − slope·x, in units of y; it has no interval of its own. */
  readonly intercept: Estimate;
  /** Pairs of rows with different x, whose slopes were used. */
  readonly pairs: number;
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
 * Theil–Sen line: the median of the slopes of all pairs of rows with different x.
 *
 * Interval of the slope: the slopes at the ranks (N ∓ z √v)/2, the upper one + 1, N pairs, v the
 * variance of Kendall's score with ties of x and y
 * v = [n(n − 1)(2n + 5) − Σt(t − 1)(2t + 5) − Σu(u − 1)(2u + 5)]/18 + Σt(t − 1)(t − 2)·Σu(u − 1)(u − 2)/(9n(n − 1)(n − 2))
 * + Σt(t − 1)·Σu(u − 1)/(2n(n − 1)). Up to 29 % of the rows can be wild without carrying the slope
 * away. Time and memory grow with the square of n. The line comes from ranks, so that its two
 * coefficients have no covariance matrix.
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, 3 to 5 000 rows
 * @returns slope in units of y per unit of x, intercept in units of y
 * @throws InputError when lengths differ, a value is not finite, x is constant, there are fewer
 *   than 3 or more than 5 000 rows, or an option is unknown
 * @see Theil (1950) Proc Kon Ned Akad Wet 53:386–392; Sen (1968) J Am Stat Assoc 63:1379–1389
 * @example theilSen({ x: [1, 2, 3, 4, 5], y: [1, 2, 3, 4, 50] }).slope.value // 1
 */
export function theilSen(
  columns: LineColumns,
  options: { readonly level?: number } = {},
): TheilSenLine {
  const where = "theilSen";
  const [x, y] = slopeColumns(columns, where);
  knownOptions(options, ["level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const slopes = pairSlopes(x, y, (run, rise) => (run === 0 ? undefined : rise / run + 0));
  const count = slopes.length;
  const slope = orderedQuantile(slopes, 0.5, 7);
  const reach = normal().quantile((1 + level) / 2) * Math.sqrt(scoreVariance(x, y));
  const lowRank = Math.round((count - reach) / 2);
  const highRank = Math.round((count + reach) / 2) + 1;
  const intercept = medianIntercept(x, y, slope);
  const short = lowRank < 1 || highRank > count;
  return frozen({
    kind: "theilSen" as const,
    n: x.length,
    slope: {
      value: slope,
      interval: {
        low: realAt(slopes, Math.max(1, lowRank) - 1),
        high: realAt(slopes, Math.min(count, highRank) - 1),
        level,
        method: "ranks of the slopes (Sen)",
      },
    },
    intercept: { value: intercept },
    pairs: count,
    ...rowsAlong([x, y], { intercept, slope }),
    method: "median of the slopes of all pairs (Theil–Sen)",
    warnings: short
      ? [
          `With ${count} slopes the interval runs from the smallest to the largest and may fall short of the level asked.`,
        ]
      : [],
  });
}

/** Variance of Kendall's score under no relation, with ties. */
function scoreVariance(x: Float64Array, y: Float64Array): number {
  const n = x.length;
  const [t, u] = [tieSums(x), tieSums(y)];
  const variance =
    (n * (n - 1) * (2 * n + 5) - t.cubic - u.cubic) / 18 +
    (t.triples * u.triples) / (9 * n * (n - 1) * (n - 2)) +
    (t.pairs * u.pairs) / (2 * n * (n - 1));
  return Math.max(0, variance); // 0 with a constant y, but for rounding
}

function tieSums(column: Float64Array): { pairs: number; triples: number; cubic: number } {
  const counts = new Map<number, number>();
  for (const value of column) counts.set(value, (counts.get(value) ?? 0) + 1);
  const sums = { pairs: 0, triples: 0, cubic: 0 };
  for (const t of counts.values()) {
    sums.pairs += t * (t - 1);
    sums.triples += t * (t - 1) * (t - 2);
    sums.cubic += t * (t - 1) * (2 * t + 5);
  }
  return sums;
}

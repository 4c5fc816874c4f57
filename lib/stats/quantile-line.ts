import { itemAt, realAt, wholeAt } from "../entry.js";
import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { sum } from "../num/sums.js";
import { binaryUnit } from "../num/vector.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import { lineColumns, rowsAlong } from "./pair-slopes.js";
import { rankLimits } from "./quantile-limits.js";
import type { LineColumns } from "./regression.js";

/** A line with a given share of the points below it. */
export interface QuantileLine {
  /** Name of the function that made this record. */
  readonly kind: "quantileLine";
  /** Number of rows. */
  readonly n: number;
  /** The share of the points below the line, such as 0.5 for the median line. */
  readonly q: number;
  /** Height of the line at x = 0, in units of y. */
  readonly intercept: Estimate;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
  /** Σ |residual| weighted q above the line and 1 − q below it, in units of y: what is least. */
  readonly objective: number;
  /** Rows on the line. */
  readonly onLine: readonly number[];
  /** Whether no other line has the same objective. */
  readonly unique: boolean;
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
 * Quantile line: the straight line that minimises Σ e(q − [e < 0]), so that about a share q of the
 * points lies below it; q = 0.5 is the line of least absolute deviations.
 *
 * The exact solution of the linear programme: a line through two of the points, found by turning
 * the line about points on it as long as the objective falls. Where other lines do as well, one of
 * them is given, `unique` is false and a warning says so. Intervals invert the rank score test,
 * with limits interpolated between the lines at which it just accepts and just rejects, quantile of
 * t on n − 2 degrees of freedom, errors of one distribution. They need no covariance matrix, and
 * none is given.
 *
 * @param columns `x` and `y`: n numbers each, row by row, in any unit, n ≥ 3
 * @param options `q`, strictly between 0 and 1; level
 * @returns slope in units of y per unit of x, intercept in units of y
 * @throws InputError when lengths differ, a value is not finite, x is constant, q is not between 0
 *   and 1, or an option is unknown
 * @see Koenker & Bassett (1978) Econometrica 46:33–50; Barrodale & Roberts (1973) SIAM J Numer Anal
 *   10:839–848; Koenker (1994) in Asymptotic Statistics, 349–359, for the intervals
 * @example quantileLine({ x: [1, 2, 3, 4, 5], y: [1, 2, 3, 4, 50] }, { q: 0.5 }).slope.value // 1
 */
export function quantileLine(
  columns: LineColumns,
  options: { readonly q: number; readonly level?: number },
): QuantileLine {
  const where = "quantileLine";
  const given = lineColumns(columns, where);
  const { x, y, unitOfX, unitOfY } = unitFree(given);
  knownOptions(options, ["q", "level"], where);
  const { q, level = 0.95 } = options ?? {};
  confidenceLevel(level, where);
  if (typeof q !== "number" || !(q > 0 && q < 1)) {
    const expected = "a share between 0 and 1, such as 0.5";
    throw new InputError({ expected, got: shown(q), where: `${where}, q` });
  }
  const best = leastLine(x, y, q);
  const critical = studentT(x.length - 2).quantile((1 + level) / 2);
  const ones = new Float64Array(x.length).fill(1);
  const warnings: string[] = [];
  if (!best.unique) {
    warnings.push("Ties: other lines fit equally well. The one given is a line through two rows.");
  }
  const limits = (name: "intercept" | "slope", tested: Float64Array, other: Float64Array) => {
    const found = rankLimits({ tested, other, y, q, value: best[name], critical });
    const back = (value: number) => (name === "slope" ? value / unitOfX : value) * unitOfY;
    const value = back(best[name]);
    if (found) {
      const interval = { low: back(found.low), high: back(found.high), level };
      return { value, interval: { ...interval, method: "rank inversion, t" } };
    }
    warnings.push(`Too few rows for an interval of the ${name} at this level.`);
    return { value };
  };
  const intercept = limits("intercept", ones, x);
  const slope = limits("slope", x, ones);
  return frozen({
    kind: "quantileLine" as const,
    n: x.length,
    q,
    intercept,
    slope,
    objective: best.objective * unitOfY,
    onLine: best.onLine,
    ...rowsAlong(given, { intercept: intercept.value, slope: slope.value }),
    unique: best.unique,
    method: `quantile regression, q = ${q}, exact linear programme`,
    warnings,
  });
}

/** Columns in units near their spreads, powers of two: the search knows sizes of about 1 alone. */
function unitFree([x, y]: [Float64Array, Float64Array]) {
  const unitOfX = binaryUnit(Float64Array.of(spread(x)));
  const unitOfY = binaryUnit(Float64Array.of(spread(y)));
  return { x: x.map((v) => v / unitOfX), y: y.map((v) => v / unitOfY), unitOfX, unitOfY };
}

interface Line {
  readonly slope: number;
  readonly intercept: number;
  readonly objective: number;
  readonly onLine: readonly number[];
}

/** Turns a line about each of its points until none of the turns lowers the objective. */
function leastLine(x: Float64Array, y: Float64Array, q: number): Line & { unique: boolean } {
  const tolerance = 1e-11 * (spread(y) + Number.MIN_VALUE);
  let line = lineThrough(x, y, q, 0, turned(x, y, q, 0).slope, tolerance);
  for (;;) {
    let better: Line | undefined;
    let unique = true;
    for (const pivot of line.onLine) {
      const turn = turned(x, y, q, pivot);
      if (turn.flat) unique = false;
      const next = lineThrough(x, y, q, pivot, turn.slope, tolerance);
      if (next.objective < line.objective * (1 - 1e-13)) {
        better = next;
        break;
      }
    }
    if (!better) return { ...line, unique };
    line = better;
  }
}

function lineThrough(
  x: Float64Array,
  y: Float64Array,
  q: number,
  pivot: number,
  slope: number,
  tolerance: number,
): Line {
  const [x0, y0] = [realAt(x, pivot), realAt(y, pivot)];
  const residuals = x.map((value, i) => realAt(y, i) - y0 - slope * (value - x0));
  const onLine = Array.from(residuals.keys()).filter(
    (i) => Math.abs(realAt(residuals, i)) <= tolerance,
  );
  const objective = sum(
    residuals.map((e) => (Math.abs(e) <= tolerance ? 0 : e > 0 ? q * e : (q - 1) * e)),
  );
  return { slope, intercept: y0 - slope * x0, objective, onLine };
}

/**
 * The slope that is best for lines through one point: the weighted quantile of the slopes to all
 * other points. `flat` says that a range of slopes does as well.
 */
function turned(x: Float64Array, y: Float64Array, q: number, pivot: number) {
  const [x0, y0] = [realAt(x, pivot), realAt(y, pivot)];
  const rows = Array.from(x.keys()).filter((i) => realAt(x, i) !== x0);
  const slopes = Float64Array.from(rows, (i) => (realAt(y, i) - y0) / (realAt(x, i) - x0));
  const order = Uint32Array.from(rows.keys()).sort((i, j) => realAt(slopes, i) - realAt(slopes, j));
  const run = (k: number) => realAt(x, itemAt(rows, k)) - x0;
  const total = sum(rows.map((_, k) => Math.abs(run(k))));
  const wanted = sum(rows.map((_, k) => (run(k) > 0 ? q * run(k) : (q - 1) * run(k))));
  let passed = 0;
  for (const [place, k] of order.entries()) {
    passed += Math.abs(run(k));
    if (passed < wanted - 1e-12 * total) continue;
    const next = place + 1 < order.length ? realAt(slopes, wholeAt(order, place + 1)) : undefined;
    const slope = realAt(slopes, k);
    const flat = passed <= wanted + 1e-12 * total && next !== undefined && next > slope;
    return { slope, flat };
  }
  return { slope: realAt(slopes, wholeAt(order, order.length - 1)), flat: false };
}

function spread(y: Float64Array): number {
  let [low, high] = [realAt(y, 0), realAt(y, 0)];
  for (const value of y) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return Math.max(high - low, 1e-5 * Math.max(Math.abs(low), Math.abs(high)));
}

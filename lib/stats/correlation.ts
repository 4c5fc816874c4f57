import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { normal, studentT } from "../num/distributions.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { repeatWarnings } from "./cluster-errors.js";
import { type Estimate, frozen, type Interval, type Labels, type Numbers } from "./estimate.js";
import {
  confidenceLevel,
  labels,
  numbers,
  requiredSeed,
  sameLength,
  shown,
  wholeNumber,
} from "./input.js";
import { drawnRankP, everyOrderUpTo, exactRankP, perfectRankP } from "./rank-orders.js";
import { midranks } from "./ranks.js";

/** Of the values (Pearson), or of their ranks (Spearman). */
export type CorrelationKind = "pearson" | "spearman";

/** What every correlation reports: its test against 0 and its interval. */
export interface TestedCorrelation extends Estimate {
  /** Number of rows. */
  readonly n: number;
  /** Degrees of freedom of the test. */
  readonly df: number;
  /** Two-sided p of "the correlation is 0". */
  readonly p: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** A correlation of two columns. */
export interface Correlation extends TestedCorrelation {
  /** Name of the function that made this record. */
  readonly kind: "correlation";
  /** For ranks: whether p counts every order of them. */
  readonly exact?: boolean;
}

/** Options of `correlation`. */
export interface CorrelationOptions {
  /** Of the values, or of their ranks; "pearson" unless given. */
  readonly kind?: CorrelationKind;
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
  /** For ranks of more than 9 rows: draw this many orders in place of the t approximation. */
  readonly resamples?: number;
  /** Seed of the drawn orders. */
  readonly seed?: number;
  /** Whose row each is. Rows are taken as independent: a label that repeats gives a warning. */
  readonly clusters?: Labels | Numbers;
}

/** Sums of squares and products of deviations. */
interface Deviations {
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
  /** Sum of squares of y about its line on x: keeps the digits that 1 − r² loses near ±1. */
  readonly residual: number;
}

/** Sums of deviations that are taken already. */
export function deviations(dx: Float64Array, dy: Float64Array): Deviations {
  const xx = sumOfSquaredDeviations(dx, 0);
  const yy = sumOfSquaredDeviations(dy, 0);
  const xy = sumOfProductDeviations(dx, dy, 0, 0);
  const slope = xy / xx;
  const residual = sumOfSquaredDeviations(
    dx.map((d, i) => realAt(dy, i) - slope * d),
    0,
  );
  return { xx, yy, xy, residual };
}

function fromMean(x: Float64Array): Float64Array {
  const centre = mean(x);
  return x.map((value) => value - centre);
}

/** r, and t = r √(df / (1 − r²)) with its two-sided p; t is infinite for a perfect line. */
export function testedCorrelation({ xx, yy, xy, residual }: Deviations, df: number) {
  const product = xx * yy; // may overflow or vanish where neither sum does
  const scale =
    product > 1e-290 && product < 1e300 ? Math.sqrt(product) : Math.sqrt(xx) * Math.sqrt(yy);
  const r = Math.max(-1, Math.min(1, xy / scale)); // rounding may pass ±1
  const statistic =
    (Math.sign(xy) * Math.sqrt(df * (1 - residual / yy))) / Math.sqrt(residual / yy);
  const perfect = !Number.isFinite(statistic);
  return {
    value: r,
    df,
    ...(!perfect && { statistic }),
    p: perfect ? 0 : Math.min(1, 2 * studentT(df).upper(Math.abs(statistic))),
  };
}

/** tanh(atanh r ± z se), the interval on Fisher's scale. */
export function fisherInterval(r: number, se: number, level: number, method: string): Interval {
  const half = normal().quantile((1 + level) / 2) * se;
  const z = Math.atanh(r);
  return { low: Math.tanh(z - half), high: Math.tanh(z + half), level, method };
}

/** The refusal of a constant column. */
export const spreadError = (where: string) =>
  new InputError({ expected: "values that differ", got: "one value throughout", where });

/**
 * Correlation of two columns with its test of "no correlation" and an interval.
 *
 * Pearson: r = Σ(x − x̄)(y − ȳ) / √(Σ(x − x̄)² Σ(y − ȳ)²), t = r √((n − 2)/(1 − r²)) on n − 2
 * degrees of freedom, interval tanh(atanh r ± z/√(n − 3)). Spearman: r of midranks. Up to 9 rows p
 * counts every order of the ranks, ties included; beyond, it is the t approximation, or with
 * `resamples` and `seed` the share of drawn orders, (1 + hits)/(1 + resamples). The standard error
 * of its interval is √((1 + r²/2)/(n − 3)). At r = ±1 there is no interval.
 *
 * Rows are taken as independent: with several rows per person use repeatedMeasuresCorrelation, or
 * one mean per person. Pass `clusters` to be warned.
 *
 * @param x n numbers in any unit, n ≥ 3
 * @param y n numbers in any unit, row by row with x
 * @returns r without unit; no interval for n = 3, where Fisher's standard error is infinite
 * @throws InputError when lengths differ, a value is not finite, n < 3, or a column is constant
 * @see Fisher (1921) Metron 1:3–32; Bonett & Wright (2000) Psychometrika 65:23–28 for Spearman's
 *   interval
 * @example correlation([1, 2, 3, 4], [2, 1, 4, 3]).value // 0.6
 */
export function correlation(x: Numbers, y: Numbers, options: CorrelationOptions = {}): Correlation {
  knownOptions(options, ["kind", "level", "resamples", "seed", "clusters"], "correlation");
  const { kind = "pearson", level = 0.95 } = options;
  const [xs, ys] = correlatedColumns(x, y);
  confidenceLevel(level, "correlation");
  if (kind !== "pearson" && kind !== "spearman") {
    const expected = '"pearson" or "spearman"';
    throw new InputError({ expected, got: shown(kind), where: "correlation, kind" });
  }
  const drawn = drawnOrders(options, kind);
  const repeated = options.clusters
    ? repeatWarnings(
        labels(options.clusters, "correlation, clusters", xs.length),
        "repeatedMeasuresCorrelation, or one mean per person",
      )
    : [];
  return kind === "spearman"
    ? spearman(midranks(xs), midranks(ys), level, repeated, drawn)
    : pearson(xs, ys, level, repeated);
}

function pearson(
  xs: Float64Array,
  ys: Float64Array,
  level: number,
  repeated: readonly string[],
): Correlation {
  const n = xs.length;
  const tested = testedCorrelation(deviations(fromMean(xs), fromMean(ys)), n - 2);
  const perfect = tested.statistic === undefined;
  const warnings = intervalWarnings(n > 3, perfect);
  if (perfect) warnings.push("the points lie exactly on a line");
  warnings.push(...repeated);
  const se = 1 / Math.sqrt(n - 3);
  return frozen({
    kind: "correlation" as const,
    n,
    ...tested,
    ...(n > 3 && !perfect && { interval: fisherInterval(tested.value, se, level, "Fisher z") }),
    method: "Pearson",
    warnings,
  });
}

function spearman(
  xRanks: Float64Array,
  yRanks: Float64Array,
  level: number,
  repeated: readonly string[],
  drawn: { resamples: number; seed: number } | undefined,
): Correlation {
  const n = xRanks.length;
  const { statistic, p, value, df } = testedCorrelation(
    deviations(fromMean(xRanks), fromMean(yRanks)),
    n - 2,
  );
  const exact = n <= everyOrderUpTo;
  const perfect = statistic === undefined;
  const se = Math.sqrt((1 + value ** 2 / 2) / (n - 3));
  const probability = exact
    ? exactRankP(xRanks, yRanks)
    : drawn
      ? drawnRankP(xRanks, yRanks, drawn.resamples, drawn.seed)
      : perfect
        ? perfectRankP(xRanks)
        : p;
  const words = exact
    ? "every order of the ranks"
    : drawn
      ? `${drawn.resamples} orders drawn with seed ${drawn.seed}`
      : "t approximation";
  const method = "Fisher z with the Bonett–Wright variance";
  return frozen({
    kind: "correlation" as const,
    n,
    value,
    df,
    ...(!exact && !drawn && !perfect && { statistic }),
    p: probability,
    exact,
    ...(n > 3 && !perfect && { interval: fisherInterval(value, se, level, method) }),
    method: `Spearman, midranks, ${words}`,
    warnings: [...intervalWarnings(n > 3, perfect), ...repeated],
  });
}

/** Resamples and seed, where orders are to be drawn. */
function drawnOrders({ resamples, seed }: CorrelationOptions, kind: CorrelationKind) {
  if (resamples === undefined && seed === undefined) return undefined;
  if (kind === "pearson") {
    const expected = 'kind "spearman" with resamples and a seed';
    throw new InputError({ expected, got: '"pearson"', where: "correlation, kind" });
  }
  return {
    resamples: wholeNumber(resamples ?? 10_000, "correlation, resamples"),
    seed: requiredSeed(seed as number, "correlation"),
  };
}

/** Why there is no interval, in words. */
export function intervalWarnings(enough: boolean, perfect: boolean): string[] {
  if (!enough) return ["too few rows for an interval"];
  return perfect ? ["a correlation of 1 or −1 has no interval"] : [];
}

function correlatedColumns(x: Numbers, y: Numbers): [Float64Array, Float64Array] {
  const xs = numbers(x, "correlation, x", 3);
  const ys = numbers(y, "correlation, y", 3);
  sameLength(ys.length, xs.length, "correlation, y");
  if (xs.every((value) => value === xs[0])) throw spreadError("correlation, x");
  if (ys.every((value) => value === ys[0])) throw spreadError("correlation, y");
  return [xs, ys];
}

import { realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { chiSquared } from "../../num/distributions.js";
import { findRoot } from "../../num/root.js";
import { sumOfSquaredDeviations } from "../../num/sums.js";
import { binaryUnit } from "../../num/vector.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen, type Interval, type Labels, type Numbers } from "../estimate.js";
import { confidenceLevel, labels, namedColumns } from "../input.js";
import { groupRows } from "../people.js";
import { tEstimate } from "../t-estimate.js";
import { type GroupRows, greatestLikelihood, groupedFit } from "./grouped-likelihood.js";
import { heterogeneityWeight, weightedMean } from "./heterogeneity.js";
import { studyColumns } from "./studies.js";

/** Columns of `poolNested`: one row per result. */
export interface PoolNestedColumns {
  /** Results, all in one unit. */
  readonly estimate: Numbers;
  /** Positive standard errors, in the unit of the estimates. */
  readonly se: Numbers;
  /** The study that each result comes from; a study may give several. */
  readonly study: Labels;
}

/** Several results per study, pooled on three levels. */
export interface PoolNested {
  /** Name of the function that made this record. */
  readonly kind: "poolNested";
  /** Number of results. */
  readonly n: number;
  /** Number of studies. */
  readonly studies: number;
  /** Mean of the true effects, in the unit of the results. */
  readonly estimate: Estimate;
  /** Variance of the true effects between studies, and between results within a study. */
  readonly tau2: { readonly between: number; readonly within: number };
  /** Profile-likelihood limits of the two variances. */
  readonly tau2Interval: { readonly between: Interval; readonly within: Interval };
  /** between / (between + within): correlation of two true effects of one study. */
  readonly icc?: number;
  /** Percent of the variance of a result that lies between studies, within them, and in both. */
  readonly i2: { readonly total: number; readonly between: number; readonly within: number };
  /** Test that every result has the same true effect. */
  readonly q: { readonly statistic: number; readonly df: number; readonly p: number };
  /** Restricted log-likelihood with all constants but ½ ln |XᵀX|. */
  readonly logLikelihood: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Three-level pooling, for studies that report several results (hands, clubs, subgroups):
 *
 *   yᵢⱼ = μ + uᵢ + wᵢⱼ + eᵢⱼ,  uᵢ ~ N(0, between), wᵢⱼ ~ N(0, within), eᵢⱼ ~ N(0, seᵢⱼ²)
 *
 * by restricted maximum likelihood. `estimate` has Student's t interval on (studies − 1) degrees of
 * freedom. Limits of the variances by profile likelihood. I² compares with the typical sampling
 * variance (n − 1)/tr P of weights 1/se².
 *
 * Sampling errors are taken as independent. Results of the same people share part of their errors:
 * then the standard error of μ still holds roughly, because `between` takes up what they share, but
 * `within` and `between` are not those of the true effects.
 *
 * @param columns `estimate`, `se` and `study`, one row per result; at least 2 studies, one of them
 *   with 2 results or more
 * @returns estimate in the unit of the inputs, variances in its square
 * @throws InputError as `pool` does, for fewer than 2 studies, or when no study has two results
 * @see Konstantopoulos (2011) Res Synth Methods 2:61–76; Van den Noortgate et al. (2013) Behav Res
 *   Methods 45:576–594
 * @example poolNested({ estimate: [1, 2, 4, 5], se: [0.5, 0.5, 0.5, 0.5], study: ["a", "a", "b", "b"] }).estimate.value // 3
 */
export function poolNested(
  columns: PoolNestedColumns,
  options: { readonly level?: number } = {},
): PoolNested {
  const where = "poolNested";
  namedColumns(columns, ["estimate", "se", "study"], where);
  knownOptions(options, ["level"], where);
  const { level = 0.95 } = options;
  confidenceLevel(level, where);
  const { studies } = studyColumns({ estimate: columns.estimate, se: columns.se }, where);
  // the search runs in units of the largest standard error, so that no unit of y can upset it
  const unit = binaryUnit(studies.variance.map(Math.sqrt));
  const estimate = studies.estimate.map((value) => value / unit);
  const variance = studies.variance.map((value) => value / unit / unit);
  const n = estimate.length;
  const rows = groupRows(labels(columns.study, `${where}, study`, n));
  if (rows.size < 2) {
    throw new InputError({ expected: "2 or more studies", got: `${rows.size}`, where });
  }
  if (rows.size === n) {
    const expected = "a study with two or more results (otherwise use pool)";
    throw new InputError({ expected, got: "one result per study", where });
  }
  const groups = Array.from(rows.values(), (studyRows): GroupRows => {
    const ones = new Float64Array(studyRows.length).fill(1);
    const pick = (column: Float64Array) => Float64Array.from(studyRows, (i) => realAt(column, i));
    return { y: pick(estimate), design: [ones], known: pick(variance), shared: [ones] };
  });
  const spread = sumOfSquaredDeviations(estimate) / (n - 1);
  const start = Float64Array.of(
    0.3 * spread + 1e-3 * realAt(variance, 0),
    0.3 * spread + 1e-3 * realAt(variance, 0),
  );
  const found = greatestLikelihood(groups, start);
  const fit = groupedFit(groups, found);
  const [within, between] = [realAt(found, 0), realAt(found, 1)];
  const df = rows.size - 1;
  const method = `three levels, REML, t(${df})`;
  const se = unit * Math.sqrt(realAt(fit.covariance, 0));
  const squared = (share: number) => share * unit * unit;
  const limits = (which: number): Interval => {
    const { low, high } = profileLimits(groups, found, fit.criterion, which, level);
    return { low: squared(low), high: squared(high), level, method: "profile likelihood" };
  };
  const fixed = fixedWeights(estimate, variance);
  const total = between + within + fixed.typical;
  const warnings: string[] = [];
  if (between === 0) warnings.push("The variance between studies is estimated as 0.");
  if (within === 0) warnings.push("The variance within studies is estimated as 0.");
  if (rows.size < 10) {
    warnings.push(
      `${rows.size} studies: the two variances are poorly known, read their intervals.`,
    );
  }
  return frozen({
    kind: "poolNested" as const,
    n,
    studies: rows.size,
    estimate: tEstimate(unit * realAt(fit.coefficients, 0), se, df, level, method),
    tau2: { between: squared(between), within: squared(within) },
    tau2Interval: { between: limits(1), within: limits(0) },
    ...(between + within > 0 && { icc: between / (between + within) }),
    i2: {
      total: (100 * (between + within)) / total,
      between: (100 * between) / total,
      within: (100 * within) / total,
    },
    q: { statistic: fixed.q, df: n - 1, p: chiSquared(n - 1).upper(fixed.q) },
    logLikelihood: -fit.criterion / 2 - (n - 1) * Math.log(unit),
    method,
    warnings,
  });
}

/** Q and the typical sampling variance, with weights 1/variance. */
function fixedWeights(estimate: Float64Array, variance: Float64Array) {
  const common = weightedMean({ estimate, variance }, 0);
  return { q: common.squares, typical: (estimate.length - 1) / heterogeneityWeight(common) };
}

/** Values of one variance at which the criterion, least over the other, has risen by χ²(1). */
function profileLimits(
  groups: readonly GroupRows[],
  found: Float64Array,
  least: number,
  which: number,
  level: number,
): { low: number; high: number } {
  const rise = chiSquared(1).quantile(level);
  const most = Math.max(...found, 1e-6 * Math.max(...groups.flatMap(({ known }) => [...known])));
  const excess = (value: number) => {
    const start = found.map((v) => Math.max(v, 0.05 * most));
    const at = greatestLikelihood(groups, start, new Map([[which, value]]));
    return groupedFit(groups, at).criterion - least - rise;
  };
  const value = realAt(found, which);
  const low = value === 0 || excess(0) <= 0 ? 0 : findRoot(excess, 0, value, { tolerance: 1e-9 });
  let high = value + most;
  while (excess(high) < 0) high *= 2;
  return { low, high: findRoot(excess, value, high, { tolerance: 1e-9 }) };
}

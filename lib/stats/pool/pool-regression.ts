import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { chiSquared, fisherF, normal, studentT } from "../../num/distributions.js";
import { cholesky, solveCholesky } from "../../num/linear.js";
import { sum } from "../../num/sums.js";
import { knownOptions } from "../../options.js";
import { designWithIntercept } from "../design-columns.js";
import {
  type Estimate,
  frozen,
  type Interval,
  type Labels,
  type Numbers,
  outOfRange,
} from "../estimate.js";
import { confidenceLevel, namedColumns, oneOf, shown } from "../input.js";
import type { NamedMatrix } from "../mixed/inference.js";
import { momentTau2, restrictedTau2 } from "./heterogeneity.js";
import { studyColumns } from "./studies.js";
import {
  type RegressedStudies,
  regressionMomentTau2,
  regressionTau2,
  traceOf,
  type WeightedFit,
  weightedFit,
} from "./weighted-regression.js";

/** Columns of `poolRegression`: one row per study. */
export interface PoolRegressionColumns {
  /** Estimates of the studies, all in one unit. */
  readonly estimate: Numbers;
  /** Positive standard errors, in the unit of the estimates. */
  readonly se: Numbers;
  /** Columns of study traits by name, numeric (code a yes or no as 1 and 0). */
  readonly moderators: Readonly<Record<string, Numbers>>;
  /** Names of the studies; "study 1", "study 2" … unless given. */
  readonly label?: Labels;
}

/** Options of `poolRegression`. */
export interface PoolRegressionOptions {
  /** Common effect, or residual τ² by moments (DL) or restricted likelihood (default). */
  readonly method?: "common" | "DL" | "REML";
  /** As for `pool`: "modified" (default) never lets the standard errors shrink. */
  readonly hartungKnapp?: boolean | "modified";
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/** A study against the regression. */
export interface RegressedStudy {
  /** Name of the study. */
  readonly label: string;
  /** Its estimate, in the common unit. */
  readonly estimate: number;
  /** Its standard error, same unit. */
  readonly se: number;
  /** Expected effect of a study with these traits, with its standard error and interval. */
  readonly fitted: Estimate;
  /** Where the true effect of a new study with these traits may lie; left out for a common effect. */
  readonly prediction?: Interval;
  /** Estimate minus fitted. */
  readonly residual: number;
  /** Share of the total weight. */
  readonly weight: number;
}

/** Pooled effects that depend on traits of the studies. */
export interface PoolRegression {
  /** Name of the function that made this record. */
  readonly kind: "poolRegression";
  /** Number of studies. */
  readonly n: number;
  /** By name, "intercept" first: unit of the estimates per unit of the moderator. */
  readonly coefficients: Readonly<Record<string, Estimate>>;
  /** Studies minus coefficients. */
  readonly df: number;
  /** Between-study variance that the moderators leave. */
  readonly tau2: number;
  /** Percent of the between-study variance that the moderators explain, at least 0; left out where there is none. */
  readonly rSquared?: number;
  /** Residual I², in percent. */
  readonly i2: number;
  /** Test of residual differences between studies. */
  readonly q: { readonly statistic: number; readonly df: number; readonly p: number };
  /** Joint test of all moderators: F, or χ² (no df2) without Hartung–Knapp. */
  readonly moderators: {
    readonly statistic: number;
    readonly df1: number;
    readonly df2?: number;
    readonly p: number;
  };
  /** Covariance of the coefficients, in their order. */
  readonly covariance: NamedMatrix;
  /** The studies in the order given. */
  readonly studies: readonly RegressedStudy[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Meta-regression: do the effects of studies go with their traits?
 *
 *   yᵢ = β₀ + β₁x₁ᵢ + … + uᵢ + eᵢ,  uᵢ ~ N(0, τ²), eᵢ ~ N(0, seᵢ²), weights 1/(seᵢ² + τ²)
 *
 * Hartung–Knapp: covariance (XᵀWX)⁻¹ times Σwe²/(k − p), t and F with k − p degrees of freedom;
 * "modified" (default) lets that factor not fall below 1. rSquared = 100 (τ₀² − τ²)/τ₀², τ₀²
 * without moderators.
 *
 * A relation between studies is not one within studies, and few studies find false ones: it takes
 * about 10 studies per moderator.
 *
 * @param columns `estimate`, `se`, `moderators` and `label`, one row per study
 * @returns coefficients in the unit of the estimates per unit of the moderator; τ² in its square
 * @throws InputError as `pool` does, when studies do not outnumber coefficients, or a moderator is a
 *   combination of the others
 * @see Knapp & Hartung (2003) Stat Med 22:2693–2710; Thompson & Higgins (2002) Stat Med 21:1559–1573
 * @example poolRegression({ estimate: [1, 2, 3, 5], se: [1, 1, 1, 1], moderators: { weeks: [2, 4, 6, 8] } }).coefficients.weeks.value // 0.65
 */
export function poolRegression(
  columns: PoolRegressionColumns,
  options: PoolRegressionOptions = {},
): PoolRegression {
  const where = "poolRegression";
  namedColumns(columns, ["estimate", "se", "moderators", "label"], where);
  knownOptions(options, ["method", "hartungKnapp", "level"], where);
  const { method = "REML", level = 0.95 } = options;
  const hartungKnapp = options.hartungKnapp ?? (method === "common" ? false : "modified");
  confidenceLevel(level, where);
  oneOf(method, ["common", "DL", "REML"], `${where}, method`);
  checkHartungKnapp(hartungKnapp, method, where);
  const { studies: plain, names: labels } = studyColumns(columns, where);
  const k = labels.length;
  const at = `${where}, moderators`;
  const studies = { ...plain, ...designWithIntercept(columns.moderators, k, at) };
  const p = studies.names.length;
  if (k <= p) {
    const expected = `more than ${p} studies for ${p} coefficients`;
    throw new InputError({ expected, got: `${k}`, where });
  }
  const df = k - p;
  const tau2 = betweenVariance(studies, method, where);
  const fit = weightedFit(studies, tau2, where);
  const common = weightedFit(studies, 0, where);
  const ratio = fit.squares / df;
  const factor = hartungKnapp === false ? 1 : hartungKnapp === true ? ratio : Math.max(1, ratio);
  const matrix = fit.covariance.map((row) => Array.from(row, (value) => value * factor));
  const inference = estimatesOf(hartungKnapp === false ? undefined : df, level, where);
  const typical = df / traceOf(common);
  const without = method === "common" ? 0 : intercepted(plain, method);
  return frozen({
    kind: "poolRegression" as const,
    n: k,
    coefficients: Object.fromEntries(
      studies.names.map((name, j) => [
        name,
        inference.estimate(realAt(fit.coefficients, j), itemAt(itemAt(matrix, j), j)),
      ]),
    ),
    df,
    tau2,
    ...(without > 0 && { rSquared: (100 * Math.max(0, without - tau2)) / without }),
    i2:
      method === "common"
        ? (100 * Math.max(0, common.squares - df)) / common.squares
        : (100 * tau2) / (tau2 + typical),
    q: { statistic: common.squares, df, p: chiSquared(df).upper(common.squares) },
    moderators: jointTest(fit.coefficients, matrix, hartungKnapp === false ? undefined : df),
    covariance: { names: studies.names, matrix },
    studies: regressedStudies({
      ...{ studies, labels, fit, matrix, inference },
      ...(method !== "common" && { newStudy: { tau2, df, level } }),
    }),
    method: `meta-regression, ${method}, ${hartungKnappWords(hartungKnapp, inference.words)}`,
    warnings: warningsFor(k, p, hartungKnapp),
  });
}

/** Makes estimates with Student's t on some degrees of freedom, or the normal without them. */
interface Inference {
  readonly words: string;
  readonly estimate: (value: number, variance: number) => Estimate;
}

function estimatesOf(df: number | undefined, level: number, where: string): Inference {
  const t = df === undefined ? normal() : studentT(df);
  const words = df === undefined ? "normal" : `t(${df})`;
  const estimate = (value: number, variance: number): Estimate => {
    const se = Math.sqrt(variance);
    const half = t.quantile((1 + level) / 2) * se;
    const interval = { low: value - half, high: value + half, level, method: words };
    const freedom = df === undefined ? {} : { df };
    if (se === 0) return { value, se, ...freedom, interval };
    const statistic = value / se;
    if (!Number.isFinite(statistic)) throw outOfRange(statistic, `${where}, ${words}`);
    const p = Math.min(1, 2 * t.upper(Math.abs(statistic)));
    return { value, se, ...freedom, statistic, p, interval };
  };
  return { words, estimate };
}

interface Regressed {
  readonly studies: RegressedStudies;
  readonly labels: readonly string[];
  readonly fit: WeightedFit;
  /** Covariance of the coefficients. */
  readonly matrix: readonly (readonly number[])[];
  readonly inference: Inference;
  /** What the prediction for a new study needs; left out for a common effect. */
  readonly newStudy?: { readonly tau2: number; readonly df: number; readonly level: number };
}

/** Each study against the regression, in the order given. */
function regressedStudies(all: Regressed): RegressedStudy[] {
  const { studies, labels, fit, matrix, inference, newStudy } = all;
  const total = sum(fit.weights);
  return labels.map((label, i) => {
    const row = studies.design.map((column) => realAt(column, i));
    const variance = sum(
      row.map((a, j) => a * sum(row.map((b, l) => b * itemAt(itemAt(matrix, j), l)))),
    );
    const estimate = realAt(studies.estimate, i);
    const value = estimate - realAt(fit.residuals, i);
    return {
      label,
      estimate,
      se: Math.sqrt(realAt(studies.variance, i)),
      fitted: inference.estimate(value, variance),
      ...(newStudy && { prediction: predictionAt(value, variance, newStudy) }),
      residual: realAt(fit.residuals, i),
      weight: realAt(fit.weights, i) / total,
    };
  });
}

function predictionAt(
  value: number,
  variance: number,
  { tau2, df, level }: NonNullable<Regressed["newStudy"]>,
): Interval {
  const half = studentT(df).quantile((1 + level) / 2) * Math.sqrt(tau2 + variance);
  return { low: value - half, high: value + half, level, method: `prediction, t(${df})` };
}

function hartungKnappWords(hartungKnapp: boolean | "modified", words: string): string {
  if (hartungKnapp === false) return words;
  return `${hartungKnapp === true ? "" : "modified "}Hartung–Knapp, ${words}`;
}

function warningsFor(k: number, p: number, hartungKnapp: boolean | "modified"): string[] {
  const warnings: string[] = [];
  if (k < 10 * (p - 1)) {
    warnings.push(
      `${k} studies for ${p - 1} ${p === 2 ? "moderator" : "moderators"}: with fewer than about 10 studies per moderator a relation is often a chance finding.`,
    );
  }
  if (hartungKnapp === false && k < 10) {
    warnings.push(`Normal intervals with ${k} studies are too narrow: use Hartung–Knapp.`);
  }
  return warnings;
}

function checkHartungKnapp(value: unknown, method: string, where: string): void {
  if (typeof value !== "boolean" && value !== "modified") {
    const expected = 'true, false or "modified"';
    throw new InputError({ expected, got: shown(value), where: `${where}, hartungKnapp` });
  }
  if (method === "common" && value !== false) {
    const expected = '"DL" or "REML" with Hartung–Knapp';
    throw new InputError({ expected, got: '"common"', where: `${where}, method` });
  }
}

function betweenVariance(studies: RegressedStudies, method: string, where: string): number {
  if (method === "common") return 0;
  if (method === "REML") return regressionTau2(studies, where);
  return Math.max(0, regressionMomentTau2(studies, where));
}

function intercepted(studies: { estimate: Float64Array; variance: Float64Array }, method: string) {
  return method === "REML" ? restrictedTau2(studies) : Math.max(0, momentTau2(studies));
}

/** bᵀC⁻¹b of all coefficients but the intercept, as F or χ². */
function jointTest(
  coefficients: Float64Array,
  matrix: readonly (readonly number[])[],
  df2: number | undefined,
): PoolRegression["moderators"] {
  const df1 = coefficients.length - 1;
  const sds = matrix.slice(1).map((row, j) => Math.sqrt(itemAt(row, j + 1)));
  const scaled = matrix
    .slice(1)
    .flatMap((row, j) => row.slice(1).map((v, l) => v / (itemAt(sds, j) * itemAt(sds, l))));
  const b = coefficients.subarray(1).map((value, j) => value / itemAt(sds, j));
  const factor = cholesky(scaled, df1);
  if (!factor) {
    throw new InputError({
      expected: "moderators that are not combinations of each other",
      got: "a covariance without an inverse",
      where: "poolRegression, moderators",
    });
  }
  const solved = solveCholesky(factor, b);
  const square = sum(b.map((value, j) => value * realAt(solved, j)));
  if (!Number.isFinite(square)) throw outOfRange(square, "poolRegression, test of moderators");
  if (df2 === undefined) return { statistic: square, df1, p: chiSquared(df1).upper(square) };
  const statistic = square / df1;
  return { statistic, df1, df2, p: fisherF(df1, df2).upper(statistic) };
}

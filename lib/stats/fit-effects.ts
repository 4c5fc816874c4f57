import { itemAt, present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { cholesky, solveCholesky } from "../num/linear.js";
import { fromRows, quadratic, sandwich } from "../num/matrix.js";
import { nearestName } from "../options.js";
import { type ClusterShares, clusterDf, clusterTest } from "./cluster-errors.js";
import type { DemingLine } from "./deming.js";
import type { Estimate } from "./estimate.js";
import { shown } from "./input.js";
import type { LinearFit } from "./linear-model.js";
import {
  type ContrastRows,
  type ContrastTest,
  type FixedInference,
  kenwardRogerTest,
  type MatrixRows,
  satterthwaiteDf,
  satterthwaiteTest,
  type VarianceFit,
} from "./mixed/inference.js";
import { mixedKenwardRoger } from "./mixed/kenward-roger.js";
import type { MixedFit } from "./mixed/mixed.js";
import { type LineFit, tMethod } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** Any fit with coefficients and their covariance. */
export type FitWithEffects = LineFit | LinearFit | DemingLine | MixedFit | VarianceFit;

/** How degrees of freedom are found. */
export type DfChoice = "satterthwaite" | "kenward-roger" | "residual";

/** The coefficients of a fit, with the ways to judge combinations of them. */
export interface FitEffects {
  /** Name of each coefficient, in the order of the weights. */
  readonly names: readonly string[];
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** A weighted sum of the coefficients. */
  readonly estimate: (weights: Float64Array, level: number) => Estimate;
  /** The F test that several weighted sums are 0. */
  readonly test: (rows: readonly Float64Array[]) => ContrastTest;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * The coefficients of a fit, judged with the degrees of freedom asked for. Without a choice: by
 * Satterthwaite's method for fits by REML or ML and for CR2 errors, else on the residual degrees of
 * freedom (rows − coefficients; with CR0 and CR1 clusters − 1).
 */
export function fitEffects(
  fit: FitWithEffects,
  df: DfChoice | undefined,
  where: string,
): FitEffects {
  const estimates = estimatesOf(fit, where);
  const { names, matrix } = fit.covariance;
  const values = Float64Array.from(names, (name) => present(estimates[name]).value);
  const judge = "fixed" in fit ? varianceJudge(fit, df, where) : leastSquaresJudge(fit, df, where);
  const method = judge.method;
  return {
    names,
    level: fit.level,
    method,
    estimate: (weights, level) => {
      const value = weights.reduce((sum, weight, j) => sum + weight * realAt(values, j), 0);
      const se = Math.sqrt(Math.max(0, quadratic(fromRows(judge.covariance), weights)));
      return tEstimate(value, se, judge.df(weights), level, method);
    },
    test: (rows) => {
      const tested = {
        rows,
        values: Float64Array.from(rows, (row) =>
          row.reduce((sum, weight, j) => sum + weight * realAt(values, j), 0),
        ),
      };
      checkIndependent(matrix, rows, where);
      return judge.test(tested);
    },
  };
}

function estimatesOf(fit: FitWithEffects, where: string): Readonly<Record<string, Estimate>> {
  if (fit === null || typeof fit !== "object" || !("covariance" in fit)) {
    const expected = "a fit, such as fitLinear, fitMixed or fitVisits gives";
    throw new InputError({ expected, got: shown(fit), where: `${where}, fit` });
  }
  if ("fixed" in fit) return fit.fixed;
  if ("coefficients" in fit) return fit.coefficients;
  return { intercept: fit.intercept, slope: fit.slope };
}

/** One way to judge combinations of coefficients. */
interface Judge {
  readonly covariance: MatrixRows;
  readonly df: (weights: Float64Array) => number;
  readonly test: (tested: ContrastRows) => ContrastTest;
  readonly method: string;
}

function leastSquaresJudge(
  fit: LineFit | LinearFit | DemingLine,
  df: DfChoice | undefined,
  where: string,
): Judge {
  const covariance = fit.covariance.matrix;
  const errors = "standardErrors" in fit ? fit.standardErrors : "jackknife";
  const clusters = "clusters" in fit ? fit.clusters : undefined;
  const choice = df ?? (clusters?.kind === "CR2" ? "satterthwaite" : "residual");
  if (clusters && choice === "satterthwaite") return clusterJudge(covariance, clusters);
  if (choice !== "residual") {
    const expected = clusters ? '"satterthwaite" or "residual"' : '"residual" for least squares';
    throw new InputError({ expected, got: shown(df), where: `${where}, df` });
  }
  const left = clusters ? clusters.count - 1 : fit.df;
  const method = tMethod(errors);
  return waldJudge(covariance, left, clusters ? `${method}, df = clusters − 1` : method);
}

function clusterJudge(covariance: MatrixRows, clusters: ClusterShares): Judge {
  return {
    covariance,
    df: (weights) => clusterDf(clusters, weights),
    test: (tested) => clusterTest(covariance, clusters, tested),
    method: `${tMethod(clusters.kind)}, Satterthwaite df`,
  };
}

/** t and F with one number of degrees of freedom. */
function waldJudge(covariance: MatrixRows, df: number, method: string): Judge {
  return {
    covariance,
    df: () => df,
    test: ({ rows, values }) => {
      const q = rows.length;
      const spread = spreadOf(covariance, rows);
      const factor = cholesky(spread, q);
      if (!factor) {
        const expected = "coefficients with standard errors above 0";
        throw new InputError({ expected, got: "a singular covariance", where: "jointTest" });
      }
      const solved = solveCholesky(factor, values);
      const f = values.reduce((sum, value, i) => sum + value * realAt(solved, i), 0) / q;
      return { f, df1: q, df2: df, p: fisherF(q, df).upper(f) };
    },
    method,
  };
}

function varianceJudge(
  fit: MixedFit | VarianceFit,
  df: DfChoice | undefined,
  where: string,
): Judge {
  const covariance = fit.covariance.matrix;
  if (df === "residual") {
    const rows = "n" in fit ? fit.n : fit.subjects;
    return waldJudge(covariance, rows - covariance.length, "t, df = rows − fixed effects");
  }
  if (df === "kenward-roger") {
    const parts = kenwardRogerOf(fit, where);
    return {
      covariance: parts.covariance,
      df: (weights) => satterthwaiteDf(covariance, parts, weights),
      test: (tested) => kenwardRogerTest(covariance, parts, tested),
      method: "t, Kenward–Roger",
    };
  }
  const known = fit.inference.satterthwaite;
  if (!known) {
    const arms = "arms" in fit && Array.isArray(fit.arms) ? fit.arms.length : 1;
    return waldJudge(covariance, Math.max(1, fit.subjects - arms), "t, df = subjects − arms");
  }
  return {
    covariance,
    df: (weights) => satterthwaiteDf(covariance, known, weights),
    test: (tested) => satterthwaiteTest(covariance, known, tested),
    method: "t, Satterthwaite df",
  };
}

function kenwardRogerOf(
  fit: MixedFit | VarianceFit,
  where: string,
): NonNullable<FixedInference["kenwardRoger"]> {
  if ("method" in fit && fit.method !== "REML") {
    const expected = "a fit by REML, for which Kenward and Roger's method is made";
    throw new InputError({ expected, got: shown(fit.method), where: `${where}, df` });
  }
  const parts = "model" in fit ? mixedKenwardRoger(fit) : fit.inference.kenwardRoger;
  if (parts) return parts;
  const expected =
    "a fit whose variances are determined well enough for Kenward and Roger's method";
  throw new InputError({ expected, got: "one whose are not", where: `${where}, df` });
}

function spreadOf(covariance: MatrixRows, rows: readonly Float64Array[]): Float64Array {
  const l = fromRows(rows.map((row) => Array.from(row)));
  return sandwich(l, fromRows(covariance), rows.length, covariance.length);
}

/** Part of a contrast's variance that must be left once the contrasts before it are taken out. */
const LEAST_OWN_PART = 1e-12;

function checkIndependent(
  covariance: MatrixRows,
  rows: readonly Float64Array[],
  where: string,
): void {
  const q = rows.length;
  const spread = spreadOf(covariance, rows);
  const factor = cholesky(spread, q);
  const independentVariance = (i: number) => (factor ? realAt(factor, i * q + i) ** 2 : 0);
  for (let i = 0; i < q; i++) {
    if (independentVariance(i) > LEAST_OWN_PART * realAt(spread, i * q + i)) continue;
    const expected = "terms that no combination of the others repeats, with a variance above 0";
    throw new InputError({ expected, got: `number ${i + 1} of ${q}`, where: `${where}, terms` });
  }
}

/**
 * Weights by name as a row.
 * @throws InputError for a name that is no coefficient, a weight that is not finite, or only zeros
 */
export function weightRow(
  names: readonly string[],
  weights: Readonly<Record<string, number>>,
  where: string,
): Float64Array {
  if (weights === null || typeof weights !== "object" || Array.isArray(weights)) {
    const expected = "a record of weights by coefficient, such as { slope: 1 }";
    throw new InputError({ expected, got: shown(weights), where });
  }
  const row = new Float64Array(names.length);
  for (const [name, weight] of Object.entries(weights)) {
    const at = names.indexOf(name);
    if (at < 0) throw noCoefficient(name, names, where);
    if (typeof weight !== "number" || !Number.isFinite(weight)) {
      const expected = "a finite number";
      throw new InputError({ expected, got: shown(weight), where: `${where}, ${name}` });
    }
    row[at] = weight;
  }
  if (row.some((weight) => weight !== 0)) return row;
  throw new InputError({ expected: "a weight that is not 0", got: "none", where });
}

/** The refusal of a name that is no coefficient, with the nearest that is. */
function noCoefficient(name: unknown, names: readonly string[], where: string): InputError {
  const near = typeof name === "string" ? nearestName(name, names) : undefined;
  const list = names.slice(0, 12).join(", ");
  const expected = near === undefined ? `a coefficient (${list})` : `the coefficient "${near}"`;
  return new InputError({ expected, got: shown(name), where });
}

/** Coefficients that a term stands for: itself, or all labels of a term, "arm" or "arm × visit". */
export function coefficientsOfTerm(
  term: string,
  names: readonly string[],
  where: string,
): number[] {
  const exact = names.indexOf(term);
  if (exact >= 0) return [exact];
  const parts = term.split(" × ");
  const found = names.flatMap((name, at) => {
    const nameParts = name.split(" × ");
    const same =
      nameParts.length === parts.length &&
      nameParts.every(
        (part, i) => part === itemAt(parts, i) || part.startsWith(`${itemAt(parts, i)}:`),
      );
    return same ? [at] : [];
  });
  if (found.length > 0) return found;
  throw noCoefficient(term, names, where);
}

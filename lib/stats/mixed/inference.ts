import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { fisherF } from "../../num/distributions.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import {
  addMultiple,
  fromRows,
  multiply,
  quadratic,
  rowsOf,
  sandwich,
  traceOfProduct,
} from "../../num/matrix.js";
import { symmetricEigen } from "../../num/symmetric.js";
import type { Estimate } from "../estimate.js";

/** A matrix as rows, which JSON keeps. */
export type MatrixRows = readonly (readonly number[])[];

/** A covariance matrix with the names of its rows, which are those of its columns. */
export interface NamedMatrix {
  /** Name of each row, and of the column at the same place. */
  readonly names: readonly string[];
  /** Products of the units of the two estimates that meet in an entry. */
  readonly matrix: MatrixRows;
}

/** How the covariance of the fixed effects moves with the variance parameters, and how far they may. */
export interface VarianceUncertainty {
  /** Derivative of the covariance of the fixed effects in each variance parameter, p × p each. */
  readonly slopes: readonly MatrixRows[];
  /** Covariance matrix of the estimates of the variance parameters, in the order of `slopes`. */
  readonly parameters: MatrixRows;
}

/**
 * What contrasts and joint tests need of a fit by REML or ML beside `fixed` and `covariance`. The
 * parameters may be any smooth function of the variances: degrees of freedom do not depend on it.
 */
export interface FixedInference {
  /** `parameters` from the observed information; left out where that is not positive definite. */
  readonly satterthwaite?: VarianceUncertainty;
  /** `parameters` from the expected information of a covariance that is linear in them. */
  readonly kenwardRoger?: VarianceUncertainty & {
    /** Covariance of the fixed effects, enlarged for the estimation of the variances. */
    readonly covariance: MatrixRows;
  };
}

/** The fields by which `contrast`, `jointTest` and the functions built on them take any fit by REML or ML. */
export interface VarianceFit {
  /** Name of the function that fitted the model. */
  readonly kind: string;
  /** People; subjects − 1 are the degrees of freedom where `inference.satterthwaite` is missing. */
  readonly subjects: number;
  /** Fixed effects by name. */
  readonly fixed: Readonly<Record<string, Estimate>>;
  /** Of the fixed effects, in the order of `fixed`. */
  readonly covariance: NamedMatrix;
  /** What degrees of freedom of contrasts are computed from. */
  readonly inference: FixedInference;
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
}

/** An F test that several contrasts are all 0. */
export interface ContrastTest {
  /** F statistic. */
  readonly f: number;
  /** Degrees of freedom of the numerator. */
  readonly df1: number;
  /** Degrees of freedom of the denominator. */
  readonly df2: number;
  /** Probability of an F as large or larger if every contrast is 0. */
  readonly p: number;
}

/** Contrasts to test: q rows of p weights, with their values. */
export interface ContrastRows {
  /** Weights of each contrast, one per fixed effect. */
  readonly rows: readonly Float64Array[];
  /** Value of each contrast, in the unit of y. */
  readonly values: Float64Array;
}

/**
 * Satterthwaite degrees of freedom of one contrast c: df = 2v²/(gᵀAg), v = cᵀCc its variance, g the
 * slopes of v in the variance parameters and A their covariance.
 *
 * @see Giesbrecht, Burns (1985) Biometrics 41:477–486
 */
export function satterthwaiteDf(
  covariance: MatrixRows,
  { slopes, parameters }: VarianceUncertainty,
  weights: Float64Array,
): number {
  const variance = quadratic(fromRows(covariance), weights);
  // Relative to the variance, whose square a double may not hold.
  const relative = Float64Array.from(
    slopes,
    (slope) => quadratic(fromRows(slope), weights) / variance,
  );
  return 2 / quadratic(fromRows(parameters), relative);
}

/** How near to each other the degrees of freedom of the parts of a joint test count as one. */
const ONE_DF = 1e-8;

/**
 * Joint test by Satterthwaite's method: the contrasts are turned into independent ones,
 * F = Σt²/q, and df2 is that of an F with the mean Σ dfᵢ/(dfᵢ − 2)/q.
 *
 * @see Fai, Cornelius (1996) J Stat Comput Simul 54:363–378
 */
export function satterthwaiteTest(
  covariance: MatrixRows,
  uncertainty: VarianceUncertainty,
  { rows, values }: ContrastRows,
): ContrastTest {
  const q = rows.length;
  const p = covariance.length;
  const l = fromRows(rows.map((row) => Array.from(row)));
  const { values: variances, vectors } = symmetricEigen(sandwich(l, fromRows(covariance), q, p), q);
  let squares = 0;
  const dfs = vectors.map((vector, i) => {
    const value = vector.reduce((sum, v, k) => sum + v * realAt(values, k), 0);
    squares += value ** 2 / realAt(variances, i);
    return satterthwaiteDf(covariance, uncertainty, multiply(vector, l, [1, q, p]));
  });
  return fTestOf(squares / q, q, jointDf(dfs));
}

/** Degrees of freedom of the sum of squared t on `dfs`, taken as q times an F. */
function jointDf(dfs: readonly number[]): number {
  const least = Math.min(...dfs);
  if (Math.max(...dfs) - least <= ONE_DF * least) return least;
  if (least <= 2) return 2;
  const expected = dfs.reduce((sum, df) => sum + df / (df - 2), 0);
  return (2 * expected) / (expected - dfs.length);
}

function fTestOf(f: number, df1: number, df2: number): ContrastTest {
  return { f, df1, df2, p: fisherF(df1, df2).upper(f) };
}

/** Sums over the subjects that Kenward and Roger's method is made of; Vᵢ is dV/dφᵢ. */
export interface LinearVariance {
  /** Φ = (XᵀV⁻¹X)⁻¹, p × p. */
  readonly covariance: Float64Array;
  /** tr(V⁻¹VᵢV⁻¹Vⱼ), k × k. */
  readonly traces: Float64Array;
  /** XᵀV⁻¹VᵢV⁻¹X for each parameter, p × p. */
  readonly first: readonly Float64Array[];
  /** XᵀV⁻¹VᵢV⁻¹VⱼV⁻¹X at [i][j], p × p. */
  readonly second: readonly (readonly Float64Array[])[];
}

/**
 * Kenward and Roger's enlarged covariance and the pieces of their test, for V = ΣφᵢVᵢ:
 *   W = inverse of ½[tr(V⁻¹VᵢV⁻¹Vⱼ) − 2tr(ΦQᵢⱼ) + tr(ΦPᵢΦPⱼ)],
 *   Φ_A = Φ + 2Φ ΣᵢΣⱼ Wᵢⱼ(Qᵢⱼ − PᵢΦPⱼ) Φ.
 *
 * @returns nothing when the expected information is not positive definite
 * @see Kenward, Roger (1997) Biometrics 53:983–997
 */
export function kenwardRogerParts({
  covariance: phi,
  traces,
  first,
  second,
}: LinearVariance): FixedInference["kenwardRoger"] {
  const k = first.length;
  const p = Math.sqrt(phi.length);
  const square = [p, p, p] as const;
  const turned = first.map((part) => multiply(phi, part, square));
  const information = traces.map((trace, at) => {
    const [i, j] = [Math.floor(at / k), at % k];
    const one = traceOfProduct(phi, itemAt(itemAt(second, i), j), p);
    return (trace - 2 * one + traceOfProduct(itemAt(turned, i), itemAt(turned, j), p)) / 2;
  });
  const factor = cholesky(information, k);
  if (!factor) return undefined;
  const parameters = invertCholesky(factor, k);
  const middle = new Float64Array(p * p);
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      const weight = realAt(parameters, i * k + j);
      addMultiple(middle, itemAt(itemAt(second, i), j), weight);
      addMultiple(middle, multiply(itemAt(first, i), itemAt(turned, j), square), -weight);
    }
  }
  const enlarged = phi.slice();
  addMultiple(enlarged, sandwich(phi, middle, p, p), 2);
  return {
    covariance: rowsOf(enlarged, p),
    slopes: turned.map((part) => rowsOf(multiply(part, phi, square), p)),
    parameters: rowsOf(parameters, k),
  };
}

/**
 * Kenward and Roger's scaled F test of q contrasts; with q = 1 its df is that of the t test.
 *
 * @param covariance the ordinary covariance Φ of the fixed effects
 * @see Kenward, Roger (1997) Biometrics 53:983–997, sect. 3
 */
export function kenwardRogerTest(
  covariance: MatrixRows,
  { covariance: enlarged, slopes, parameters }: NonNullable<FixedInference["kenwardRoger"]>,
  { rows, values }: ContrastRows,
): ContrastTest {
  const q = rows.length;
  const p = covariance.length;
  const l = fromRows(rows.map((row) => Array.from(row)));
  // tr(ΘΦPᵢΦ) is the trace of (LΦLᵀ)⁻¹ · L slopeᵢ Lᵀ.
  const inverse = inverseOf(sandwich(l, fromRows(covariance), q, p), q);
  const parts = slopes.map((slope) =>
    multiply(inverse, sandwich(l, fromRows(slope), q, p), [q, q, q]),
  );
  const w = fromRows(parameters);
  let a1 = 0;
  let a2 = 0;
  parts.forEach((one, i) => {
    parts.forEach((other, j) => {
      const weight = realAt(w, i * parts.length + j);
      a1 += weight * traceOf(one, q) * traceOf(other, q);
      a2 += weight * traceOfProduct(one, other, q);
    });
  });
  const { df2, scale } = matchedMoments(a1, a2, q);
  const wald = quadratic(inverseOf(sandwich(l, fromRows(enlarged), q, p), q), values) / q;
  return fTestOf(scale * wald, q, df2);
}

/** The df and the scale that match the two first moments of the Wald statistic to those of an F. */
function matchedMoments(a1: number, a2: number, q: number): { df2: number; scale: number } {
  // With one contrast the general formulas below come to this.
  if (q === 1) return { df2: 2 / a2, scale: 1 };
  const b = (a1 + 6 * a2) / (2 * q);
  const g = ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2);
  const below = 3 * q + 2 * (1 - g);
  const c1 = g / below;
  const c2 = (q - g) / below;
  const c3 = (q + 2 - g) / below;
  const mean = 1 / (1 - a2 / q);
  const variance = ((2 / q) * (1 + c1 * b)) / ((1 - c2 * b) ** 2 * (1 - c3 * b));
  const rho = variance / (2 * mean ** 2);
  const df2 = 4 + (q + 2) / (q * rho - 1);
  // an F has a mean above 2 degrees of freedom alone: below, the formulas even turn its sign
  if (!(mean > 0 && df2 > 2)) {
    const expected =
      `enough people for Kenward and Roger's test of ${q} sums together, which needs more than 2 ` +
      'degrees of freedom; df "satterthwaite" has no such limit';
    throw new InputError({ expected, got: "too few", where: "jointTest" });
  }
  return { df2, scale: df2 / (mean * (df2 - 2)) };
}

function traceOf(a: Float64Array, size: number): number {
  let trace = 0;
  for (let i = 0; i < size; i++) trace += realAt(a, i * size + i);
  return trace;
}

function inverseOf(a: Float64Array, size: number): Float64Array {
  const factor = cholesky(a, size);
  return factor ? invertCholesky(factor, size) : new Float64Array(size * size).fill(Number.NaN);
}

import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen } from "./estimate.js";
import {
  coefficientsOfTerm,
  type DfChoice,
  type FitWithEffects,
  fitEffects,
  weightRow,
} from "./fit-effects.js";
import { confidenceLevel, oneOf, shown } from "./input.js";

/** Options of `contrast` and the functions built on it. */
export interface ContrastOptions {
  /** Confidence level of the interval; the fit's unless given. */
  readonly level?: number;
  /**
   * Degrees of freedom. "satterthwaite" (fits by REML or ML, and fits with clusters),
   * "kenward-roger" (fits by REML, with standard errors that allow for the estimation of the
   * variances), or "residual" (rows − coefficients; with clusters, clusters − 1). Unless given,
   * "satterthwaite" where the fit is by REML or ML or has CR2 errors, else "residual".
   */
  readonly df?: DfChoice;
}

/** A joint test of coefficients. */
export interface JointTest {
  /** Name of the function that made this record. */
  readonly kind: "jointTest";
  /** Coefficients tested, or weighted sums as numbered in the call. */
  readonly tested: readonly string[];
  /** F statistic. */
  readonly f: number;
  /**
   * Degrees of freedom of the numerator: number of tested sums that do not depend on each other.
   */
  readonly df1: number;
  /** Degrees of freedom of the denominator. */
  readonly df2: number;
  /** Probability of an F as large or larger if all tested sums are 0. */
  readonly p: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

const DF_CHOICES: readonly DfChoice[] = ["satterthwaite", "kenward-roger", "residual"];

/** Checks the options that contrasts share. */
export function contrastOptions(
  options: ContrastOptions,
  further: readonly string[],
  where: string,
): void {
  knownOptions(options, ["level", "df", ...further], where);
  if (options.level !== undefined) confidenceLevel(options.level, where);
  if (options.df !== undefined) oneOf(options.df, DF_CHOICES, `${where}, df`);
}

/**
 * A weighted sum of a fit's coefficients, such as the mean of two labels − a third:
 * value cᵀb, se √(cᵀCc), with t on the degrees of freedom asked for.
 *
 * Takes fits of fitLine, fitLinear, fitDeming, fitMixed and fitVisits, also after a trip through
 * JSON. With few people use "kenward-roger": it enlarges the standard error for the estimation of
 * the variances.
 *
 * @param weights by coefficient, as named in `fit.covariance.names`; those left out weigh 0
 * @returns the sum in the unit of y, times that of the weights
 * @throws InputError for a name that is no coefficient, only zeros, or degrees of freedom that the
 *   fit does not have
 * @see Giesbrecht, Burns (1985) Biometrics 41:477–486; Kenward, Roger (1997) Biometrics 53:983–997
 * @example contrast(fitLine({ x: [1, 2, 3, 4], y: [2, 4, 5, 9] }), { intercept: 1, slope: 5 }).value // 10.5
 */
export function contrast(
  fit: FitWithEffects,
  weights: Readonly<Record<string, number>>,
  options: ContrastOptions = {},
): Estimate {
  contrastOptions(options, [], "contrast");
  const effects = fitEffects(fit, options.df, "contrast");
  const row = weightRow(effects.names, weights, "contrast, weights");
  return frozen(effects.estimate(row, options.level ?? effects.level));
}

/**
 * F test that several coefficients, or weighted sums of them, are all 0.
 *
 * By Satterthwaite's method the sums are turned into independent ones and their degrees of freedom
 * combined; Kenward and Roger's F is scaled so that its first two moments fit; with clusters the
 * Wald statistic's matrix is taken for a Wishart; else it is the Wald F.
 *
 * @param terms names of coefficients ("arm:grip"), of terms for all their labels ("arm",
 *   "arm × visit"), or records of weights
 * @throws InputError for a name that is no coefficient, terms that repeat each other, degrees
 *   of freedom that the fit does not have, or too few people for Kenward and Roger's joint test
 * @see Fai, Cornelius (1996) J Stat Comput Simul 54:363–378; Kenward, Roger (1997) Biometrics
 *   53:983–997; Tipton, Pustejovsky (2015) J Educ Behav Stat 40:604–634
 * @example jointTest(fitLinear({ y: [1, 3, 5, 8], terms: { week: [0, 1, 2, 3] } }), ["week"]).f // 176.3…
 */
export function jointTest(
  fit: FitWithEffects,
  terms: readonly (string | Readonly<Record<string, number>>)[],
  options: Pick<ContrastOptions, "df"> = {},
): JointTest {
  contrastOptions(options, [], "jointTest");
  const effects = fitEffects(fit, options.df, "jointTest");
  if (!Array.isArray(terms) || terms.length === 0) {
    const expected = "a list of terms";
    throw new InputError({ expected, got: shown(terms), where: "jointTest, terms" });
  }
  const unit = (at: number) =>
    Float64Array.from(effects.names, (_, other) => (other === at ? 1 : 0));
  const tested: string[] = [];
  const rows = terms.flatMap((term: string | Readonly<Record<string, number>>, i) => {
    if (typeof term !== "string") {
      tested.push(`sum ${i + 1}`);
      return [weightRow(effects.names, term, `jointTest, terms, index ${i}`)];
    }
    const places = coefficientsOfTerm(term, effects.names, "jointTest, terms");
    for (const at of places) tested.push(effects.names[at] ?? term);
    return places.map(unit);
  });
  const { f, df1, df2, p } = effects.test(rows);
  const method = effects.method.replace("Student t", "F").replace(/^t/, "F");
  return frozen({ kind: "jointTest", tested, f, df1, df2, p, method } as const);
}

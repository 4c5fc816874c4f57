import { itemAt, present, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { leastSquares } from "../../num/linear.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen } from "../estimate.js";
import { confidenceLevel, namedColumns, oneOf } from "../input.js";
import { tEstimate } from "../t-estimate.js";
import { poolRegression } from "./pool-regression.js";
import { type PoolColumns, studyColumns } from "./studies.js";

/** Whether small studies find other effects than large ones. */
export interface SmallStudyTest {
  /** Name of the function that made this record. */
  readonly kind: "smallStudyTest";
  /** Number of studies. */
  readonly n: number;
  /** Change of the effect per unit of standard error (or variance). */
  readonly slope: Estimate;
  /** slope / its standard error. */
  readonly statistic: number;
  /** Left out for a normal statistic. */
  readonly df?: number;
  /** Two-sided p of "the slope is 0". */
  readonly p: number;
  /** Expected effect of a study without sampling error, in the unit of the estimates. */
  readonly limit: Estimate;
  /** Between-study variance, for the random-effects model. */
  readonly tau2?: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Options of `smallStudyTest`. */
export interface SmallStudyOptions {
  /** "weighted" (default): Egger's regression. "random": meta-regression with τ² by REML. */
  readonly model?: "weighted" | "random";
  /** What the effects are regressed on, default "se". */
  readonly predictor?: "se" | "variance";
  /** For the random-effects model, as for `poolRegression`. */
  readonly hartungKnapp?: boolean | "modified";
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/**
 * Test for small-study effects (asymmetry of a funnel plot).
 *
 * "weighted" (Egger): least squares of estimate on its standard error with weights 1/se² and a
 * residual variance of its own; the same as the intercept of estimate/se on 1/se; t with k − 2.
 * "random": `poolRegression` on the standard error or the variance.
 *
 * A small p does not prove selective publication: small studies may differ in dose or people. With
 * fewer than 10 studies the test has too little power to be of use.
 *
 * @param columns `estimate` and `se`, one row per study, at least 3
 * @returns slope in the unit of the estimates per unit of the predictor; limit in the unit of the
 *   estimates
 * @throws InputError as `pool` does, for fewer than 3 studies, or when all standard errors are equal
 * @see Egger, Davey Smith, Schneider & Minder (1997) BMJ 315:629–634; Sterne & Egger (2005) in
 *   Publication Bias in Meta-Analysis, 99–110
 * @example smallStudyTest({ estimate: [1, 2, 2, 4], se: [0.2, 0.4, 0.5, 1] }).slope.value // 3.820143885
 */
export function smallStudyTest(
  columns: PoolColumns,
  options: SmallStudyOptions = {},
): SmallStudyTest {
  const where = "smallStudyTest";
  namedColumns(columns, ["estimate", "se", "label"], where);
  knownOptions(options, ["model", "predictor", "hartungKnapp", "level"], where);
  const { model = "weighted", predictor = "se", level = 0.95 } = options;
  confidenceLevel(level, where);
  oneOf(model, ["weighted", "random"], `${where}, model`);
  oneOf(predictor, ["se", "variance"], `${where}, predictor`);
  const { studies } = studyColumns(columns, where);
  const { estimate, variance } = studies;
  const k = estimate.length;
  if (k < 3) throw new InputError({ expected: "3 or more studies", got: `${k}`, where });
  const se = variance.map(Math.sqrt);
  if (se.every((value) => value === se[0])) {
    const expected = "standard errors that differ";
    throw new InputError({ expected, got: "one value throughout", where: `${where}, se` });
  }
  const x = predictor === "se" ? se : variance;
  const warnings =
    k < 10 ? [`${k} studies: with fewer than 10 the test detects little; do not rely on it.`] : [];
  if (model === "random") return random(columns, x, options, level, warnings);
  if (options.hartungKnapp !== undefined) {
    const expected = 'model "random" with Hartung–Knapp';
    throw new InputError({ expected, got: '"weighted"', where: `${where}, model` });
  }
  const weighted = (column: Float64Array) => column.map((v, i) => v / realAt(se, i));
  const design = [weighted(new Float64Array(k).fill(1)), weighted(x)];
  const fit = leastSquares(design, weighted(estimate), ["limit", predictor], where);
  const method = "weighted regression (Egger), t";
  const found = [0, 1].map((j) => {
    const spread = (realAt(itemAt(fit.covariance, j), j) * fit.residualSum) / fit.df;
    return tEstimate(realAt(fit.coefficients, j), Math.sqrt(spread), fit.df, level, method);
  });
  const [limit, slope] = [itemAt(found, 0), itemAt(found, 1)];
  if (slope.statistic === undefined || slope.p === undefined) {
    throw new InputError({ expected: "estimates off the line", got: "a perfect fit", where });
  }
  return frozen({
    kind: "smallStudyTest" as const,
    n: k,
    slope,
    statistic: slope.statistic,
    df: fit.df,
    p: slope.p,
    limit,
    method: `${method}(${fit.df}), effect on ${predictor === "se" ? "standard error" : "variance"}`,
    warnings,
  });
}

function random(
  columns: PoolColumns,
  predictor: Float64Array,
  { hartungKnapp = "modified", predictor: name = "se" }: SmallStudyOptions,
  level: number,
  warnings: readonly string[],
): SmallStudyTest {
  const { estimate, se } = columns;
  const fit = poolRegression(
    { estimate, se, moderators: { [name]: predictor } },
    { hartungKnapp, level },
  );
  const slope = present(fit.coefficients[name]);
  return frozen({
    kind: "smallStudyTest" as const,
    n: fit.n,
    slope,
    statistic: present(slope.statistic),
    ...(slope.df !== undefined && { df: slope.df }),
    p: present(slope.p),
    limit: present(fit.coefficients.intercept),
    tau2: fit.tau2,
    method: `${fit.method}, effect on ${name === "se" ? "standard error" : "variance"}`,
    warnings,
  });
}

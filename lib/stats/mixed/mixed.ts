import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { rowsOf } from "../../num/matrix.js";
import { listOf } from "../../num/vector.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen } from "../estimate.js";
import { confidenceLevel, labels, namedColumns, shown } from "../input.js";
import { type ModelTerms, plainTerms, type TermOptions } from "../terms.js";
import { mixedCriterion, type RelativeFactor } from "./criterion.js";
import type { NamedMatrix } from "./inference.js";
import {
  boundaryWarnings,
  fittedRows,
  fixedCovariance,
  fixedEffects,
  fixedEstimates,
  type RandomSpread,
  randomSpread,
  type SubjectLine,
  subjectLines,
  wholeCriterion,
} from "./mixed-summary.js";
import type { ModelFit } from "./model-fit.js";
import { inOrder, type MixedColumns, mixedDesign } from "./model-matrix.js";
import { type ReducedDesign, reduceDesign, reduceOutcome } from "./reduction.js";
import { type FlatUncertainty, varianceUncertainty } from "./satterthwaite.js";
import { freeEntries, searchTheta } from "./search.js";

export type { MixedColumns } from "./model-matrix.js";

/** Options of `fitMixed`. */
export interface MixedOptions extends TermOptions {
  /** Name of the term whose slope varies between subjects; without it only the intercept does. */
  readonly slope?: string;
  /** Whether a subject's intercept and slope may be correlated. Default true. */
  readonly correlated?: boolean;
  /** Restricted maximum likelihood (default) or maximum likelihood. */
  readonly method?: "REML" | "ML";
  /** Confidence level of the intervals, default 0.95. */
  readonly level?: number;
}

/** A linear mixed model with random intercepts, and slopes where asked. */
export interface MixedFit extends ModelFit {
  /** Name of the function that made this record. */
  readonly kind: "fitMixed";
  /** Number of rows. */
  readonly n: number;
  /** Number of people. */
  readonly subjects: number;
  /** By name, "intercept" first. */
  readonly fixed: Readonly<Record<string, Estimate>>;
  /** Of the fixed effects, in the order of `fixed`. */
  readonly covariance: NamedMatrix;
  /** Standard deviations of the random effects and their correlation. */
  readonly random: RandomSpread;
  /** Standard deviation of the residuals, in the unit of y. */
  readonly residualSd: number;
  /** The line of each person, in order of first appearance. */
  readonly perSubject: readonly SubjectLine[];
  /** How terms and labels make up the fixed effects; for adjustedMeans. */
  readonly terms: ModelTerms;
  /** What was fitted, so that the model can be simulated from and refitted. */
  readonly model: MixedModel;
}

/** The inputs of a fit but for the outcome, as plain arrays. */
export interface MixedModel {
  /** Whose row each is. */
  readonly subject: readonly string[];
  /** Columns of numbers or labels, by name. */
  readonly terms: Readonly<Record<string, readonly number[] | readonly string[]>>;
  /** How the columns of labels were coded, and which products entered. */
  readonly coding: TermOptions;
  /** Name of the term whose slope varies; left out when none does. */
  readonly slope?: string;
  /** Whether intercepts and slopes may be correlated. */
  readonly correlated: boolean;
  /** Restricted maximum likelihood or maximum likelihood. */
  readonly method: "REML" | "ML";
  /** θ₁, θ₂, θ₃ of the random effects' covariance, in the scaled units of the search. */
  readonly factor: readonly number[];
}

/**
 * Linear mixed model for repeated measurements of the same people.
 *
 *   yᵢⱼ = β₀ + β₁x₁ᵢⱼ + … + b₀ᵢ + b₁ᵢ·slopeᵢⱼ + eᵢⱼ,
 *   (b₀ᵢ, b₁ᵢ) ~ normal(0, D), eᵢⱼ ~ normal(0, σ²), independent between subjects.
 *
 * Fitted by REML or ML on the criterion profiled over the relative Cholesky factor of D. Fixed
 * effects come with Satterthwaite degrees of freedom and t intervals. `perSubject` holds each
 * person's own line, shrunk towards the group (fixed effect + conditional mode). A singular fit (a
 * variance of 0, a correlation of ±1) is a result like any other: `converged` and `singular` are
 * true and a warning names the boundary.
 *
 * Units: intercept, its SD, and residual SD in the unit of y; slopes in y per unit of their term.
 *
 * What it does not do: one grouping (subjects) only, no crossed or nested groups; at most one
 * random slope; errors of equal variance and independent within a subject (no serial
 * correlation); no weights; no outcomes other than continuous ones; no missing values. Where slopes
 * or serial errors vary between people, a random intercept alone rejects 12 to 26 % of true nulls at
 * 5 %; where trials are nested in hands in people, 31 to 34 % (simulated): give the term a random
 * slope, or use fitVarianceComponents or fitVisits. With few subjects (under ten, say) use contrast
 * with Kenward and Roger's degrees of freedom for fixed effects, and profileMixed for standard
 * deviations and the correlation. REML criteria compare only models with the same fixed effects.
 *
 * @param columns one row per observation: `subject` labels, outcome `y`, and `terms`, named
 *   columns of numbers or labels (coded 0/1 as in fitLinear); subjects may have different numbers of rows
 * @throws InputError for unequal lengths, values that are not finite, fewer than 2 subjects, a
 *   term that repeats others, a slope that names no term, too few rows to tell subjects from
 *   error, or an outcome fitted without error
 * @see Bates, Mächler, Bolker, Walker (2015) J Stat Softw 67(1); Laird, Ware (1982) Biometrics
 *   38:963–974; Giesbrecht, Burns (1985) Biometrics 41:477–486
 * @example fitMixed({ subject: ["a", "a", "b", "b"], y: [1, 3, 6, 8] }).fixed.intercept.value // 4.5
 */
export function fitMixed(columns: MixedColumns, options: MixedOptions = {}): MixedFit {
  namedColumns(columns, ["subject", "y", "terms"], "fitMixed");
  knownOptions(options, MIXED_OPTIONS, "fitMixed");
  const { slope, correlated = true } = options;
  const level = confidenceLevel(options.level ?? 0.95, "fitMixed");
  const method = likelihoodMethod(options.method ?? "REML");
  const design = mixedDesign(columns, { slope, correlated, coding: codingOf(options) });
  const y = inOrder(columns.y, design.order);
  const { reduction, criterion, theta, converged } = searched(reduceDesign(design), y, method);
  const solution = criterion.solve(theta);
  const effects = fixedEffects(reduction, solution);
  const covariance = fixedCovariance(reduction, solution);
  const residualSd = reduction.scale * Math.sqrt(solution.sigma2);
  const random = randomSpread(design, theta, residualSd);
  const boundary = boundaryWarnings(design, theta, random);
  const free = freeEntries(design.hasSlope, correlated);
  const known = varianceUncertainty(reduction, criterion, theta, free, covariance);
  const { fixed, warnings } = fixedEstimates(design, effects, covariance, known, level);
  if (!converged) warnings.push("the search stopped before the criterion reached its minimum");
  const whole = wholeCriterion(reduction, criterion, solution);
  const perSubject = subjectLines(reduction, solution, theta, effects);
  const fitted = fittedRows(reduction, solution, perSubject);
  const residuals = new Array<number>(design.rows);
  for (let row = 0; row < design.rows; row++)
    residuals[row] = itemAt(columns.y, row) - realAt(fitted, row);
  return frozen({
    kind: "fitMixed",
    n: design.rows,
    subjects: design.subjects.length,
    fixed,
    covariance: { names: design.names, matrix: rowsOf(covariance, effects.length) },
    ...{ random, residualSd, logLikelihood: -whole / 2, criterion: whole },
    parameters: effects.length + free.length + 1,
    perSubject,
    fitted: listOf(fitted),
    residuals,
    inference: known ? { satterthwaite: inRows(known, effects.length) } : {},
    terms: design.terms,
    ...{ singular: boundary.length > 0, converged, method, level },
    warnings: [...boundary, ...warnings],
    model: modelOf(columns, options, method, theta),
  } as const);
}

const MIXED_OPTIONS: readonly (keyof MixedOptions)[] = [
  "slope",
  "correlated",
  "method",
  "level",
  "reference",
  "interactions",
];

function codingOf({ reference, interactions }: MixedOptions): TermOptions {
  return { ...(reference && { reference }), ...(interactions && { interactions }) };
}

function inRows({ slopes, parameters }: FlatUncertainty, p: number) {
  return {
    slopes: slopes.map((slope) => rowsOf(slope, p)),
    parameters: rowsOf(parameters, slopes.length),
  };
}

/** Loss of digits, as a factor, above which the residual is taken anew about the fit found. */
const TOO_MUCH_CANCELLED = 1e3;

/** Stages two and three: criterion and search, once more about a better line where that pays. */
function searched(reduced: ReducedDesign, y: Float64Array, method: "REML" | "ML") {
  const { hasSlope, correlated } = reduced.design;
  const free = freeEntries(hasSlope, correlated);
  const attempt = (about?: Float64Array) => {
    const reduction = reduceOutcome(reduced, y, about);
    const criterion = mixedCriterion(reduction, method === "REML");
    return { reduction, criterion, ...searchTheta(criterion, free) };
  };
  const first = attempt();
  const { gamma, cancelled } = first.criterion.solve(first.theta);
  if (cancelled < TOO_MUCH_CANCELLED) return first;
  const { fitted, scale } = first.reduction;
  return attempt(gamma.map((g, j) => scale * (realAt(fitted, j) + g)));
}

function likelihoodMethod(method: unknown): "REML" | "ML" {
  if (method === "REML" || method === "ML") return method;
  throw new InputError({
    expected: '"REML" or "ML"',
    got: shown(method),
    where: "fitMixed, method",
  });
}

function modelOf(
  columns: MixedColumns,
  options: MixedOptions,
  method: "REML" | "ML",
  theta: RelativeFactor,
): MixedModel {
  return {
    subject: labels(columns.subject, "fitMixed, subject", columns.y.length),
    terms: plainTerms(columns.terms ?? {}),
    coding: codingOf(options),
    ...(options.slope === undefined ? {} : { slope: options.slope }),
    correlated: options.correlated ?? true,
    method,
    factor: Array.from(theta),
  };
}

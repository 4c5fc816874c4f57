import { realAt, wholeAt } from "../../entry.js";
import { multiply, quadratic, sandwich } from "../../num/matrix.js";
import { subtract } from "../../num/vector.js";
import { type Estimate, outOfRange } from "../estimate.js";
import { tEstimate } from "../t-estimate.js";
import type { MixedCriterion, MixedSolution, RelativeFactor } from "./criterion.js";
import type { MixedDesign } from "./model-matrix.js";
import type { MixedReduction } from "./reduction.js";
import type { FlatUncertainty } from "./satterthwaite.js";

/** Standard deviations of the random effects, outcome units (slope: per unit of its term). */
export interface RandomSpread {
  /** Between the intercepts of people, in the unit of y. */
  readonly interceptSd: number;
  /** Between their slopes, in the unit of y per unit of the term. */
  readonly slopeSd?: number;
  /** Between intercepts and slopes; left out when a standard deviation is 0 or it is fixed at 0. */
  readonly correlation?: number;
}

/** One person's own line: fixed effects plus conditional modes. */
export interface SubjectLine {
  /** Label of the person. */
  readonly subject: string;
  /** The person's value where all terms are 0, in the unit of y. */
  readonly intercept: number;
  /** The person's change per unit of the term; left out when slopes do not vary. */
  readonly slope?: number;
  /** Conditional modes: this person's departure from the fixed effects. */
  readonly interceptDeviation: number;
  /** The slope's departure from the fixed effect; left out when slopes do not vary. */
  readonly slopeDeviation?: number;
}

/** Λ in the units of the caller's columns, relative to the residual SD of the scaled outcome. */
function unscaledFactor({ zScale, centre }: MixedDesign, theta: RelativeFactor) {
  const slopeRow = [realAt(theta, 1) / zScale[1], realAt(theta, 2) / zScale[1]] as const;
  const interceptRow = [
    realAt(theta, 0) / zScale[0] - centre * slopeRow[0],
    -centre * slopeRow[1],
  ] as const;
  return { interceptRow, slopeRow };
}

export function randomSpread(
  design: MixedDesign,
  theta: RelativeFactor,
  residualSd: number,
): RandomSpread {
  const { interceptRow, slopeRow } = unscaledFactor(design, theta);
  const intercept = Math.hypot(...interceptRow);
  const interceptSd = residualSd * intercept;
  if (!design.hasSlope) return { interceptSd };
  const slope = Math.hypot(...slopeRow);
  const slopeSd = residualSd * slope;
  if (!design.correlated || intercept === 0 || slope === 0) return { interceptSd, slopeSd };
  const cosine =
    (interceptRow[0] / intercept) * (slopeRow[0] / slope) +
    (interceptRow[1] / intercept) * (slopeRow[1] / slope);
  // On the boundary the two rows are parallel; rounding must not blur that.
  const correlation = theta[2] === 0 ? Math.sign(cosine) : Math.max(-1, Math.min(1, cosine));
  return { interceptSd, slopeSd, correlation };
}

/** Says which parameters ended on the edge of what they can be. */
export function boundaryWarnings(
  { hasSlope, correlated }: MixedDesign,
  theta: RelativeFactor,
  { interceptSd, slopeSd, correlation }: RandomSpread,
): string[] {
  const at: string[] = [];
  if (interceptSd === 0) at.push("the between-subject SD of the intercept is 0");
  if (hasSlope && slopeSd === 0) at.push("the between-subject SD of the slope is 0");
  if (at.length === 0 && correlated && hasSlope && theta[2] === 0) {
    at.push(`the correlation of intercept and slope is ${correlation}`);
  }
  if (at.length === 0) return [];
  return [
    `singular fit: ${at.join(" and ")}, on the boundary of what it can be. ` +
      "The data do not support so rich a random part; consider a simpler one.",
  ];
}

/** Value of each fixed effect, in the order of the names. */
export function fixedEffects(
  { fitted, scale, design }: MixedReduction,
  { gamma }: MixedSolution,
): Float64Array {
  const p = design.names.length;
  const onQ = gamma.map((g, j) => scale * (realAt(fitted, j) + g));
  return multiply(design.back, onQ, [p, p, 1]);
}

/** Covariance of the fixed effects, p × p. */
export function fixedCovariance(
  { scale, design }: MixedReduction,
  { covariance, sigma2 }: MixedSolution,
): Float64Array {
  const p = design.names.length;
  const factor = scale * scale * sigma2;
  return sandwich(design.back, covariance, p, p).map((value) => factor * value);
}

/**
 * −2 log-likelihood of the caller's problem: the scaled one, plus the Jacobian of dividing y by
 * `scale` and, for REML, of replacing X by Q.
 */
export function wholeCriterion(
  { scale, design }: MixedReduction,
  { errorDf }: MixedCriterion,
  { value }: MixedSolution,
): number {
  const p = design.names.length;
  let sum = value + 2 * errorDf * Math.log(scale);
  if (errorDf === design.rows) return sum;
  for (let j = 0; j < p; j++) {
    sum += 2 * (Math.log(realAt(design.r, j * p + j)) + Math.log(realAt(design.columnScale, j)));
  }
  return sum;
}

/** Each subject's line: conditional modes b̂ᵢ = ΛΛᵀZᵢᵀVᵢ⁻¹(y − Xβ̂) on top of the fixed effects. */
export function subjectLines(
  { design, scale }: MixedReduction,
  { scores }: MixedSolution,
  theta: RelativeFactor,
  fixed: Float64Array,
): SubjectLine[] {
  const { interceptRow, slopeRow } = unscaledFactor(design, theta);
  return design.subjects.map((subject, i) => {
    const first =
      scale *
      (realAt(theta, 0) * realAt(scores, 2 * i) + realAt(theta, 1) * realAt(scores, 2 * i + 1));
    const second = scale * realAt(theta, 2) * realAt(scores, 2 * i + 1);
    const interceptDeviation = plain(interceptRow[0] * first + interceptRow[1] * second);
    const intercept = realAt(fixed, 0) + interceptDeviation;
    if (!design.hasSlope) return { subject, intercept, interceptDeviation };
    const slopeDeviation = plain(slopeRow[0] * first + slopeRow[1] * second);
    const slope = realAt(fixed, design.slopeIndex) + slopeDeviation;
    return { subject, intercept, slope, interceptDeviation, slopeDeviation };
  });
}

/** A number that JSON keeps: 0 for −0. */
function plain(x: number): number {
  return 0 + x;
}

/** Fixed effects with t intervals on Satterthwaite degrees of freedom, and what to say of them. */
export function fixedEstimates(
  design: MixedDesign,
  effects: Float64Array,
  covariance: Float64Array,
  uncertainty: FlatUncertainty | undefined,
  level: number,
) {
  const p = effects.length;
  const warnings: string[] = [];
  if (!uncertainty) {
    warnings.push(
      "the variances are too poorly determined for Satterthwaite degrees of freedom; " +
        "subjects − 1 are used",
    );
  }
  const method = uncertainty ? "t, Satterthwaite df" : "t, df = subjects − 1";
  const fixed = design.names.map((name, j) => {
    const at = j * p + j;
    const variance = realAt(covariance, at);
    if (!(variance > 0 && variance < Number.POSITIVE_INFINITY)) {
      throw outOfRange(variance, `fitMixed, variance of ${name}`);
    }
    const df = uncertainty ? dfAt(uncertainty, covariance, at) : design.subjects.length - 1;
    const se = Math.sqrt(variance);
    const estimate = tEstimate(realAt(effects, j), se, df, level, method);
    return [name, bounded(name, estimate, warnings)] as const;
  });
  return { fixed: Object.fromEntries(fixed), warnings };
}

/** Satterthwaite degrees of freedom of the effect whose variance stands at `at` of the covariance. */
function dfAt({ slopes, parameters }: FlatUncertainty, covariance: Float64Array, at: number) {
  // Relative to the variance, whose square a double may not hold.
  const relative = Float64Array.from(slopes, (slope) => realAt(slope, at) / realAt(covariance, at));
  return 2 / quadratic(parameters, relative);
}

/** What the model gives for each row, conditional modes included, in the caller's order. */
export function fittedRows(
  { design, fitted, scale }: MixedReduction,
  { gamma }: MixedSolution,
  lines: readonly SubjectLine[],
): Float64Array {
  const sorted = new Float64Array(design.rows);
  design.q.forEach((column, j) => {
    subtract(sorted, column, -scale * (realAt(fitted, j) + realAt(gamma, j)));
  });
  const rows = new Float64Array(design.rows);
  lines.forEach(({ interceptDeviation, slopeDeviation = 0 }, i) => {
    for (let at = wholeAt(design.starts, i); at < wholeAt(design.starts, i + 1); at++) {
      const along = design.slopeColumn ? slopeDeviation * realAt(design.slopeColumn, at) : 0;
      rows[wholeAt(design.order, at)] = realAt(sorted, at) + interceptDeviation + along;
    }
  });
  return rows;
}

/** Leaves out an interval that reaches to infinity: there are no subjects to tell the spread by. */
function bounded(name: string, estimate: Estimate, warnings: string[]): Estimate {
  const { interval, ...rest } = estimate;
  if (interval && Number.isFinite(interval.high - interval.low)) return estimate;
  warnings.push(`too few subjects for an interval of ${name}: ${rest.df?.toPrecision(2)} df`);
  return rest;
}

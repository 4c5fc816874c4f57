import { itemAt, realAt } from "../../entry.js";
import type { Estimate } from "../estimate.js";
import { studentEstimate } from "../student.js";
import type { MixedCriterion, MixedSolution, RelativeFactor } from "./criterion.js";
import type { MixedDesign } from "./model-matrix.js";
import type { MixedReduction } from "./reduction.js";
import { satterthwaite } from "./satterthwaite.js";
import { freeEntries } from "./search.js";

/** Standard deviations of the random effects, outcome units (slope: per unit of its term). */
export interface RandomSpread {
  readonly interceptSd: number;
  readonly slopeSd?: number;
  /** Between intercepts and slopes; left out when a standard deviation is 0 or it is fixed at 0. */
  readonly correlation?: number;
}

/** One person's own line: fixed effects plus conditional modes. */
export interface SubjectLine {
  readonly subject: string;
  readonly intercept: number;
  readonly slope?: number;
  /** Conditional modes: this person's departure from the fixed effects. */
  readonly interceptDeviation: number;
  readonly slopeDeviation?: number;
}

/** Λ in the units of the caller's columns, relative to the residual SD of the scaled outcome. */
function unscaledFactor({ zScale, centre }: MixedDesign, theta: RelativeFactor) {
  const slopeRow = [itemAt(theta, 1) / zScale[1], itemAt(theta, 2) / zScale[1]] as const;
  const interceptRow = [
    itemAt(theta, 0) / zScale[0] - centre * slopeRow[0],
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

/** Rows of R⁻¹: each gives a fixed effect, times its column's scale, from the coefficients of Q. */
export function contrasts(design: MixedDesign): Float64Array[] {
  const p = design.names.length;
  const { r } = design;
  // Row j of R⁻¹ solves xᵀR = eⱼᵀ by forward substitution.
  return design.names.map((_, j) => {
    const row = new Float64Array(p);
    for (let k = j; k < p; k++) {
      let rest = k === j ? 1 : 0;
      for (let l = j; l < k; l++) rest -= realAt(row, l) * realAt(r, l * p + k);
      row[k] = rest / realAt(r, k * p + k);
    }
    return row;
  });
}

/** Value and standard error of each fixed effect, in the order of the names. */
export function fixedEffects(
  { fitted, scale, design }: MixedReduction,
  { gamma, covariance, sigma2 }: MixedSolution,
): { value: number; se: number }[] {
  const p = design.names.length;
  return contrasts(design).map((row, name) => {
    const unit = scale / realAt(design.columnScale, name);
    let value = 0;
    let variance = 0;
    for (let j = 0; j < p; j++) {
      value += realAt(row, j) * (realAt(fitted, j) + realAt(gamma, j));
      for (let k = 0; k < p; k++)
        variance += realAt(row, j) * realAt(covariance, j * p + k) * realAt(row, k);
    }
    return { value: unit * value, se: unit * Math.sqrt(sigma2 * variance) };
  });
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
  fixed: readonly { value: number }[],
): SubjectLine[] {
  const { interceptRow, slopeRow } = unscaledFactor(design, theta);
  return design.subjects.map((subject, i) => {
    const first =
      scale *
      (itemAt(theta, 0) * realAt(scores, 2 * i) + itemAt(theta, 1) * realAt(scores, 2 * i + 1));
    const second = scale * itemAt(theta, 2) * realAt(scores, 2 * i + 1);
    const interceptDeviation = plain(interceptRow[0] * first + interceptRow[1] * second);
    const intercept = itemAt(fixed, 0).value + interceptDeviation;
    if (!design.hasSlope) return { subject, intercept, interceptDeviation };
    const slopeDeviation = plain(slopeRow[0] * first + slopeRow[1] * second);
    const slope = itemAt(fixed, design.slopeIndex).value + slopeDeviation;
    return { subject, intercept, slope, interceptDeviation, slopeDeviation };
  });
}

/** A number that JSON keeps: 0 for −0. */
function plain(x: number): number {
  return 0 + x;
}

/** Fixed effects with t intervals on Satterthwaite degrees of freedom, and what to say of them. */
export function fixedEstimates(
  reduction: MixedReduction,
  criterion: MixedCriterion,
  theta: RelativeFactor,
  effects: { value: number; se: number }[],
  level: number,
) {
  const { design } = reduction;
  const free = freeEntries(design.hasSlope, design.correlated);
  const warnings: string[] = [];
  const satterthwaiteDf = satterthwaite(reduction, criterion, theta, free, contrasts(design));
  if (!satterthwaiteDf) {
    warnings.push(
      "the variances are too poorly determined for Satterthwaite degrees of freedom; " +
        "subjects − 1 are used",
    );
  }
  const method = satterthwaiteDf ? "t, Satterthwaite df" : "t, df = subjects − 1";
  const fixed = design.names.map((name, j) => {
    const df = satterthwaiteDf?.[j] ?? design.subjects.length - 1;
    const estimate = studentEstimate(
      itemAt(effects, j).value,
      itemAt(effects, j).se,
      df,
      level,
      method,
    );
    return [name, bounded(name, estimate, warnings)] as const;
  });
  return { fixed: Object.fromEntries(fixed), warnings };
}

/** Leaves out an interval that reaches to infinity: there are no subjects to tell the spread by. */
function bounded(name: string, estimate: Estimate, warnings: string[]): Estimate {
  const { interval, ...rest } = estimate;
  if (interval && Number.isFinite(interval.high - interval.low)) return estimate;
  warnings.push(`too few subjects for an interval of ${name}: ${rest.df?.toPrecision(2)} df`);
  return rest;
}

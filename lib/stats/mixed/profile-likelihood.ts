import { present, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { chiSquared } from "../../num/distributions.js";
import { findRoot } from "../../num/root.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen } from "../estimate.js";
import { confidenceLevel, shown } from "../input.js";
import { type MixedCriterion, mixedCriterion } from "./criterion.js";
import type { MixedFit } from "./mixed.js";
import { fixedCovariance, fixedEffects } from "./mixed-summary.js";
import { inOrder, mixedDesign } from "./model-matrix.js";
import {
  criterionAt,
  type HeldEffect,
  leastAlong,
  pointOf,
  type VariancePath,
  type VariancePoint,
} from "./profile-criterion.js";
import { heldPaths } from "./profile-paths.js";
import { type MixedReduction, reduceDesign, reduceOutcome } from "./reduction.js";
import { freeEntries, searchTheta } from "./search.js";

/** Profile-likelihood limits of every parameter of a mixed model. */
export interface MixedProfile {
  /** Name of the function that made this record. */
  readonly kind: "profileMixed";
  /** Fixed effects by name, with the ML value; in the unit of y, per unit of the term. */
  readonly fixed: Readonly<Record<string, Estimate>>;
  /** Standard deviations of the random effects and their correlation, in the units of the fit. */
  readonly random: {
    readonly interceptSd: Estimate;
    readonly slopeSd?: Estimate;
    /** Left out when a standard deviation is 0, or it is fixed at 0. */
    readonly correlation?: Estimate;
  };
  /** Standard deviation of the errors, in the unit of y. */
  readonly residualSd: Estimate;
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Profile-likelihood limits of the standard deviations, the correlation and the fixed effects of a
 * mixed model: the values at which −2 log-likelihood, least over everything else, exceeds its
 * minimum by the χ²(1) quantile of `level`.
 *
 * The likelihood is ML whatever the fit's method, and so are the values beside the limits: with few
 * subjects ML standard deviations are too small, and their limits somewhat too low. A limit on an
 * edge (0 for a standard deviation, ±1 for the correlation) is given as the edge. For standard
 * deviations and the correlation these limits hold better than those of bootstrapMixed with few
 * subjects; for fixed effects use the fit's own, by Satterthwaite or Kenward and Roger.
 *
 * @param fit a result of fitMixed, or the same after a trip through JSON
 * @throws InputError when `fit` is not such a result, or an option is unknown
 * @see Venzon, Moolgavkar (1988) Appl Stat 37:87–94; Bates, Mächler, Bolker, Walker (2015) J Stat
 *   Softw 67(1), sect. 5.1
 * @example profileMixed(fitMixed({ subject: ["a", "a", "b", "b", "c", "c"], y: [1, 3, 6, 8, 5, 9] })).random.interceptSd.interval.low // 0
 */
export function profileMixed(fit: MixedFit, options: { level?: number } = {}): MixedProfile {
  if (fit?.kind !== "fitMixed" || !fit.model) {
    throw new InputError({ expected: "a fit by fitMixed", got: shown(fit), where: "profileMixed" });
  }
  knownOptions(options, ["level"], "profileMixed");
  const level = confidenceLevel(options.level ?? fit.level, "profileMixed");
  const best = maximumLikelihood(fit);
  const limits = profileLimits(best, level);
  const method = "profile likelihood (ML)";
  const estimate = (value: number, [low, high]: Limits): Estimate => ({
    value,
    interval: { low, high, level, method },
  });
  const { scale, design } = best.reduction;
  const { l11, l21, l22, logSd } = best.point;
  const sd = scale * Math.exp(logSd);
  const slope = Math.hypot(l21, l22);
  const residual = limits.ofSd("residualSd", Math.exp(logSd));
  const intercept = limits.ofSd("interceptSd", l11 * Math.exp(logSd));
  const scaled = ([low, high]: Limits): Limits => [scale * low, scale * high];
  const withCorrelation = design.hasSlope && design.correlated && l11 > 0 && slope > 0;
  return frozen({
    kind: "profileMixed",
    fixed: Object.fromEntries(
      design.names.map((name, j) => [name, estimate(realAt(best.effects, j), limits.ofEffect(j))]),
    ),
    random: {
      interceptSd: estimate(sd * l11, scaled(intercept)),
      ...(design.hasSlope && {
        slopeSd: estimate(sd * slope, scaled(limits.ofSd("slopeSd", slope * Math.exp(logSd)))),
      }),
      ...(withCorrelation && {
        correlation: estimate(l21 / slope, limits.ofCorrelation(l21 / slope)),
      }),
    },
    residualSd: estimate(sd, scaled(residual)),
    level,
    method,
    warnings: fit.method === "REML" ? ["the fit is by REML; values and limits here are by ML"] : [],
  });
}

type Limits = readonly [low: number, high: number];

/** The ML fit of the same rows, in the units of the scaled outcome. */
interface BestFit {
  readonly reduction: MixedReduction;
  readonly criterion: MixedCriterion;
  readonly point: VariancePoint;
  readonly value: number;
  /** Fixed effects and their standard errors in the caller's units. */
  readonly effects: Float64Array;
  readonly errors: Float64Array;
}

function maximumLikelihood(fit: MixedFit): BestFit {
  const { subject, terms, coding, slope, correlated } = fit.model;
  const y = Float64Array.from(fit.fitted, (value, row) => value + present(fit.residuals[row]));
  const design = mixedDesign({ subject, terms, y }, { slope, correlated, coding });
  const reduction = reduceOutcome(reduceDesign(design), inOrder(y, design.order));
  const criterion = mixedCriterion(reduction, false);
  const { theta } = searchTheta(criterion, freeEntries(design.hasSlope, correlated));
  const solution = criterion.solve(theta);
  const point = pointOf(reduction, theta, solution.sigma2);
  const p = design.names.length;
  const covariance = fixedCovariance(reduction, solution);
  return {
    reduction,
    criterion,
    point,
    value: criterionAt(criterion, reduction, point).value,
    effects: fixedEffects(reduction, solution),
    errors: Float64Array.from(design.names, (_, j) => Math.sqrt(realAt(covariance, j * p + j))),
  };
}

/** How near a limit is found, relative to it. */
const LIMIT_TOLERANCE = 1e-9;

/** Limits of each parameter of one fit, by root search on its profile. */
function profileLimits(best: BestFit, level: number) {
  const { reduction, criterion, effects, errors } = best;
  const { design, scale, fitted } = reduction;
  const rise = chiSquared(1).quantile(level);
  const { paths, starts } = heldPaths(design, best.point);
  /** How far the profile lies above the line that a limit is on. */
  const above = (path: VariancePath, start: Float64Array, held?: HeldEffect) =>
    leastAlong(criterion, reduction, path, start, held).value - best.value - rise;

  const ofSd = (name: "residualSd" | "interceptSd" | "slopeSd", sd: number): Limits => {
    const rest = (at: number) => above(paths[name](at), starts[name]);
    // A standard deviation of 0 is searched from a tenth of the residual's.
    const high = outward(rest, sd, sd || Math.exp(best.point.logSd) / 10);
    if (sd === 0) return [0, high];
    let low = 0;
    if (name === "residualSd") {
      low = sd / 2;
      while (rest(low) < 0) low /= 2;
    } else if (rest(0) <= 0) return [0, high];
    return [findRoot(rest, low, sd, { tolerance: LIMIT_TOLERANCE }), high];
  };

  const ofCorrelation = (r: number): Limits => {
    const rest = (at: number) => above(paths.correlation(at), starts.correlation);
    const limit = (edge: number) => {
      if (Math.abs(r - edge) < 1e-9 || rest(edge) <= 0) return edge;
      return findRoot(rest, r, edge, { tolerance: LIMIT_TOLERANCE });
    };
    return [limit(-1), limit(1)];
  };

  const ofEffect = (effect: number): Limits => {
    const p = design.names.length;
    const weights = design.back.slice(effect * p, (effect + 1) * p);
    const offset = weights.reduce((sum, weight, j) => sum + weight * realAt(fitted, j), 0);
    const rest = (at: number) =>
      above(paths.none, starts.none, { weights, sum: at / scale - offset });
    const value = realAt(effects, effect);
    const reach = 2 * realAt(errors, effect);
    return [outward(rest, value, -reach), outward(rest, value, reach)];
  };
  return { ofSd, ofCorrelation, ofEffect };
}

/** The limit beyond a value: steps that double until the profile is above, then a root. */
function outward(above: (at: number) => number, from: number, step: number): number {
  let reach = step;
  for (let doubled = 0; above(from + reach) < 0 && doubled < 60; doubled++) reach *= 2;
  return findRoot(above, from, from + reach, { tolerance: LIMIT_TOLERANCE });
}

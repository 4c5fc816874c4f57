import { realAt } from "../../entry.js";
import { fromRows, quadratic } from "../../num/matrix.js";
import type { Estimate } from "../estimate.js";
import { tEstimate } from "../t-estimate.js";
import { type FixedInference, type MatrixRows, satterthwaiteDf } from "./inference.js";

/** How the degrees of freedom of a combination of fixed effects are found. */
export type DfMethod = "satterthwaite" | "kenward-roger";

/** Fixed effects with what their uncertainty is made of. */
export interface FixedPart {
  /** Fixed effects in the order of their names, unit of y. */
  readonly values: Float64Array;
  /** Covariance matrix of these values. */
  readonly covariance: MatrixRows;
  /** What degrees of freedom of their contrasts are computed from. */
  readonly inference: FixedInference;
  /** Used where the precision of the variances is unknown. */
  readonly spareDf: number;
}

/**
 * A weighted sum of fixed effects with its t interval. By Kenward and Roger's method its standard
 * error allows for the estimation of the variances.
 *
 * @see Giesbrecht, Burns (1985) Biometrics 41:477–486; Kenward, Roger (1997) Biometrics 53:983–997
 */
export function fixedEstimate(
  { values, covariance, inference, spareDf }: FixedPart,
  weights: Float64Array,
  method: DfMethod,
  level: number,
): Estimate {
  const value = weights.reduce((sum, weight, j) => sum + weight * realAt(values, j), 0);
  const { satterthwaite, kenwardRoger } = inference;
  const ordinary = Math.sqrt(Math.max(0, quadratic(fromRows(covariance), weights)));
  if (method === "kenward-roger" && kenwardRoger) {
    const se = Math.sqrt(quadratic(fromRows(kenwardRoger.covariance), weights));
    const df = satterthwaiteDf(covariance, kenwardRoger, weights);
    return tEstimate(value, se, df, level, "t, Kenward–Roger");
  }
  if (method === "satterthwaite" && satterthwaite) {
    const df = satterthwaiteDf(covariance, satterthwaite, weights);
    return tEstimate(value, ordinary, df, level, "t, Satterthwaite df");
  }
  return tEstimate(value, ordinary, spareDf, level, "t, df of subjects");
}

import type { FixedInference } from "./inference.js";

/** What every model that is fitted by REML or ML says of its fit. */
export interface ModelFit {
  /**
   * Logarithm of the likelihood at the estimates (the restricted one under REML), with all
   * constants.
   */
  readonly logLikelihood: number;
  /** −2 log-likelihood (REML or ML) with all constants; REML without log|XᵀX|. */
  readonly criterion: number;
  /** Number of parameters: fixed effects, variances and covariances. */
  readonly parameters: number;
  /** What the model gives for each row, in the order of the rows given; unit of y. */
  readonly fitted: readonly number[];
  /** y − fitted, in the order of the rows given; unit of y. */
  readonly residuals: readonly number[];
  /** What contrasts and joint tests need beside `fixed` and `covariance`. */
  readonly inference: FixedInference;
  /** Some variance or correlation is on the edge of what it can be; a warning names it. */
  readonly singular: boolean;
  /** Whether the search for the estimates settled. */
  readonly converged: boolean;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

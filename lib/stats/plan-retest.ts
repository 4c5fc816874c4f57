import { InputError } from "../errors.js";
import { chiSquared } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen } from "./estimate.js";
import { confidenceLevel, nonNegative, shown, wholeNumber } from "./input.js";
import { positive, smallest } from "./plan-search.js";

/** Number of people for a reliability study. */
export interface RetestPlan {
  /** Name of the function that made this record. */
  readonly kind: "planRetest";
  /** People. */
  readonly n: number;
  /** (n − 1)(trials − 1). */
  readonly df: number;
  /** Limits of the typical error divided by its estimate. */
  readonly lowFactor: number;
  /** Upper limit of the typical error divided by its estimate. */
  readonly highFactor: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Number of people in a retest study, so that the typical error is known well enough.
 *
 *   the limits of a typical error are estimate · √(df/χ²), df = (n − 1)(trials − 1);
 *   smallest n whose upper limit is at most `factor` times the estimate
 *
 * @param design trials per person (2 or more); `factor` above 1, such as 1.5; level, default 0.95
 * @returns a whole number of people
 * @throws InputError when trials is not a whole number of at least 2, the factor is not above 1, or
 *   level is not between 0 and 1
 * @see Hopkins (2000) Sports Med 30:1–15
 * @example planRetest({ trials: 2, factor: 1.5 }).n // 18
 */
export function planRetest(design: {
  readonly trials: number;
  readonly factor: number;
  readonly level?: number;
}): RetestPlan {
  const where = "planRetest";
  knownOptions(design, ["trials", "factor", "level"], where);
  const { trials, factor, level = 0.95 } = design;
  wholeNumber(trials, `${where}, trials`, 2);
  confidenceLevel(level, where);
  if (!(positive(factor, where, "factor") > 1)) {
    const expected = "a factor above 1, such as 1.5";
    throw new InputError({ expected, got: shown(factor), where: `${where}, factor` });
  }
  const df = (n: number) => (n - 1) * (trials - 1);
  const limit = (n: number, p: number) => Math.sqrt(df(n) / chiSquared(df(n)).quantile(p));
  const n = smallest((size) => limit(size, (1 - level) / 2) <= factor, where);
  return frozen({
    kind: "planRetest" as const,
    n,
    df: df(n),
    lowFactor: limit(n, (1 + level) / 2),
    highFactor: limit(n, (1 - level) / 2),
    method: `χ² limits of the error SD, level ${level}`,
  });
}

/**
 * Design effect: how many times more people are needed when they come in clusters (clubs, teams,
 * several results per person) that are treated or sampled as a whole.
 *
 *   1 + (size − 1) · icc,  with sizes that vary 1 + ((cv² + 1) · size − 1) · icc
 *
 * @param design mean size of a cluster; icc of the outcome within clusters; cv: SD of the sizes /
 *   their mean, default 0
 * @returns a factor: people needed = people for independent sampling × factor
 * @throws InputError when size is below 1, icc is not between 0 and 1, or cv is negative
 * @see Donner & Klar (2000) Design and Analysis of Cluster Randomization Trials, ch. 5; Eldridge,
 *   Ashby & Kerry (2006) Int J Epidemiol 35:1292–1300
 * @example designEffect({ size: 20, icc: 0.02, cv: 0.4 }) // 1.444
 */
export function designEffect(design: {
  readonly size: number;
  readonly icc: number;
  readonly cv?: number;
}): number {
  const where = "designEffect";
  knownOptions(design, ["size", "icc", "cv"], where);
  const { size, icc, cv = 0 } = design;
  if (!(positive(size, where, "size") >= 1)) {
    const expected = "a mean cluster size of at least 1";
    throw new InputError({ expected, got: shown(size), where: `${where}, size` });
  }
  if (typeof icc !== "number" || !(icc >= 0 && icc <= 1)) {
    const expected = "an intraclass correlation from 0 to 1";
    throw new InputError({ expected, got: shown(icc), where: `${where}, icc` });
  }
  nonNegative(cv, `${where}, cv`);
  return 1 + ((cv ** 2 + 1) * size - 1) * icc;
}

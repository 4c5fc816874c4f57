import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { chiSquared } from "../num/distributions.js";
import { largest } from "../num/vector.js";
import { type Estimate, frozen } from "./estimate.js";
import { shown } from "./input.js";
import type { ModelFit } from "./mixed/model-fit.js";

/** A fit by maximum likelihood, of fitMixed or fitVisits. */
export interface LikelihoodFit
  extends Pick<ModelFit, "logLikelihood" | "parameters" | "method" | "fitted" | "residuals"> {
  /** Name of the function that fitted the model. */
  readonly kind: string;
  /** Number of rows. */
  readonly n: number;
  /** Fixed effects by name. */
  readonly fixed: Readonly<Record<string, Estimate>>;
}

/** A likelihood-ratio test. */
export interface FitComparison {
  /** Name of the function that made this record. */
  readonly kind: "compareFits";
  /** Twice the difference of the log-likelihoods, larger − smaller. */
  readonly statistic: number;
  /** Parameters of the larger model that the smaller lacks. */
  readonly df: number;
  /** p of the χ² statistic: probability of one as large if the smaller model is true. */
  readonly p: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** A larger model's likelihood may fall below a smaller one's by this much, from rounding alone. */
const ROUNDING = 1e-6;

/**
 * Likelihood-ratio test of two nested fits of the same rows: twice the difference of the
 * log-likelihoods against χ² with as many degrees of freedom as the larger has parameters more.
 *
 * Fixed effects are compared between fits by "ML" only: REML likelihoods of different fixed effects
 * are of different data. With few people the test rejects too often: for fixed effects jointTest by
 * Kenward and Roger holds its level. Where the larger model adds a variance, 0 is at the edge of
 * what it can be and p is up to twice too large.
 *
 * @param smaller a fit of fitMixed or fitVisits
 * @param larger a fit of the same function to the same rows, with the smaller's fixed effects and more
 * @throws InputError for fits of different rows, methods or functions, REML fits with different
 *   fixed effects, or a smaller fit that is not part of the larger
 * @see Self, Liang (1987) J Am Stat Assoc 82:605–610 for variances; Pinheiro, Bates (2000)
 *   Mixed-Effects Models in S and S-PLUS, sect. 2.4
 * @example compareFits(fitMixed({ subject: ["a", "a", "b", "b", "c", "c"], y: [1, 3, 6, 8, 5, 9] }, { method: "ML" }), fitMixed({ subject: ["a", "a", "b", "b", "c", "c"], y: [1, 3, 6, 8, 5, 9], terms: { week: [0, 1, 0, 1, 0, 1] } }, { method: "ML" })).df // 1
 */
export function compareFits(smaller: LikelihoodFit, larger: LikelihoodFit): FitComparison {
  for (const [name, fit] of [
    ["smaller", smaller],
    ["larger", larger],
  ] as const)
    checkFit(fit, name);
  checkSame(smaller, larger);
  const smallerNames = Object.keys(smaller.fixed);
  const more = Object.keys(larger.fixed).filter((name) => !smallerNames.includes(name));
  checkNested(smaller, larger, smallerNames, more);
  const df = larger.parameters - smaller.parameters;
  const gain = larger.logLikelihood - smaller.logLikelihood;
  if (gain < -ROUNDING) {
    const expected = "a larger fit with the higher likelihood, as nested fits have";
    throw new InputError({ expected, got: `${gain} below the smaller's`, where: "compareFits" });
  }
  const statistic = Math.max(0, 2 * gain);
  const variances = df - more.length;
  return frozen({
    kind: "compareFits",
    statistic,
    df,
    p: chiSquared(df).upper(statistic),
    method: `likelihood ratio, ${larger.method}`,
    warnings:
      variances > 0
        ? [
            `the larger model has ${variances} more variance parameters. Where one is a variance, ` +
              "0 is the edge of what it can be, and p is up to twice too large",
          ]
        : [],
  } as const);
}

function checkFit(fit: LikelihoodFit, name: string): void {
  if (fit !== null && typeof fit === "object" && "logLikelihood" in fit && "fixed" in fit) return;
  const expected = "a fit of fitMixed or fitVisits";
  throw new InputError({ expected, got: shown(fit), where: `compareFits, ${name}` });
}

function checkSame(smaller: LikelihoodFit, larger: LikelihoodFit): void {
  const refuse = (expected: string, got: string) => {
    throw new InputError({ expected, got, where: "compareFits" });
  };
  if (smaller.kind !== larger.kind) {
    refuse("two fits of one function", `${smaller.kind} and ${larger.kind}`);
  }
  if (smaller.method !== larger.method) {
    refuse("two fits by one method", `${smaller.method} and ${larger.method}`);
  }
  if (smaller.n !== larger.n) refuse("fits of the same rows", `${smaller.n} and ${larger.n} rows`);
  const outcome = ({ fitted, residuals }: LikelihoodFit) =>
    Float64Array.from(fitted, (value, row) => value + (residuals[row] ?? 0));
  const [one, other] = [outcome(smaller), outcome(larger)];
  const apart = one.map((value, row) => value - realAt(other, row));
  if (largest(apart) > 1e-9 * largest(one)) refuse("fits of one outcome", "two that differ");
}

function checkNested(
  smaller: LikelihoodFit,
  larger: LikelihoodFit,
  smallerNames: readonly string[],
  more: readonly string[],
): void {
  const lost = smallerNames.filter((name) => !Object.hasOwn(larger.fixed, name));
  if (lost.length > 0) {
    const expected = "a larger fit with every fixed effect of the smaller";
    throw new InputError({ expected, got: `none of ${lost.join(", ")}`, where: "compareFits" });
  }
  if (more.length > 0 && larger.method === "REML") {
    const expected = 'fits by "ML" where fixed effects differ';
    throw new InputError({ expected, got: `"REML" and ${more.join(", ")}`, where: "compareFits" });
  }
  if (larger.parameters > smaller.parameters) return;
  const expected = "a larger fit with more parameters";
  const got = `${smaller.parameters} and ${larger.parameters}`;
  throw new InputError({ expected, got, where: "compareFits" });
}

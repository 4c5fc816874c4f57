import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { studentisedRange } from "../num/studentised-range.js";
import { nearestName } from "../options.js";
import { type ContrastOptions, contrastOptions } from "./contrast.js";
import { type Estimate, frozen } from "./estimate.js";
import { fitEffects } from "./fit-effects.js";
import { oneOf, shown } from "./input.js";
import type { LinearFit } from "./linear-model.js";
import type { MixedFit } from "./mixed/mixed.js";
import { adjustP } from "./multiplicity.js";
import type { ModelTerm, ModelTerms } from "./terms.js";

/** Options of `adjustedMeans`: where the other terms are held, and how intervals are made. */
export interface AdjustedMeansOptions extends ContrastOptions {
  /**
   * Where the other terms are held: a number for a column of numbers, a label for a column of
   * labels. Unless given: a column of numbers at its mean, labels at equal weights.
   */
  readonly at?: Readonly<Record<string, number | string>>;
}

/** How the p values and intervals of all pairs allow for their number. */
export type PairAdjustment = "tukey" | "holm" | "none";

/** Options of `pairwise`: those of the means, and how p values are adjusted. */
export interface PairwiseOptions extends AdjustedMeansOptions {
  /** "tukey" unless given. */
  readonly adjust?: PairAdjustment;
}

/** Two labels of a term compared. */
export interface PairDifference {
  /** Label whose mean stands first. */
  readonly first: string;
  /** Label whose mean is subtracted. */
  readonly second: string;
  /** first − second, in the unit of y. */
  readonly difference: Estimate;
}

/** A fit whose terms can be averaged over: ordinary least squares, or a mixed model. */
export type TermFit = LinearFit | MixedFit;

/**
 * Mean of y for each label of a term, the other terms being equal: columns of numbers at their
 * means, other labels with equal weights, unless `at` holds them elsewhere.
 *
 * @param fit a fit of fitLinear or fitMixed with an intercept or not, also after a trip through JSON
 * @param term a term of labels
 * @returns one estimate per label, the reference first, in the unit of y
 * @throws InputError when `term` is no term of labels, or `at` holds a term that there is not, the
 *   term itself, or a value that is no label or number
 * @see Searle, Speed, Milliken (1980) Am Stat 34:216–221
 * @example adjustedMeans(fitLinear({ y: [1, 2, 4, 6], terms: { arm: ["a", "a", "b", "b"] } }), "arm").b.value // 5
 */
export function adjustedMeans(
  fit: TermFit,
  term: string,
  options: AdjustedMeansOptions = {},
): Readonly<Record<string, Estimate>> {
  const where = "adjustedMeans";
  contrastOptions(options, ["at"], where);
  const effects = fitEffects(fit, options.df, where);
  const level = options.level ?? effects.level;
  const rows = meanRows(fit, term, options.at ?? {}, where);
  return frozen(
    Object.fromEntries(rows.map(({ label, row }) => [label, effects.estimate(row, level)])),
  );
}

/**
 * Differences between all pairs of labels of a term, the other terms being equal.
 *
 * "tukey": p from the studentised range of that many means, on each difference's own degrees of
 * freedom, and simultaneous intervals; exact for equal variances of all differences, a little
 * careful otherwise. "holm": p by Holm's steps, without intervals, for which the steps have none.
 * "none": each difference by itself; with three labels that is three chances of a false positive.
 *
 * @param fit a fit of fitLinear or fitMixed
 * @param term a term of labels
 * @returns one record per pair, later label − earlier label, the reference being the first; unit of y
 * @throws InputError as adjustedMeans
 * @see Tukey (1953) The problem of multiple comparisons; Kramer (1956) Biometrics 12:307–310; Holm
 *   (1979) Scand J Stat 6:65–70
 * @example pairwise(fitLinear({ y: [1, 2, 4, 6, 5, 9], terms: { arm: ["a", "a", "b", "b", "c", "c"] } }), "arm")[0].difference.p // 0.29051
 */
export function pairwise(
  fit: TermFit,
  term: string,
  options: PairwiseOptions = {},
): readonly PairDifference[] {
  const where = "pairwise";
  contrastOptions(options, ["at", "adjust"], where);
  const { adjust = "tukey" } = options;
  oneOf(adjust, ["tukey", "holm", "none"], `${where}, adjust`);
  const effects = fitEffects(fit, options.df, where);
  const level = options.level ?? effects.level;
  const means = meanRows(fit, term, options.at ?? {}, where);
  const pairs = means.flatMap((second, i) =>
    means.slice(i + 1).map((first) => {
      const row = first.row.map((weight, j) => weight - (second.row[j] ?? 0));
      const difference = effects.estimate(row, level);
      return { first: first.label, second: second.label, difference };
    }),
  );
  if (adjust === "none") return frozen(pairs);
  if (adjust === "holm") return frozen(holmPairs(pairs));
  return frozen(
    pairs.map((pair) => ({
      ...pair,
      difference: tukeyEstimate(pair.difference, means.length, level),
    })),
  );
}

/** Without intervals. A fit without any error has no p to adjust: its differences are certain. */
function holmPairs(pairs: readonly PairDifference[]): PairDifference[] {
  const adjusted = adjustP(pairs.map(({ difference }) => difference.p ?? 1));
  return pairs.map(({ difference, ...pair }, i) => {
    const { interval: _, p, ...rest } = difference;
    return {
      ...pair,
      difference: { ...rest, ...(p !== undefined && { p: itemAt(adjusted, i) }) },
    };
  });
}

function tukeyEstimate(estimate: Estimate, labels: number, level: number): Estimate {
  const { value, se, df, statistic } = estimate;
  if (se === undefined || df === undefined || statistic === undefined) return estimate;
  const range = studentisedRange(labels, df);
  const half = (range.quantile(level) / Math.SQRT2) * se;
  const method = `Tukey, ${labels} labels; ${present(estimate.interval).method}`;
  return {
    ...estimate,
    p: range.upper(Math.SQRT2 * Math.abs(statistic)),
    interval: { low: value - half, high: value + half, level, method },
  };
}

/** Weights on the coefficients that give the mean of each label of a term. */
function meanRows(
  fit: TermFit,
  term: string,
  at: Readonly<Record<string, number | string>>,
  where: string,
): { label: string; row: Float64Array }[] {
  const model = fit.terms;
  if (!model || !Array.isArray(model.terms)) {
    const expected = "a fit of fitLinear or fitMixed";
    throw new InputError({ expected, got: shown(fit), where: `${where}, fit` });
  }
  const asked = termNamed(model, term, where);
  if (!("levels" in asked)) {
    const expected = `a term of labels; ${term} is a column of numbers`;
    throw new InputError({ expected, got: shown(term), where: `${where}, term` });
  }
  const held = heldAt(model, term, at, where);
  return asked.levels.map((label) => ({
    label,
    row: meanRow(model, fit.covariance.names, new Map(held).set(term, label)),
  }));
}

function termNamed({ terms }: ModelTerms, name: string, where: string): ModelTerm {
  const found = terms.find((term) => term.name === name);
  if (found) return found;
  const names = terms.map((term) => term.name);
  const near = typeof name === "string" ? nearestName(name, names) : undefined;
  const expected = near === undefined ? `a term (${names.join(", ")})` : `the term ${near}`;
  throw new InputError({ expected, got: shown(name), where: `${where}, term` });
}

function heldAt(
  model: ModelTerms,
  term: string,
  at: Readonly<Record<string, number | string>>,
  where: string,
): Map<string, number | string> {
  const held = new Map<string, number | string>();
  for (const [name, value] of Object.entries(at)) {
    const found = termNamed(model, name, `${where}, at`);
    const place = `${where}, at.${name}`;
    if (name === term) {
      throw new InputError({
        expected: "another term than the one asked about",
        got: name,
        where: place,
      });
    }
    if ("levels" in found) {
      if (typeof value !== "string" || !found.levels.includes(value)) {
        const expected = `a label of ${name} (${found.levels.join(", ")})`;
        throw new InputError({ expected, got: shown(value), where: place });
      }
    } else if (typeof value !== "number" || !Number.isFinite(value)) {
      throw new InputError({ expected: "a finite number", got: shown(value), where: place });
    }
    held.set(name, value);
  }
  return held;
}

interface WeightedPart {
  readonly name: string;
  readonly weight: number;
}

/** What each column made from a term is on average: its value, or the share of each label. */
function partsOf(term: ModelTerm, held: number | string | undefined): WeightedPart[] {
  const { name } = term;
  if (!("levels" in term)) return [{ name, weight: typeof held === "number" ? held : term.mean }];
  return term.levels.map((label) => ({
    name: `${name}:${label}`,
    weight: held === undefined ? 1 / term.levels.length : Number(held === label),
  }));
}

function meanRow(
  { terms, interactions, intercept }: ModelTerms,
  names: readonly string[],
  held: ReadonlyMap<string, number | string>,
): Float64Array {
  const parts = new Map(terms.map((term) => [term.name, partsOf(term, held.get(term.name))]));
  const products = interactions.flatMap((list) =>
    list
      .map((name) => present(parts.get(name)))
      .reduce((left, right) =>
        left.flatMap((one) =>
          right.map((other) => ({
            name: `${one.name} × ${other.name}`,
            weight: one.weight * other.weight,
          })),
        ),
      ),
  );
  const all = [
    ...(intercept ? [{ name: "intercept", weight: 1 }] : []),
    ...parts.values(),
    products,
  ];
  const weights = new Map(all.flat().map(({ name, weight }) => [name, weight]));
  // Labels coded by 0 throughout, such as a reference, have no coefficient.
  return Float64Array.from(names, (name) => weights.get(name) ?? 0);
}

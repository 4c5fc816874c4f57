import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../estimate.js";
import { nonNegative, shown, wholeNumber } from "../input.js";
import { RESIDUAL } from "./component-groups.js";
import type { VarianceComponentsFit } from "./components.js";

/** What a component must say of itself. */
export interface ComponentSize {
  /** Square of the unit of the measurement. */
  readonly variance: number;
  /** Names of the groups that it is nested in; `fitVarianceComponents` finds them in the data. */
  readonly within?: readonly string[];
  /** It adds no levels of its own to those of the groups in `within`. */
  readonly interaction?: boolean;
}

/** The measurement that is planned: whom it tells apart, and over how many levels it averages. */
export interface GeneralisabilityDesign {
  /** Name of the component of the people, whom the measurement is to tell apart. */
  readonly person: string;
  /** Number of levels of each facet that are averaged: { day: 2, trial: 3 } is 3 trials on each of 2 days. */
  readonly trials: Readonly<Record<string, number>>;
}

/** How dependable a mean over several days, trials or raters is. */
export interface Generalisability {
  /** Name of the function that made this record. */
  readonly kind: "generalisability";
  /** person ÷ (person + relative error): for ranking people or comparing their changes. */
  readonly g: number;
  /** person ÷ (person + absolute error): for holding a value against a fixed limit. */
  readonly phi: number;
  /** Standard error of a person's mean beside other people's; unit of the measurement. */
  readonly typicalErrorRelative: number;
  /** Standard error of a person's mean as a value of its own; unit of the measurement. */
  readonly typicalErrorAbsolute: number;
  /** Variance between people; square of the unit. */
  readonly personVariance: number;
  /** Error variance when people are compared with each other; square of the unit. */
  readonly relativeVariance: number;
  /** Error variance of a value by itself; square of the unit. */
  readonly absoluteVariance: number;
  /** Number of levels of each facet, as given. */
  readonly trials: Readonly<Record<string, number>>;
  /** By how many levels each component is divided, and whether it counts as relative error. */
  readonly parts: readonly {
    readonly name: string;
    readonly dividedBy: number;
    readonly relative: boolean;
  }[];
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * How far the mean of a number of trials tells people apart, from variance components: a decision
 * study. Each component but that of the people is divided by the number of levels that are averaged,
 * the residual by the number of trials in all. Relative error is made of the components that differ
 * between people (their interactions "person:day", groups nested in them, the residual); absolute
 * error of all of them:
 *
 *   G = person ÷ (person + relative error), Φ = person ÷ (person + absolute error).
 *
 * The components come from every row there is, so that one lost trial costs one row and not a
 * golfer. Ask again with other counts to see what more days or trials would bring.
 *
 * Units: G and Φ have none; typical errors in the unit of the measurement.
 *
 * @param components a fit of `fitVarianceComponents`, its `components`, or a record of variances by
 *   name with a "residual"; a name with colons is an interaction of the groups it names
 * @param design name of the people's component, and the number of levels of each facet; a facet
 *   that is no component (trials within a day) divides the residual alone
 * @throws InputError for a missing component of the people or residual, a facet without its number,
 *   or a number that is not whole and positive
 * @see Brennan (2001) Generalizability theory, ch. 1 and 4; Shavelson, Webb (1991) Generalizability
 *   theory: a primer
 * @example generalisability(fitVarianceComponents({ y: [52, 53, 61, 60, 47], groups: { person: ["a", "a", "b", "b", "c"] } }), { person: "person", trials: { trial: 2 } }).g // 0.99455…
 */
export function generalisability(
  components: VarianceComponentsFit | Readonly<Record<string, ComponentSize>>,
  design: GeneralisabilityDesign,
): Generalisability {
  const where = "generalisability";
  knownOptions(design, ["person", "trials"], where);
  const sizes = sizesOf(components, where);
  const { person, trials } = design;
  const people = sizes.get(person);
  const residual = sizes.get(RESIDUAL);
  if (!people || !residual || person === RESIDUAL) {
    throw new InputError({
      expected: `components of "${person}" and "${RESIDUAL}"`,
      got: [...sizes.keys()].join(", ") || "none",
      where: `${where}, components`,
    });
  }
  const counts = countsOf(trials, where);
  const all = [...counts.values()].reduce((product, count) => product * count, 1);
  const parts = [...sizes]
    .filter(([name]) => name !== person)
    .map(([name, { variance }]) => {
      if (name === RESIDUAL) return { name, variance, dividedBy: all, relative: true };
      const facets = groupsIn(name, sizes);
      const relative = facets.delete(person);
      return { name, variance, dividedBy: levelsOf(facets, counts, where), relative };
    });
  const sum = (list: typeof parts) =>
    list.reduce((total, { variance, dividedBy }) => total + variance / dividedBy, 0);
  const relativeVariance = sum(parts.filter(({ relative }) => relative));
  const absoluteVariance = sum(parts);
  const personVariance = people.variance;
  const share = (error: number) =>
    personVariance === 0 ? 0 : personVariance / (personVariance + error);
  return frozen({
    kind: "generalisability",
    ...{ g: share(relativeVariance), phi: share(absoluteVariance) },
    typicalErrorRelative: Math.sqrt(relativeVariance),
    typicalErrorAbsolute: Math.sqrt(absoluteVariance),
    ...{ personVariance, relativeVariance, absoluteVariance },
    trials: Object.fromEntries(counts),
    parts: parts.map(({ name, dividedBy, relative }) => ({ name, dividedBy, relative })),
    warnings:
      personVariance === 0
        ? [
            `the variance of ${person} is 0: these data show no difference between people, so G and Φ are 0`,
          ]
        : [],
  } as const);
}

function sizesOf(
  components: VarianceComponentsFit | Readonly<Record<string, ComponentSize>>,
  where: string,
): Map<string, ComponentSize> {
  const record = isFit(components) ? components.components : components;
  if (record === null || typeof record !== "object") {
    const expected = "variance components by name";
    throw new InputError({ expected, got: shown(record), where: `${where}, components` });
  }
  for (const [name, size] of Object.entries(record)) {
    nonNegative(size?.variance, `${where}, components.${name}`);
  }
  return new Map(Object.entries(record));
}

function isFit(
  components: VarianceComponentsFit | Readonly<Record<string, ComponentSize>>,
): components is VarianceComponentsFit {
  return components !== null && components?.kind === "fitVarianceComponents";
}

function countsOf(trials: Readonly<Record<string, number>>, where: string): Map<string, number> {
  if (trials === null || typeof trials !== "object" || Object.keys(trials).length === 0) {
    const expected = "the number of levels of each facet, such as { trial: 3 }";
    throw new InputError({ expected, got: shown(trials), where: `${where}, trials` });
  }
  return new Map(
    Object.entries(trials).map(([facet, count]) => [
      facet,
      wholeNumber(count, `${where}, trials.${facet}`),
    ]),
  );
}

/** The groups that a component speaks of: those it names, and those that hold it whole. */
function groupsIn(name: string, sizes: ReadonlyMap<string, ComponentSize>): Set<string> {
  const { within = [], interaction = false } = sizes.get(name) ?? {};
  return new Set((interaction ? within : [name, ...within]).flatMap((one) => one.split(":")));
}

function levelsOf(
  facets: ReadonlySet<string>,
  counts: ReadonlyMap<string, number>,
  where: string,
): number {
  let product = 1;
  for (const facet of facets) {
    const count = counts.get(facet);
    if (count === undefined) {
      const expected = `a number of levels for ${facet}`;
      const got = [...counts.keys()].join(", ");
      throw new InputError({ expected, got: `only ${got}`, where: `${where}, trials` });
    }
    product *= count;
  }
  return product;
}

import { itemAt, present, wholeAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { armEffects, effectCombinations } from "./arm-effect.js";
import { medianOf } from "./describe.js";
import { frozen, type Interval, type Labels, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, numbers, requiredSeed, sameLength, shown } from "./input.js";
import {
  type DataVariant,
  type DrawnEffect,
  drawnEffects,
  effectsOf,
  jointP,
  mediansWithoutEach,
} from "./specification-draws.js";

/** One person per row: who, in which arm, and both measurements, positive and in one unit. */
export interface SpecifiedColumns {
  /** Whose row each is. */
  readonly participant: Labels;
  /** First measurement, any unit. */
  readonly before: Numbers;
  /** Second measurement, same unit. */
  readonly after: Numbers;
  /** Arm of each person: the reference and one other. */
  readonly arm: Labels;
}

/** A choice by the name of what was chosen: data choices, then scale, adjust and centre. */
export type Choice = Readonly<Record<string, string>>;

/** What a specification curve is made from: columns by choice, and the planned choice. */
export interface SpecificationInput {
  /** Choices about the data, such as `{ rule: ["mean3", "max3"] }`; every combination is tried. */
  readonly data: Readonly<Record<string, readonly string[]>>;
  /** The columns under one combination of the data choices. */
  readonly columns: (choice: Choice) => SpecifiedColumns;
  /** The arm that the other is compared with. */
  readonly reference: string;
  /** The combination that the plan named before the data were seen. */
  readonly planned: Choice;
}

/** Options of `specificationCurve`. */
export interface SpecificationOptions {
  /** Resamples of each specification, and shuffles of the arms; 2000 unless given. */
  readonly resamples?: number;
  /** Whole number from 0 up that fixes the draws. */
  readonly seed: number;
  /** Confidence level of the intervals, 0.95 unless given. */
  readonly level?: number;
}

/** The effect under one combination of choices. */
export interface Specification {
  /** Option taken of each choice, by name. */
  readonly choice: Choice;
  /** Effect in percent. */
  readonly value: number;
  /** Bootstrap interval of the effect, in percent. */
  readonly interval: Interval;
  /** People that this combination uses. */
  readonly n: number;
  /** Whether it is the combination of the plan. */
  readonly planned: boolean;
}

/** One effect under every defensible combination of choices. */
export interface SpecificationCurve {
  /** Name of the function that made this record. */
  readonly kind: "specificationCurve";
  /** Every combination, in order of its value. */
  readonly specifications: readonly Specification[];
  /** Place of the planned one in that order. */
  readonly planned: number;
  /** Median effect over the combinations, in percent. */
  readonly median: number;
  /** Combinations that differ in their people, their values or their effect; the rest repeat them. */
  readonly distinct: number;
  /** Share of combinations on the side of the median, and share of those with zero outside. */
  readonly sameSign: number;
  /** Share of combinations whose interval excludes zero on the side of the median. */
  readonly excludingZero: number;
  /**
   * Share of shuffles of the arms whose median effect is at least as far from zero as the one
   * seen, the data counted as one of them.
   */
  readonly jointP: number;
  /** People in any combination. */
  readonly n: number;
  /** Resamples of each combination, and shuffles of the arms. */
  readonly resamples: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

const where = "specificationCurve";

/**
 * Specification curve of a two-arm comparison: the effect in percent under every combination of
 * the data choices given and of scale (raw, log), adjustment (change, baseline) and centre (mean,
 * trimmed mean, median), each with a percentile bootstrap interval drawn within arms (one set of
 * draws per combination of the data choices), the planned
 * one marked. All combinations are tried again on arms shuffled between people to ask how often
 * chance alone moves their median this far.
 *
 * @returns effects in percent, arm − reference
 * @throws InputError when there are not two arms, a value is not positive, a person appears twice
 *   in one combination or in two arms, or `planned` is none of the combinations
 * @see Simonsohn, Simmons, Nelson (2020) Nature Human Behaviour 4:1208–1214
 * @example specificationCurve({ data: { rule: ["mean"] }, columns: () => ({ participant: ["a", "b", "c", "d"], before: [40, 42, 41, 43], after: [44, 46, 41, 43], arm: ["t", "t", "c", "c"] }), reference: "c", planned: { rule: "mean", scale: "raw", adjust: "change", centre: "mean" } }, { resamples: 99, seed: 1 }).specifications.length // 12
 */
export function specificationCurve(
  input: SpecificationInput,
  options: SpecificationOptions,
): SpecificationCurve {
  knownOptions(input, ["data", "columns", "reference", "planned"], where);
  knownOptions(options, ["resamples", "seed", "level"], "specificationCurve");
  const { resamples = 2000, level = 0.95 } = options ?? {};
  const seed = requiredSeed(options?.seed, where);
  confidenceLevel(level, where);
  if (!Number.isSafeInteger(resamples) || resamples < 20) {
    refuse("20 resamples or more", shown(resamples), "resamples");
  }
  const { variants, arms } = prepare(input);
  const drawn: DrawnEffect[][] = [];
  for (const one of variants) {
    // A choice that touches no value of this outcome repeats a result; it is not drawn anew.
    drawn.push(drawn[one.like] ?? drawnEffects(one, { resamples, seed, level }));
  }
  const specifications = variants
    .flatMap(({ choice: data, trained }, v) =>
      effectCombinations.map((effects, k) => {
        const choice: Choice = { ...data, ...effects };
        const n = trained.length;
        return {
          choice,
          ...itemAt(itemAt(drawn, v), k),
          n,
          planned: sameChoice(choice, input.planned),
        };
      }),
    )
    .sort((a, b) => a.value - b.value);
  const planned = specifications.findIndex((one) => one.planned);
  if (planned < 0) refuse("one of the combinations", shown(input.planned), "planned");
  const median = medianOf(Float64Array.from(specifications, ({ value }) => value));
  const same = specifications.filter(({ value }) => value * median > 0);
  const clear = same.filter(({ interval }) => interval.low > 0 || interval.high < 0);
  return frozen({
    kind: "specificationCurve" as const,
    specifications,
    planned,
    median,
    distinct: effectCombinations.length * variants.filter(({ like }, v) => like === v).length,
    sameSign: same.length / specifications.length,
    excludingZero: clear.length / specifications.length,
    jointP: jointP(variants, arms, median, { resamples, seed }),
    n: arms.length,
    resamples,
    seed,
    method: `${specifications.length} specifications; percentile bootstrap within arms; arms shuffled for the joint test`,
  });
}

function refuse(expected: string, got: string, at: string): never {
  throw new InputError({ expected, got, where: `${where}, ${at}` });
}

/** Every way to take one option of each name, the last name turning fastest. */
function combinations(choices: Readonly<Record<string, readonly string[]>>): Choice[] {
  return Object.entries(choices).reduce<Choice[]>(
    (made, [name, options]) => {
      if (!Array.isArray(options) || options.length === 0) refuse("options", "none", name);
      return made.flatMap((choice) => options.map((option) => ({ ...choice, [name]: option })));
    },
    [{}],
  );
}

/** What leaving each person out does to the median effect. */
export interface MedianWithoutEach {
  /** Lowest median, the one from everybody included, in percent. */
  readonly low: number;
  /** Highest median, in percent. */
  readonly high: number;
  /** People without whom the median is on the other side of zero. */
  readonly changesConclusion: readonly string[];
}

/**
 * The median effect of all specifications without each person in turn, from the columns made once
 * for everybody.
 */
export function medianWithoutEach(input: SpecificationInput): MedianWithoutEach {
  const { variants, names } = prepare(input);
  const whole = medianOf(
    Float64Array.from(variants.flatMap((one) => [...effectsOf(variants[one.like] ?? one)])),
  );
  const medians = mediansWithoutEach(variants, names.length);
  const known = medians.filter(Number.isFinite);
  return {
    low: Math.min(whole, ...known),
    high: Math.max(whole, ...known),
    changesConclusion: names.filter((_, i) => !(itemAt(medians, i) * whole > 0)),
  };
}

function prepare(input: SpecificationInput): {
  variants: DataVariant[];
  arms: Uint8Array;
  names: string[];
} {
  const places = new Map<string, number>();
  const armOf: number[] = [];
  const firsts = new Map<string, number>();
  const variants = combinations(input.data).map((choice, v): DataVariant => {
    const columns = checkedColumns(input.columns(choice), input.reference, choice);
    const people = columns.participant.map((name, i) => {
      if (!places.has(name)) {
        places.set(name, armOf.length);
        armOf.push(wholeAt(columns.trained, i));
      }
      const place = present(places.get(name));
      if (armOf[place] !== columns.trained[i]) refuse("one arm for a person", name, "arm");
      return place;
    });
    const key = JSON.stringify([people, [...columns.before], [...columns.after]]);
    if (!firsts.has(key)) firsts.set(key, v);
    return {
      choice,
      like: present(firsts.get(key)),
      people: Int32Array.from(people),
      trained: columns.trained,
      effects: armEffects(columns.before, columns.after),
    };
  });
  return { variants, arms: Uint8Array.from(armOf), names: [...places.keys()] };
}

function checkedColumns(columns: SpecifiedColumns, reference: string, choice: Choice) {
  const at = `${where}, columns of ${Object.values(choice).join(", ")}`;
  const before = numbers(columns.before, `${at}, before`, 4);
  const after = numbers(columns.after, `${at}, after`, 4);
  sameLength(after.length, before.length, `${at}, after`);
  const participant = labels(columns.participant, `${at}, participant`, before.length);
  const arms = labels(columns.arm, `${at}, arm`, before.length);
  if (new Set(participant).size < participant.length) refuse("each person once", "a repeat", at);
  if (new Set(arms).size !== 2 || !arms.includes(reference)) {
    refuse(`two arms, one of them "${reference}"`, [...new Set(arms)].join(", "), at);
  }
  if (before.some((value) => value <= 0) || after.some((value) => value <= 0)) {
    refuse("positive values", "zero or less", at);
  }
  return {
    participant,
    before,
    after,
    trained: Uint8Array.from(arms, (arm) => +(arm !== reference)),
  };
}

function sameChoice(a: Choice, b: Choice): boolean {
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((name) => a[name] === b[name]);
}

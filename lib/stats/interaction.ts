import { present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline, type BaselineColumns } from "./baseline.js";
import { orderedQuantile } from "./describe.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, namedColumns, numbers, sameLength, shown } from "./input.js";
import { fitLinear } from "./linear-model.js";

/** The effect of an arm at one value of a trait, from the model of everybody. */
export interface EffectAt {
  /** The value of the trait. */
  readonly trait: number;
  /** People with this value in each arm; of a trait with more than two values all people. */
  readonly trained: number;
  /** The same for the reference arm. */
  readonly control: number;
  /** In the unit of the columns; no p value, because a subgroup is not tested by itself. */
  readonly effect: Estimate;
}

/** Whether the effect of an arm differs between people with a trait and without. */
export interface EffectByTrait {
  /** Name of the function that made this record. */
  readonly kind: "effectByTrait";
  /** People in both arms. */
  readonly n: number;
  /** Difference of the effects per unit of the trait: with a trait of 0 and 1, effect at 1 − effect at 0. */
  readonly interaction: Estimate;
  /** At 0 and 1, or at the two values there are; else at the lower and the upper quartile. */
  readonly effects: readonly EffectAt[];
  /** The effect in everybody together, adjusted for the baseline alone. */
  readonly overall: Estimate;
  /** Standard error of the difference between those effects as a multiple of the overall effect's. */
  readonly widthRatio: number;
  /** widthRatio²: how many times the people it would take to estimate it as precisely as the effect. */
  readonly peopleFactor: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Columns of `effectByTrait`: a baseline comparison and a trait of each person. */
export interface TraitColumns extends BaselineColumns {
  /** A trait known before the block: 0 and 1 for no and yes, or a number such as age. */
  readonly trait: Numbers;
}

/**
 * Interaction of an arm with a trait: does the block do more for some people than for others?
 *
 * after = b₀ + b₁ before + b₂ arm + b₃ trait + b₄ arm · trait by least squares; the interaction is
 * b₄ and the effect at trait t is b₂ + b₄ t, t with n − 5 degrees of freedom. An interaction is
 * estimated about four times less precisely (in people) than the effect itself, so an interval that
 * includes 0 shows no equality, and subgroups are never tested one by one.
 *
 * @param columns before, after, group with two arms, reference arm, and the trait, person by person
 * @returns effects in the unit of the columns, the interaction in that unit per unit of the trait
 * @throws InputError when lengths differ, a value is not finite, there are not two arms, the trait
 *   does not vary in each arm, or too few people are left
 * @see Assmann et al. (2000) Lancet 355:1064–1069; Brookes et al. (2004) J Clin Epidemiol
 *   57:229–236 for the width (both cited from memory)
 * @example effectByTrait({ before: [40, 42, 44, 46, 41, 43, 45, 47], after: [44, 46, 47, 51, 41, 44, 45, 47], group: ["t", "t", "t", "t", "c", "c", "c", "c"], reference: "c", trait: [0, 1, 0, 1, 0, 1, 0, 1] }).interaction.value // 0.5
 */
export function effectByTrait(
  columns: TraitColumns,
  options: { level?: number } = {},
): EffectByTrait {
  namedColumns(columns, ["before", "after", "group", "reference", "trait"], "effectByTrait");
  const { before, after, group, reference, trait } = columns;
  knownOptions(options, ["level"], "effectByTrait");
  const { level = 0.95 } = options;
  confidenceLevel(level, "effectByTrait");
  const x = numbers(before, "effectByTrait, before", 6);
  const y = numbers(after, "effectByTrait, after", 6);
  sameLength(y.length, x.length, "effectByTrait, after");
  const traits = numbers(trait, "effectByTrait, trait", 6);
  sameLength(traits.length, x.length, "effectByTrait, trait");
  const arms = labels(group, "effectByTrait, group", x.length);
  const arm = armColumn(arms, reference, traits);
  const at = placesOf(traits);
  const read = { x, y, arm, traits };
  const interaction = present(fitAround(read, 0, level).interaction);
  const overall = adjustForBaseline({ before: x, after: y, group: arms, reference }, { level });
  const difference = present(overall.difference);
  const [low, high] = at;
  const widthRatio = (present(interaction.se) * (high - low)) / present(difference.se);
  return frozen({
    kind: "effectByTrait",
    n: x.length,
    interaction,
    effects: at.map((value) => effectAt(read, value, level)),
    overall: difference,
    widthRatio,
    peopleFactor: widthRatio ** 2,
    method: "least squares with arm, covariate and their product, adjusted for baseline",
    warnings: isTwoValued(traits) ? smallCells(arm, traits, at) : [],
  });
}

/** The columns as read: before, after, 0 or 1 for the arm, and the trait. */
interface TraitData {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly arm: Float64Array;
  readonly traits: Float64Array;
}

/** The model with the trait counted from `centre`, where the arm's coefficient is the effect. */
function fitAround({ x, y, arm, traits }: TraitData, centre: number, level: number) {
  const interaction = arm.map((inArm, i) => inArm * (realAt(traits, i) - centre));
  return fitLinear({ y, terms: { before: x, arm, trait: traits, interaction } }, { level })
    .coefficients;
}

/** The effect at one value of the trait; people are counted who have it, or all of a scale. */
function effectAt(read: TraitData, value: number, level: number): EffectAt {
  const { arm, traits } = read;
  const { value: effect, se, df, interval } = present(fitAround(read, value, level).arm);
  const counted = isTwoValued(traits) ? arm.filter((_, i) => traits[i] === value) : arm;
  const trained = counted.filter((inArm) => inArm === 1).length;
  return {
    trait: value,
    trained,
    control: counted.length - trained,
    effect: { value: effect, se: present(se), df: present(df), interval: present(interval) },
  };
}

function isTwoValued(traits: Float64Array): boolean {
  return new Set(traits).size === 2;
}

function armColumn(arms: readonly string[], reference: string, traits: Float64Array): Float64Array {
  const refuse = (expected: string, got: string, at: string): never => {
    throw new InputError({ expected, got, where: `effectByTrait, ${at}` });
  };
  const names = [...new Set(arms)];
  if (names.length !== 2 || !names.includes(reference)) {
    refuse(`two arms, one of them ${shown(reference)}`, names.map(shown).join(", "), "group");
  }
  for (const name of names) {
    const traitsInArm = traits.filter((_, i) => arms[i] === name);
    if (traitsInArm.every((value) => value === traitsInArm[0])) {
      refuse(
        "a covariate that differs within each arm",
        `one value in arm ${shown(name)}`,
        "trait",
      );
    }
  }
  return Float64Array.from(arms, (name) => +(name !== reference));
}

/** Where the effect is reported: both values of a trait that has two, else its quartiles. */
function placesOf(traits: Float64Array): [number, number] {
  const sorted = traits.slice().sort();
  if (isTwoValued(traits)) return [realAt(sorted, 0), realAt(sorted, sorted.length - 1)];
  return [orderedQuantile(sorted, 0.25, 7), orderedQuantile(sorted, 0.75, 7)];
}

/** Fewest people of one kind in one arm below which the reader is warned. */
const fewest = 10;

function smallCells(arm: Float64Array, traits: Float64Array, at: readonly number[]): string[] {
  const counts = at.flatMap((value) =>
    [0, 1].map((code) => arm.filter((a, i) => a === code && traits[i] === value).length),
  );
  const least = Math.min(...counts);
  return least < fewest
    ? [
        `Only ${least} ${least === 1 ? "person" : "people"} of one kind in one arm: the interval is wide and one person can change the conclusion.`,
      ]
    : [];
}

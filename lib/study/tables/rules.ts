import { InputError } from "../../errors.js";
import { nearestName } from "../../options.js";

/** How several trials become one value. */
export interface SummaryRule<Id extends string = string> {
  /** Name of the rule in the plan, such as "mean3". */
  readonly id: Id;
  /** The rule in words. */
  readonly title: string;
  /** What is taken of the trials. */
  readonly statistic: "mean" | "max" | "median";
  /** How many trials it takes, the first in order; null for all. */
  readonly trials: number | null;
  /** True when it takes the highest of all trials instead of the first in order. */
  readonly best?: boolean;
  /** "both" pools the two hands, so that the summary has no hand. */
  readonly hands: "each" | "both";
}

/** The rules by which grip trials become one value. */
export const gripRuleIds = [
  "mean3",
  "max3",
  "median3",
  "mean2",
  "max2",
  "first",
  "mean",
  "max",
  "median",
  "max6",
  "mean6",
] as const;
/** Names of the rules by which grip trials become one value. */
export type GripRule = (typeof gripRuleIds)[number];

/** The rules by which swings become one value. */
export const speedRuleIds = [
  "mean",
  "max",
  "median",
  "mean7",
  "mean5",
  "best3",
  "best5",
  "first",
] as const;
/** Names of the rules by which swings become one value. */
export type SpeedRule = (typeof speedRuleIds)[number];

const each = { hands: "each" } as const;
const first = { statistic: "mean", trials: 1 } as const;

/**
 * Rules for grip. Mean of three is the rule of the American Society of Hand Therapists (2015),
 * maximum of six trials over both hands that of Roberts et al. (2011) Age Ageing 40:423–429.
 */
export const gripRules: readonly SummaryRule<GripRule>[] = [
  { id: "mean3", title: "mean of the first three trials", statistic: "mean", trials: 3, ...each },
  { id: "max3", title: "highest of the first three trials", statistic: "max", trials: 3, ...each },
  {
    id: "median3",
    title: "median of the first three trials",
    statistic: "median",
    trials: 3,
    ...each,
  },
  { id: "mean2", title: "mean of the first two trials", statistic: "mean", trials: 2, ...each },
  { id: "max2", title: "higher of the first two trials", statistic: "max", trials: 2, ...each },
  { id: "first", title: "first trial", ...first, ...each },
  { id: "mean", title: "mean of all trials", statistic: "mean", trials: null, ...each },
  { id: "max", title: "highest of all trials", statistic: "max", trials: null, ...each },
  { id: "median", title: "median of all trials", statistic: "median", trials: null, ...each },
  {
    id: "max6",
    title: "highest of six trials, three of each hand",
    statistic: "max",
    trials: 3,
    hands: "both",
  },
  {
    id: "mean6",
    title: "mean of six trials, three of each hand",
    statistic: "mean",
    trials: 3,
    hands: "both",
  },
];

/** Rules for club speed. */
export const speedRules: readonly SummaryRule<SpeedRule>[] = [
  { id: "mean", title: "mean of all swings", statistic: "mean", trials: null, ...each },
  { id: "max", title: "fastest swing", statistic: "max", trials: null, ...each },
  { id: "median", title: "median of all swings", statistic: "median", trials: null, ...each },
  { id: "mean7", title: "mean of the first seven swings", statistic: "mean", trials: 7, ...each },
  { id: "mean5", title: "mean of the first five swings", statistic: "mean", trials: 5, ...each },
  {
    id: "best3",
    title: "mean of the three fastest swings",
    statistic: "mean",
    trials: 3,
    best: true,
    ...each,
  },
  {
    id: "best5",
    title: "mean of the five fastest swings",
    statistic: "mean",
    trials: 5,
    best: true,
    ...each,
  },
  { id: "first", title: "first swing", ...first, ...each },
];

/** A rule by its id, or one for each occasion, which must then all be the same. */
export type RuleChoice<Id extends string> = Id | Readonly<Record<string, Id>>;

/** Finds the one rule that is meant; a rule that changes between occasions is refused. */
export function ruleOf<Id extends string>(
  choice: RuleChoice<Id> | undefined,
  rules: readonly SummaryRule<Id>[],
  where: string,
): SummaryRule<Id> {
  const ids = [...new Set(typeof choice === "string" ? [choice] : Object.values(choice ?? {}))];
  if (ids.length > 1)
    throw new InputError({
      expected: "one summary rule for all occasions, because a change of rule looks like a change",
      got: ids.join(" and "),
      where: `${where}, rule`,
    });
  const rule = rules.find(({ id }) => id === ids[0]);
  if (rule) return rule;
  const near =
    typeof ids[0] === "string"
      ? nearestName(
          ids[0],
          rules.map(({ id }) => id),
        )
      : "";
  throw new InputError({
    expected: `one of ${rules.map(({ id }) => id).join(", ")}`,
    got: `${ids.length === 0 ? "nothing" : JSON.stringify(ids[0])}${near ? ` (${near} is the nearest)` : ""}`,
    where: `${where}, rule`,
  });
}

import { present } from "../entry.js";
import type { Choice } from "../stats/specification.js";
import type { Arm } from "../study/package/design.js";
import { withoutOutlyingTrials } from "../study/tables/outlying.js";
import type { GripRule, SpeedRule } from "../study/tables/rules.js";
import { summariseTraining } from "../study/tables/training.js";
import { withSetAsides } from "../study/tables/variants.js";
import { Change, outcomeOf } from "./outcome.js";

/** Choices about the data that a reviewer could defend; every combination is tried. */
export interface Alternatives {
  /** Rules by which trials become one value; that of the plan among them. */
  readonly rules?: readonly (GripRule | SpeedRule)[];
  /** Which trials count. */
  readonly trials?: readonly ("in use" | "set-asides put back" | "outlying left out")[];
  /**
   * Which golfers count: all, or those who did at least 80 % of their sessions. An arm of which the
   * training log has no session has none to do: all its golfers count.
   */
  readonly golfers?: readonly ("all" | "most sessions")[];
  /** Resamples of each interval and shuffles of the arms, 2 000 unless given. */
  readonly resamples?: number;
  /** Seed of both; that of the plan unless given. */
  readonly seed?: number;
}

const gripRules: readonly GripRule[] = ["mean3", "max3", "median3", "mean2"];
const speedRules: readonly SpeedRule[] = ["mean", "max", "median", "mean5"];
const everyTrials = ["in use", "set-asides put back", "outlying left out"] as const;

/** Share of the planned sessions that "most sessions" asks for. */
const mostSessions = 0.8;
/** Deviations of a golfer's own trials beyond which one is outlying. */
const outlyingBeyond = 3;

/** The arm of interest and the one that it is compared with. */
export interface SpecifiedArms {
  /** The arm of interest. */
  readonly first: Arm;
  /** The arm that it is compared with. */
  readonly second: Arm;
}

/** The arm of interest and the one it is compared with, or why there is no comparison. */
export function comparisonOf(change: Change): SpecifiedArms | string {
  const { arms } = change.outcome.study.design;
  const second = arms.find((arm) => arm.control) ?? arms[0];
  const first = arms.find((arm) => arm !== second);
  if (!first || !second) {
    return "The study has one arm, so there is no difference between arms to analyse.";
  }
  const few = [first, second].find(({ id }) => change.of(id).length < 2);
  if (few) return `Fewer than two golfers of ${few.title} were measured on both visits.`;
  return { first, second };
}

/** Whether a golfer of an arm did most of the sessions between the two visits. */
function didMostSessions({ outcome: { study }, before, after }: Change) {
  const between = { from: before.id, until: after.id };
  const { people } = summariseTraining(study, before.week < after.week ? { between } : {});
  const shares = new Map(people.map(({ participant, share }) => [participant, share]));
  const training = new Set(people.flatMap(({ arm, planned }) => (planned > 0 ? [arm] : [])));
  return ({ arm, participant }: { readonly arm: string; readonly participant: string }) =>
    !training.has(arm) || (shares.get(participant) ?? 0) >= mostSessions;
}

/**
 * The choices that this study has: set-asides, outlying trials and a training log may be absent, and
 * of an arm fewer than two golfers may have done most of their sessions.
 */
export function dataChoices(
  change: Change,
  { first, second }: SpecifiedArms,
  { rules, trials = everyTrials, golfers }: Alternatives,
): Record<string, string[]> {
  const { outcome } = change;
  const usual = outcome.quantity === "grip" ? gripRules : speedRules;
  const hasLog = outcome.study.trainingLog.totalRows() > 0;
  const didMost = didMostSessions(change);
  const isComparable = [first, second].every(({ id }) => change.of(id).filter(didMost).length >= 2);
  const everyGolfers = golfers ?? (hasLog && isComparable ? ["all", "most sessions"] : ["all"]);
  return {
    rule: [...new Set([outcome.rule.id, ...(rules ?? usual)])],
    trials: [...new Set(["in use", ...trials])],
    golfers: [...new Set(["all", ...everyGolfers])],
  };
}

/** The golfers' values under one combination of the choices about the data. */
export function columnsFor(change: Change, { first, second }: SpecifiedArms) {
  const { outcome, before, after } = change;
  const { study } = outcome;
  const variants: Readonly<Record<string, () => typeof study>> = {
    "in use": () => study,
    "set-asides put back": () => withSetAsides(study),
    "outlying left out": () => withoutOutlyingTrials(study, { deviations: outlyingBeyond }),
  };
  const made = new Map<string, Change>();
  const studies = new Map<string, typeof study>();
  const didMost = didMostSessions(change);
  const changeFor = ({ rule, trials }: Choice): Change => {
    const key = `${rule} ${trials}`;
    const known = made.get(key);
    if (known) return known;
    const variant = studies.get(present(trials)) ?? present(variants[present(trials)])();
    studies.set(present(trials), variant);
    const choice = { ...outcome.choice, rule: rule as GripRule | SpeedRule };
    const own = new Change(outcomeOf(variant, outcome.quantity, choice), before.id, after.id);
    made.set(key, own);
    return own;
  };
  return (choice: Choice) => {
    const rows = changeFor(choice).rows.filter(
      (row) =>
        (row.arm === first.id || row.arm === second.id) &&
        (choice.golfers === "all" || didMost(row)),
    );
    return {
      participant: rows.map(({ participant }) => participant),
      before: rows.map((row) => row.before),
      after: rows.map((row) => row.after),
      arm: rows.map(({ arm }) => arm),
    };
  };
}

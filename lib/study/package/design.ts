import {
  type GripRule,
  gripRuleIds,
  type RuleChoice,
  type SpeedRule,
  speedRuleIds,
} from "../tables/rules.js";
import type { Hand } from "../tables/table-rows.js";
import { isRecord, type Json, numberOr, recordsIn, textOr, textsIn } from "./json.js";
import type { Misfit } from "./validator.js";

/** A group of golfers who are treated alike. */
export interface Arm {
  /** Id that the files use. */
  readonly id: string;
  /** Name as a reader sees it. */
  readonly title: string;
  /** True for the arm others are compared with. */
  readonly control?: boolean;
}
/** A visit at which golfers are tested. */
export interface Occasion {
  /** Id that the files use, such as "w6". */
  readonly id: string;
  /** Week of the study, 0 for the first test. */
  readonly week: number;
  /** Name as a reader sees it, such as "week 6". */
  readonly title: string;
}
/** A position in which grip is measured. */
export interface Position {
  /** Id that the files use, such as "address". */
  readonly id: string;
  /** Name as a reader sees it. */
  readonly title: string;
  /** How the golfer stands and holds the dynamometer. */
  readonly how?: string;
}

/** What was going to be measured, in whom and when. */
export interface StudyDesign {
  /** The arms; one in a study without comparison. */
  readonly arms: readonly Arm[];
  /** The visits, in order. */
  readonly occasions: readonly Occasion[];
  /** Hands that are measured. */
  readonly hands: readonly Hand[];
  /** Positions in which grip is measured. */
  readonly positions: readonly Position[];
  /** Clubs that are swung. */
  readonly clubs: readonly string[];
  /** Trials planned per person, occasion, hand and position. */
  readonly gripTrials: number;
  /** Swings planned per person and occasion. */
  readonly swings: number;
  /** Least rest between two trials of one hand, in seconds. */
  readonly restSeconds?: number;
  /** Whether chance alone decided who came into which arm; left out where the study does not say. */
  readonly allocation?: "random" | "not random";
}

/** The primary outcome and its comparison, as the plan names them. */
export interface PrimaryPlan {
  /** What is measured. */
  readonly outcome: "grip" | "speed";
  /** The hand, where the plan names one. */
  readonly hand?: Hand;
  /** Id of the position, where the plan names one. */
  readonly position?: string;
  /** Id of the occasion before training. */
  readonly before: string;
  /** Id of the occasion after it. */
  readonly after: string;
  /** The comparison in words. */
  readonly contrast: string;
  /** Unit of the outcome, where the plan names one. */
  readonly unit?: string;
}

/** What was going to be reported, decided before the data were seen. */
export interface StudyPlan {
  /** Day on which the plan was decided, ISO. */
  readonly decidedOn?: string;
  /** The primary outcome of the study. */
  readonly primary?: PrimaryPlan;
  /** Summary rule for grip and for speed; by occasion only to say that a rule was changed. */
  readonly summaries: {
    readonly grip: RuleChoice<GripRule>;
    readonly speed: RuleChoice<SpeedRule>;
  };
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** Smallest worthwhile change by outcome, in the unit of the outcome. */
  readonly smallestWorthwhile?: Readonly<Record<string, number>>;
  /** "none" unless readings are to be corrected by the calibration line. */
  readonly calibration: "none" | "correct";
}

/** A change to the plan, with its day and reason. */
export interface PlanChange {
  /** Day of the change, ISO. */
  readonly on: string;
  /** What was changed. */
  readonly what: string;
  /** Why it was changed. */
  readonly why: string;
}

/** The `study` property of datapackage.json. */
export interface StudyRecord {
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** The question that the study asks, as a sentence. */
  readonly question?: string;
  /** True when the data were made by a simulator. */
  readonly simulated: boolean;
  /** What was going to be measured, in whom and when. */
  readonly design: StudyDesign;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: StudyPlan;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
  /** Changes to the plan, each with its day and reason. */
  readonly changes: readonly PlanChange[];
}

/** Reads the `study` property, which has its shape. */
export function readStudyRecord(from: Json, title: string): StudyRecord {
  return {
    title: textOr(from.title) || title,
    question: textOr(from.question),
    simulated: from.simulated === true,
    design: designOf(designPart(from)),
    plan: planOf(isRecord(from.plan) ? from.plan : {}),
    cautions: textsIn(from.cautions),
    changes: recordsIn(from.changes).map(({ on, what, why }) => ({
      on: textOr(on),
      what: textOr(what),
      why: textOr(why),
    })),
  };
}

/** A design may stand in `study` itself or in `study.design`. */
function designPart(from: Json): Json {
  return isRecord(from.design) ? { ...from, ...from.design } : from;
}

function designOf(from: Json): StudyDesign {
  const hands = textsIn(from.hands).filter(isHand);
  return {
    arms: recordsIn(from.arms).map(({ id, title, control }) => ({
      id: textOr(id),
      title: textOr(title) || textOr(id),
      ...(control === true ? { control } : {}),
    })),
    occasions: recordsIn(from.occasions).map(({ id, week, title }) => ({
      id: textOr(id),
      week: numberOr(week, 0),
      title: textOr(title) || textOr(id),
    })),
    hands: hands.length === 0 ? ["lead", "trail"] : hands,
    positions: recordsIn(from.positions).map(({ id, title, how }) => ({
      id: textOr(id),
      title: textOr(title) || textOr(id),
      how: textOr(how),
    })),
    clubs: textsIn(from.clubs),
    gripTrials: numberOr(from.gripTrials, 3),
    swings: numberOr(from.swings, 8),
    restSeconds: numberOr(from.restSeconds, 0),
    ...((from.allocation === "random" || from.allocation === "not random") && {
      allocation: from.allocation,
    }),
  };
}

function isHand(text: unknown): text is Hand {
  return text === "lead" || text === "trail";
}

/** What a shape cannot say of a design: that there are arms and occasions, each id once. */
export function designFaults(study: Json): Misfit[] {
  const from = designPart(study);
  const absent = (["arms", "occasions"] as const)
    .filter((part) => recordsIn(from[part]).length === 0)
    .map((part) => ({
      where: `study.${part}`,
      value: from[part],
      expected: `at least one of ${part}`,
    }));
  const repeated = (["arms", "occasions", "positions"] as const).flatMap((part) => {
    const ids = recordsIn(from[part]).map(({ id }) => id);
    return [...ids.entries()]
      .filter(([i, id]) => ids.indexOf(id) < i)
      .map(([i, value]) => ({ where: `study.${part}[${i}].id`, value, expected: "each id once" }));
  });
  return [...absent, ...repeated];
}

function planOf(from: Json): StudyPlan {
  const summaries = isRecord(from.summaries) ? from.summaries : {};
  const primary = isRecord(from.primary) ? primaryOf(from.primary) : undefined;
  return {
    decidedOn: textOr(from.decidedOn),
    ...(primary && { primary }),
    summaries: {
      grip: ruleOf(summaries.grip, gripRuleIds) ?? "mean3",
      speed: ruleOf(summaries.speed, speedRuleIds) ?? "mean",
    },
    level: numberOr(from.level, 0.95),
    seed: numberOr(from.seed, 1),
    smallestWorthwhile: numbersOf(from.smallestWorthwhile),
    calibration: from.calibration === "correct" ? "correct" : "none",
  };
}

/** What the shape of a plan lets through; what the plan leaves open is left out. */
function primaryOf({ outcome, hand, position, unit, ...from }: Json): PrimaryPlan | undefined {
  if (outcome !== "grip" && outcome !== "speed") return undefined;
  return {
    outcome,
    ...(isHand(hand) && { hand }),
    ...(typeof position === "string" && position !== "" && { position }),
    before: textOr(from.before),
    after: textOr(from.after),
    contrast: textOr(from.contrast),
    ...(typeof unit === "string" && { unit }),
  };
}

/** The rule of the plan, or one for each occasion. */
function ruleOf<Id extends string>(value: unknown, ids: readonly Id[]): RuleChoice<Id> | undefined {
  const isRule = (rule: unknown): rule is Id => ids.some((id) => id === rule);
  if (isRule(value)) return value;
  if (!isRecord(value)) return undefined;
  return Object.fromEntries(
    Object.entries(value).filter((pair): pair is [string, Id] => isRule(pair[1])),
  );
}

function numbersOf(from: unknown): Record<string, number> {
  if (!isRecord(from)) return {};
  const pairs = Object.entries(from).filter((pair): pair is [string, number] => {
    return typeof pair[1] === "number" && Number.isFinite(pair[1]);
  });
  return Object.fromEntries(pairs);
}

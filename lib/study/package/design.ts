import {
  type GripRule,
  gripRuleIds,
  type RuleChoice,
  type SpeedRule,
  speedRuleIds,
} from "../tables/rules.js";
import type { Hand } from "../tables/table-rows.js";
import type { Json, JsonParts } from "./json-parts.js";
import { isRecord } from "./json-parts.js";

export interface Arm {
  readonly id: string;
  readonly title: string;
  /** True for the arm others are compared with. */
  readonly control?: boolean;
}
export interface Occasion {
  readonly id: string;
  readonly week: number;
  readonly title: string;
}
export interface Position {
  readonly id: string;
  readonly title: string;
  readonly how?: string;
}

/** What was going to be measured, in whom and when. */
export interface StudyDesign {
  readonly arms: readonly Arm[];
  readonly occasions: readonly Occasion[];
  readonly hands: readonly Hand[];
  readonly positions: readonly Position[];
  readonly clubs: readonly string[];
  /** Trials planned per person, occasion, hand and position. */
  readonly gripTrials: number;
  /** Swings planned per person and occasion. */
  readonly swings: number;
  /** Least rest between two trials of one hand, in seconds. */
  readonly restSeconds?: number;
}

/** What was going to be reported, decided before the data were seen. */
export interface StudyPlan {
  readonly decidedOn?: string;
  /** The one outcome the study stands or falls by. */
  readonly primary?: {
    readonly outcome: string;
    readonly hand?: string;
    readonly position?: string;
    readonly before: string;
    readonly after: string;
    readonly contrast: string;
    readonly unit?: string;
  };
  /** Summary rule for grip and for speed; by occasion only to say that a rule was changed. */
  readonly summaries: {
    readonly grip: RuleChoice<GripRule>;
    readonly speed: RuleChoice<SpeedRule>;
  };
  readonly level: number;
  readonly seed: number;
  readonly smallestWorthwhile?: Readonly<Record<string, number>>;
  /** "none" unless readings are to be corrected by the calibration line. */
  readonly calibration: "none" | "correct";
}

/** A change to the plan, with its day and reason. */
export interface PlanChange {
  readonly on: string;
  readonly what: string;
  readonly why: string;
}

/** The `study` property of datapackage.json. */
export interface StudyRecord {
  readonly title: string;
  readonly question?: string;
  /** True when the data were made by a simulator. */
  readonly simulated: boolean;
  readonly design: StudyDesign;
  readonly plan: StudyPlan;
  readonly cautions: readonly string[];
  readonly changes: readonly PlanChange[];
}

/** Reads the `study` property. */
export function readStudyRecord(parts: JsonParts, from: Json, title: string): StudyRecord {
  return {
    title: parts.text(from, "title", "study.") || title,
    question: parts.text(from, "question", "study."),
    simulated: from.simulated === true,
    design: designOf(parts, isRecord(from.design) ? { ...from, ...from.design } : from),
    plan: planOf(parts, isRecord(from.plan) ? from.plan : {}),
    cautions: parts.texts(from, "cautions", "study."),
    changes: parts.list(from, "changes", "study.").map((change) => ({
      on: parts.must(change, "on", "study.changes."),
      what: parts.must(change, "what", "study.changes."),
      why: parts.must(change, "why", "study.changes."),
    })),
  };
}

function designOf(parts: JsonParts, from: Json): StudyDesign {
  const where = "study.";
  const design: StudyDesign = {
    arms: parts.list(from, "arms", where).map((arm) => ({
      id: parts.must(arm, "id", "study.arms."),
      title: parts.text(arm, "title", "study.arms.") || parts.text(arm, "id", "study.arms."),
      ...(arm.control === true ? { control: true } : {}),
    })),
    occasions: parts.list(from, "occasions", where).map((occasion) => ({
      id: parts.must(occasion, "id", "study.occasions."),
      week: parts.count(occasion, "week", "study.occasions.", 0),
      title: parts.text(occasion, "title", "") || parts.text(occasion, "id", ""),
    })),
    hands: handsOf(parts, from),
    positions: parts.list(from, "positions", where).map((position) => ({
      id: parts.must(position, "id", "study.positions."),
      title: parts.text(position, "title", "") || parts.text(position, "id", ""),
      how: parts.text(position, "how", "study.positions."),
    })),
    clubs: parts.texts(from, "clubs", where),
    gripTrials: parts.count(from, "gripTrials", where, 3),
    swings: parts.count(from, "swings", where, 8),
    restSeconds: parts.count(from, "restSeconds", where, 0),
  };
  for (const part of ["arms", "occasions"] as const)
    if (design[part].length === 0)
      parts.fault(`study.${part}`, undefined, `at least one of ${part}`);
  unrepeated(parts, design);
  return design;
}

function unrepeated(parts: JsonParts, design: StudyDesign): void {
  for (const part of ["arms", "occasions", "positions"] as const) {
    const ids = design[part].map(({ id }) => id);
    const repeated = ids.find((id, i) => ids.indexOf(id) !== i);
    if (repeated !== undefined) parts.fault(`study.${part}`, repeated, "each id once");
  }
}

function handsOf(parts: JsonParts, from: Json): Hand[] {
  const hands = parts.texts(from, "hands", "study.");
  const known = hands.filter((hand): hand is Hand => /^(lead|trail)$/.test(hand));
  if (known.length !== hands.length) parts.fault("study.hands", hands, '"lead" and "trail"');
  return hands.length === 0 ? ["lead", "trail"] : known;
}

function planOf(parts: JsonParts, from: Json): StudyPlan {
  const summaries = isRecord(from.summaries) ? from.summaries : {};
  const primary = isRecord(from.primary) ? from.primary : undefined;
  const level = parts.count(from, "level", "study.plan.", 0.95);
  if (!(level > 0 && level < 1)) parts.fault("study.plan.level", level, "a fraction such as 0.95");
  return {
    decidedOn: parts.text(from, "decidedOn", "study.plan."),
    ...(primary ? { primary: primaryOf(parts, primary) } : {}),
    summaries: {
      grip: ruleOf(parts, summaries, ["grip", gripRuleIds]) ?? "mean3",
      speed: ruleOf(parts, summaries, ["speed", speedRuleIds]) ?? "mean",
    },
    level,
    seed: parts.count(from, "seed", "study.plan.", 1),
    smallestWorthwhile: numbersOf(from.smallestWorthwhile),
    calibration: from.calibration === "correct" ? "correct" : "none",
  };
}

function primaryOf(parts: JsonParts, from: Json): NonNullable<StudyPlan["primary"]> {
  const where = "study.plan.primary.";
  const part = (key: string) => parts.text(from, key, where);
  return {
    outcome: parts.must(from, "outcome", where),
    hand: part("hand"),
    position: part("position"),
    before: parts.must(from, "before", where),
    after: parts.must(from, "after", where),
    contrast: part("contrast"),
    unit: part("unit"),
  };
}

/** The rule of the plan, or one for each occasion; a name that is no rule is a fault. */
function ruleOf<Id extends string>(
  parts: JsonParts,
  from: Json,
  [key, ids]: readonly ["grip" | "speed", readonly Id[]],
): RuleChoice<Id> | undefined {
  const value = from[key];
  const isRule = (rule: unknown): rule is Id => ids.some((id) => id === rule);
  if (value === undefined || isRule(value)) return value;
  if (isRecord(value)) {
    const pairs = Object.entries(value).filter((pair): pair is [string, Id] => isRule(pair[1]));
    if (pairs.length === Object.keys(value).length) return Object.fromEntries(pairs);
  }
  parts.fault(`study.plan.summaries.${key}`, value, `a summary rule: ${ids.join(", ")}`);
  return undefined;
}

function numbersOf(from: unknown): Record<string, number> {
  if (!isRecord(from)) return {};
  const pairs = Object.entries(from).filter((pair): pair is [string, number] => {
    return typeof pair[1] === "number" && Number.isFinite(pair[1]);
  });
  return Object.fromEntries(pairs);
}

import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import type { Study } from "../study/study.js";
import {
  type GripRule,
  gripRules,
  ruleOf,
  type SpeedRule,
  type SummaryRule,
  speedRules,
} from "../study/tables/rules.js";
import type { Where } from "../study/tables/selection.js";
import { sourceOf } from "../study/tables/source.js";
import type { SourceRecord } from "../study/tables/source-record.js";
import { summariseGrip, summariseSpeed } from "../study/tables/summary.js";
import type { GripSummaryRow } from "../study/tables/table-rows.js";
import { Change } from "./outcome-change.js";
import { choiceFor, measureName, type OutcomeChoice } from "./outcome-choice.js";
import type { MeasureName } from "./study-answer.js";

/** One value of one golfer on one visit. */
export interface OutcomeRow {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** Id of the visit. */
  readonly occasion: string;
  /** Week of the visit in the design. */
  readonly week: number;
  /** In the unit of the outcome. */
  readonly value: number;
  /** Trials that the value rests on. */
  readonly trials: number;
  /** Whether as many trials were valid as the design planned. */
  readonly complete: boolean;
}

/** What an outcome is made from. */
export interface OutcomeParts {
  /** Grip or club speed. */
  readonly quantity: "grip" | "speed";
  /** Hand, position or club, and unit, as chosen. */
  readonly choice: OutcomeChoice;
  /** How trials become one value. */
  readonly rule: SummaryRule;
  /** True when values are logarithms, so that differences are ratios. */
  readonly isLogged: boolean;
}

const choiceNames = ["hand", "position", "club", "rule"] as const;

/**
 * An outcome of a study: one value per golfer and visit, by a named rule, with the recipe that made
 * it, so that any choice can be varied.
 */
export class Outcome {
  readonly kind = "outcome";
  readonly study: Study;
  readonly quantity: "grip" | "speed";
  readonly choice: OutcomeChoice;
  readonly rule: SummaryRule;
  readonly isLogged: boolean;
  /** Unit of the values; "" when they are logarithms. */
  readonly unit: "kgf" | "mph" | "";
  readonly measure: MeasureName;
  /** True when the plan names this outcome, with this rule, as the primary one. */
  readonly planned: boolean;
  /** One row per golfer and visit, in the order of the participants file and the design. */
  readonly rows: readonly OutcomeRow[];

  constructor(study: Study, { quantity, choice, rule, isLogged }: OutcomeParts) {
    this.study = study;
    this.quantity = quantity;
    this.choice = choice;
    this.rule = rule;
    this.isLogged = isLogged;
    this.unit = isLogged ? "" : quantity === "grip" ? "kgf" : "mph";
    this.measure = measureName(study, quantity, choice, rule);
    this.planned = !isLogged && isPlanned(study, quantity, choice, rule);
    this.rows = rowsOf(study, { quantity, choice, rule, isLogged });
  }

  /** The same outcome with another choice, such as another rule or hand. */
  with(choice: OutcomeChoice): Outcome {
    knownOptions(choice, choiceNames, "with");
    return outcomeOf(this.study, this.quantity, { ...this.choice, ...choice }, this.isLogged);
  }

  /** The same outcome on the scale of logarithms, for ratios and percentages. */
  logged(): Outcome {
    return outcomeOf(this.study, this.quantity, this.choice, true);
  }

  /**
   * The change between two visits: those of the plan unless named.
   * @throws InputError when a visit is not in the design, or the design has only one
   */
  change(before?: string, after?: string): Change {
    return new Change(this, before, after);
  }

  /** The trials behind the values of some golfers on some visits, used and set aside. */
  source(participants: readonly string[], occasions: readonly string[]): SourceRecord {
    const where: Where = { ...this.where, occasion: occasions };
    const trials = this.quantity === "grip" ? "grip" : "swing";
    return sourceOf(this.study, { trials, participant: participants, where });
  }

  /** Hand, position or club of the trials behind the values. */
  get where(): Where {
    const { hand, position, club } = this.choice;
    return {
      ...(this.rule.hands === "each" && hand !== undefined && { hand }),
      ...(position !== undefined && { position }),
      ...(club !== undefined && { club }),
    };
  }
}

/**
 * The outcome of a study that a choice names.
 * @throws InputError when the design has several hands, positions or clubs and none is chosen, when a
 *   choice is not in the design, or when the rule is not known
 */
export function outcomeOf(
  study: Study,
  quantity: "grip" | "speed",
  choice: OutcomeChoice = {},
  isLogged = false,
): Outcome {
  knownOptions(choice, choiceNames, "outcome");
  if (quantity !== "grip" && quantity !== "speed") {
    const got = JSON.stringify(quantity) ?? "nothing";
    throw new InputError({ expected: '"grip" or "speed"', got, where: "outcome" });
  }
  const isGrip = quantity === "grip";
  const rules: readonly SummaryRule<GripRule | SpeedRule>[] = isGrip ? gripRules : speedRules;
  const rule = ruleOf(choice.rule ?? study.plan.summaries[quantity], rules, "outcome");
  const chosen = choiceFor(study, quantity, choice, rule);
  return new Outcome(study, { quantity, choice: { ...chosen, rule: rule.id }, rule, isLogged });
}

function isPlanned(
  study: Study,
  quantity: "grip" | "speed",
  choice: OutcomeChoice,
  rule: SummaryRule,
): boolean {
  const { primary, summaries } = study.plan;
  if (primary?.outcome !== quantity) return false;
  const planned = summaries[quantity];
  const sameRule = typeof planned === "string" && planned === rule.id;
  const sameHand =
    primary.hand === undefined || rule.hands === "both" || primary.hand === choice.hand;
  const samePosition = primary.position === undefined || primary.position === choice.position;
  return sameRule && sameHand && samePosition;
}

function rowsOf(study: Study, { quantity, choice, rule, isLogged }: OutcomeParts): OutcomeRow[] {
  const values =
    quantity === "grip" ? gripValues(study, choice, rule) : speedValues(study, choice, rule);
  return values.map(({ participant, arm, occasion, week, value, n, complete }) => ({
    participant,
    arm,
    occasion,
    week,
    value: isLogged ? Math.log(value) : value,
    trials: n,
    complete,
  }));
}

type Values = readonly (Pick<
  GripSummaryRow,
  "participant" | "arm" | "occasion" | "week" | "n" | "complete"
> & {
  readonly value: number;
})[];

function gripValues(study: Study, choice: OutcomeChoice, { id }: SummaryRule): Values {
  const { id: rule, hands } = present(gripRules.find((one) => one.id === id));
  return summariseGrip(study, { rule })
    .objects()
    .filter(({ hand }) => hands === "both" || choice.hand === undefined || hand === choice.hand)
    .filter(({ position }) => choice.position === undefined || position === choice.position)
    .map((row) => ({ ...row, value: row.grip_kgf }));
}

function speedValues(study: Study, { club: chosen }: OutcomeChoice, { id }: SummaryRule): Values {
  const { id: rule } = present(speedRules.find((one) => one.id === id));
  return summariseSpeed(study, { rule })
    .objects()
    .filter(({ club }) => chosen === undefined || club === chosen)
    .map((row) => ({ ...row, value: row.speed_mph }));
}

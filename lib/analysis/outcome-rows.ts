import { present } from "../entry.js";
import type { Study } from "../study/study.js";
import { gripRules, type SummaryRule, speedRules } from "../study/tables/rules.js";
import { summariseGrip, summariseSpeed } from "../study/tables/summary.js";
import type { GripSummaryRow } from "../study/tables/table-rows.js";
import type { OutcomeChoice } from "./outcome-choice.js";

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

/** Whether the plan names an outcome, with this rule, as the primary one. */
export function isPlanned(
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

/** The values of an outcome, in the order of the participants file and the design. */
export function outcomeRows(
  study: Study,
  { quantity, choice, rule, isLogged }: OutcomeParts,
): OutcomeRow[] {
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

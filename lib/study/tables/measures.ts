import type { ColumnTable } from "arquero";
import type { Study } from "../study.js";
import { gripRules, type RuleChoice, speedRules } from "./rules.js";
import { summariseGrip, summariseSpeed } from "./summary.js";

/** A quantity that a study measures, such as the lead hand at address: its rows and its values. */
export interface Measure {
  /** What is measured, in words. */
  readonly name: string;
  /** Which hand it is, or club speed. */
  readonly role: "lead" | "trail" | "speed";
  /** Which trials it is made from. */
  readonly trials: "grip" | "swing";
  /** Unit of the values. */
  readonly unit: string;
  /** Which rows of the summary belong to it. */
  readonly where: Readonly<Record<string, string>>;
  /** Columns of the summary and of the table of trials. */
  readonly value: string;
  /** Column of the table of trials. */
  readonly trial: string;
  /** How trials become one value, in words. */
  readonly rule: string;
  /** The summary: one row per golfer and visit. */
  readonly summary: ColumnTable;
}

/** The title of a summary rule for grip or for speed. */
export function ruleTitle(outcome: "grip" | "speed", id: string): string {
  const rules = outcome === "grip" ? gripRules : speedRules;
  return rules.find((rule) => rule.id === id)?.title ?? id;
}

function firstRule<Id extends string>(choice: RuleChoice<Id>): Id | undefined {
  return typeof choice === "string" ? choice : Object.values(choice)[0];
}

/** Every hand in every position, then every club, by the rules of the plan. */
export function measuresOf(study: Study): Measure[] {
  return [...gripMeasures(study), ...speedMeasures(study)];
}

/** A rule of the plan that joins hands cannot tell one hand's value; the mean of three then does. */
function gripMeasures(study: Study): Measure[] {
  const planned = firstRule(study.plan.summaries.grip);
  const perHand = gripRules.find(({ id, hands }) => id === planned && hands === "each");
  const rule = perHand?.id ?? "mean3";
  const summary = summariseGrip(study, { rule });
  const { hands, positions } = study.design;
  return hands.flatMap((hand) =>
    positions.map(({ id, title }) => ({
      name: `${hand === "lead" ? "Lead" : "Trail"} hand, ${title.toLowerCase()}`,
      role: hand,
      trials: "grip" as const,
      unit: "kgf",
      where: { hand, position: id },
      value: "grip_kgf",
      trial: "force_kgf",
      rule: ruleTitle("grip", rule),
      summary,
    })),
  );
}

function speedMeasures(study: Study): Measure[] {
  const rule = firstRule(study.plan.summaries.speed) ?? "mean";
  const summary = summariseSpeed(study, { rule });
  return study.design.clubs.map((club) => ({
    name: `Speed with the ${club}`,
    role: "speed" as const,
    trials: "swing" as const,
    unit: "mph",
    where: { club },
    value: "speed_mph",
    trial: "speed_mph",
    rule: ruleTitle("speed", rule),
    summary,
  }));
}

import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import type { Occasion } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import { type Missing, missingFrom } from "../study/tables/missing.js";
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
import { type ChangeRow, changeRows, changeVisits } from "./change-rows.js";
import { choiceFor, measureName, type OutcomeChoice } from "./outcome-choice.js";
import { isPlanned, type OutcomeParts, type OutcomeRow, outcomeRows } from "./outcome-rows.js";
import type { MeasureName } from "./study-answer.js";

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
    this.rows = outcomeRows(study, { quantity, choice, rule, isLogged });
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

/** The change of an outcome between two visits, golfer by golfer; it knows who is missing and why. */
export class Change {
  readonly kind = "change";
  readonly outcome: Outcome;
  readonly before: Occasion;
  readonly after: Occasion;
  /** Golfers measured on both visits, in the order of the participants file. */
  readonly rows: readonly ChangeRow[];
  /** Golfers without a pair, each with the reason. */
  readonly missing: readonly Missing[];
  /** True when outcome, rule and visits are those of the plan. */
  readonly planned: boolean;

  constructor(outcome: Outcome, before?: string, after?: string) {
    const visits = changeVisits(outcome.study, before, after);
    this.outcome = outcome;
    this.before = visits.before;
    this.after = visits.after;
    this.rows = changeRows(outcome.rows, this.before.id, this.after.id);
    const measured = new Map(
      [this.before.id, this.after.id].map((id) => [id, peopleAt(outcome, id)]),
    );
    this.missing = missingFrom(outcome.study, {
      occasions: [this.before.id, this.after.id],
      has: (participant, occasion) => measured.get(occasion)?.has(participant) === true,
      trials: outcome.quantity === "grip" ? "grip" : "swing",
      where: outcome.where,
    });
    const { primary } = outcome.study.plan;
    this.planned =
      outcome.planned && primary?.before === this.before.id && primary.after === this.after.id;
  }

  /** The rows of one arm. */
  of(arm: string): readonly ChangeRow[] {
    return this.rows.filter((row) => row.arm === arm);
  }

  /** The trials behind the rows of some golfers; of all who have a pair unless said. */
  source(rows: readonly ChangeRow[] = this.rows): SourceRecord {
    const people = rows.map(({ participant }) => participant);
    return this.outcome.source(people, [this.before.id, this.after.id]);
  }
}

function peopleAt(outcome: Outcome, occasion: string): ReadonlySet<string> {
  const rows = outcome.rows.filter((row) => row.occasion === occasion);
  return new Set(rows.map(({ participant }) => participant));
}

import { allocate } from "../study/plan/allocation.js";
import { testOrders } from "../study/plan/sheets-order.js";
import type { Study } from "../study/study.js";
import { ruleTitle } from "../study/tables/measures.js";
import type { RuleChoice } from "../study/tables/rules.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/**
 * The plan as the study records it, line by line, with the changes made to it since.
 * @example planTable(openStudy("winter-block")).rows.length > 5 // true
 */
export function planTable(study: StudyOutcomes): ResultTable {
  const { plan, design, changes } = study;
  const { primary } = plan;
  const visit = (id: string) => design.occasions.find((one) => one.id === id)?.title ?? id;
  const worthwhile = Object.entries(plan.smallestWorthwhile ?? {});
  const lines: [string, string][] = [
    ["Decided on", plan.decidedOn || "not recorded"],
    ["Primary outcome", primary ? study.primary.measure.name : "none named"],
    ...(primary
      ? ([
          ["Visits compared", `${visit(primary.before)} and ${visit(primary.after)}`],
          ["Comparison", primary.contrast],
        ] as [string, string][])
      : []),
    ["Rule for grip", ruleWords("grip", plan.summaries.grip)],
    ["Rule for club speed", ruleWords("speed", plan.summaries.speed)],
    ...worthwhile.map(([what, value]): [string, string] => [
      "Smallest worthwhile change",
      worthwhileWords(what, value),
    ]),
    ["Confidence level", `${100 * plan.level} %`],
    ["Seed of random numbers", String(plan.seed)],
    ...changes.map(({ on, what, why }): [string, string] => [
      `Changed on ${on}`,
      `${what} (${why})`,
    ]),
  ];
  return resultTable(
    "The plan as recorded, with every change made to it.",
    [column("item", "Item"), column("plan", "Plan")],
    lines.map(([item, text]) => ({ item, plan: text })),
    "planTable",
  );
}

/** The title of a rule; of several rules, each with the test that it is for. */
function ruleWords(outcome: "grip" | "speed", rule: RuleChoice<string>): string {
  if (typeof rule === "string") return ruleTitle(outcome, rule);
  const each = Object.entries(rule).map(([place, id]) => `${place}: ${ruleTitle(outcome, id)}`);
  return each.join("; ");
}

/** "grip_kgf" and 1.5 read "1.5 kgf of grip". */
function worthwhileWords(what: string, value: unknown): string {
  const [, quantity = what, unit = ""] = /^(.*)_([^_]+)$/.exec(what) ?? [];
  return `${value} ${unit} of ${quantity}`;
}

/**
 * A draw of the next golfers into the arms of the design, with the hand that begins and the order of
 * positions, from the seed of the plan. It shows the procedure; `tautline sheets` writes the sheets.
 * @param people how many golfers
 * @throws InputError when people is not a whole number
 * @example allocationDraw(openStudy("winter-block"), 12).rows.length // 12
 */
export function allocationDraw(study: Study, people: number): ResultTable {
  const { design, plan } = study;
  const codes = Array.from({ length: people }, (_, i) => `N${String(i + 1).padStart(2, "0")}`);
  const ids = design.arms.map(({ id }) => id);
  const drawn =
    ids.length > 1
      ? allocate(codes, { arms: ids, seed: plan.seed }).assignments
      : codes.map((participant) => ({ participant, arm: ids[0] ?? "" }));
  const titles = new Map(design.arms.map(({ id, title }) => [id, title]));
  const places = new Map(design.positions.map(({ id, title }) => [id, title]));
  const orders = testOrders(codes, {
    positions: [...places.keys()],
    hands: design.hands,
    seed: plan.seed,
  });
  return resultTable(
    `A draw of ${people} golfers into arms and orders of testing, from the seed of the plan.`,
    [
      column("participant", "Golfer"),
      column("arm", "Arm"),
      column("firstHand", "Hand that begins"),
      column("positions", "Positions in order"),
    ],
    drawn.map(({ participant, arm }, i) => ({
      participant,
      arm: titles.get(arm) ?? arm,
      firstHand: orders[i]?.firstHand ?? "",
      positions: (orders[i]?.positions ?? []).map((id) => places.get(id) ?? id).join(", "),
    })),
    "allocationDraw",
  );
}

import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { effectByTrait } from "../stats/interaction.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { participantColumn } from "../study/tables/trials-by-person.js";
import { type ArmPair, armObstacle, armPairs, columnOf, pairPart } from "./arm-rows.js";
import type { ChangeRow } from "./change-rows.js";
import { covariateName } from "./covariates.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { refusalSentence } from "./refusal.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** A column of the participants file: of two labels by its name, of numbers with the value it is cut at. */
export type SubgroupColumn = string | { readonly column: string; readonly from: number };

/** The effect in one group of golfers. */
export interface GroupEffect {
  /** The group in words: "sex: female". */
  readonly label: string;
  /** Golfers in both arms. */
  readonly n: number;
  /** The effect in the group, first − second, without a p value. */
  readonly effect: Pick<Estimate, "value" | "interval">;
}

/** Whether the effect differs between groups of golfers. */
export interface SubgroupsAnswer extends Answer {
  /** The effect in each group, from the model of everybody. */
  readonly effects: readonly GroupEffect[];
}

/**
 * Whether the difference of the arms differs between groups of golfers: interactions with their
 * intervals. There are no p values: a study that is large enough for its effect is far too small for
 * differences of the effect, and groups are never tested one by one.
 * @param change from `outcome.change()`
 * @param columns of the participants file: "sex", {column: "age_years", from: 60}
 * @returns one answer per column and comparison: effect in the second group − effect in the first
 * @throws InputError when the participants file has no such column
 * @see Assmann et al. (2000) Lancet 355:1064–1069 (cited from memory)
 * @example subgroups(openStudy("winter-block").primary.change(), ["sex"]).count.n // 24
 */
export function subgroups(change: Change, columns: readonly SubgroupColumn[]): SubgroupsAnswer {
  if (!Array.isArray(columns) || columns.length === 0) {
    const expected = 'a list of columns, such as ["sex"]';
    throw new InputError({ expected, got: typeof columns, where: "subgroups, columns" });
  }
  const base = fields(change);
  const why = armObstacle(change, 3);
  if (why !== undefined) {
    return frozen({ ...answer({ ...base, unanswered: why }), effects: [] });
  }
  const pairs = armPairs(change.outcome.study.design.arms);
  const found = columns.flatMap((column: SubgroupColumn) =>
    pairs.map((pair) => interactionIn(change, pair, column, base, pairs.length > 1)),
  );
  const parts = found.map(({ single }) => single);
  const effects = found.flatMap((one) => one.effects);
  const [only] = parts;
  const whole = parts.length === 1 && only ? only : answer({ ...base, parts });
  return frozen({ ...whole, effects });
}

function fields(change: Change): AnswerFields {
  const { outcome } = change;
  return {
    kind: "subgroups",
    quantity: "difference",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    adjustedFor: ["baseline"],
    unit: outcome.unit,
    count: { n: change.rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "interaction in an analysis of covariance",
    source: change.source(),
  };
}

interface Interaction {
  readonly single: Answer;
  readonly effects: readonly GroupEffect[];
}

function interactionIn(
  change: Change,
  pair: ArmPair,
  column: SubgroupColumn,
  base: AnswerFields,
  isOneOfSeveral: boolean,
): Interaction {
  const all = change.rows.filter(({ arm }) => arm === pair.first.id || arm === pair.second.id);
  const traits = traitsOf(change, all, column);
  const rows = all.filter((_, i) => itemAt(traits.values, i) !== null);
  const trait = traits.values.flatMap((value) => (value === null ? [] : [value]));
  const name = isOneOfSeveral ? `${traits.name}-${pairPart(pair)}` : traits.name;
  const common = {
    ...base,
    part: name,
    arms: { first: pair.first.title, second: pair.second.title },
    aspect: `${traits.title}: ${traits.labels[1]} − ${traits.labels[0]}`,
    subgroups: { trait: traits.title, first: traits.labels[1], second: traits.labels[0] },
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
  } as const;
  if (traits.unanswered !== undefined) {
    return { single: answer({ ...common, unanswered: traits.unanswered }), effects: [] };
  }
  try {
    const { level } = change.outcome.study.plan;
    const fit = effectByTrait(
      {
        before: columnOf(rows, "before"),
        after: columnOf(rows, "after"),
        group: rows.map(({ arm }) => arm),
        reference: pair.second.id,
        trait,
      },
      { level },
    );
    const interaction = withoutP(fit.interaction);
    const single = answer({
      ...common,
      estimate: interaction,
      leaveOneOut: leaveOneOutOf(
        interaction,
        rows.map(({ participant }) => participant),
        withoutEach(rows, trait, pair, level),
      ),
      warnings: fit.warnings,
    });
    const effects = fit.effects.map(({ trait: at, trained, control, effect }) => ({
      label: `${traits.title}: ${traits.labels[at === 1 ? 1 : 0]}`,
      n: trained + control,
      effect: withoutP(effect),
    }));
    return { single, effects };
  } catch (error) {
    return { single: answer({ ...common, unanswered: refusalSentence(error) }), effects: [] };
  }
}

function withoutP({ p: _, statistic: __, ...rest }: Estimate): Estimate {
  return rest;
}

/** The interaction without each golfer in turn, at the cost of one fit. */
function withoutEach(
  rows: readonly ChangeRow[],
  trait: readonly number[],
  { first }: ArmPair,
  level: number,
): (Estimate | null)[] {
  const arm = rows.map((row) => (row.arm === first.id ? 1 : 0));
  const model = [
    rows.map(() => 1),
    columnOf(rows, "before"),
    arm,
    trait,
    arm.map((isFirst, i) => isFirst * itemAt(trait, i)),
  ];
  return withoutEachRow(model, columnOf(rows, "after"), [0, 0, 0, 0, 1], level);
}

interface Traits {
  readonly name: string;
  readonly title: string;
  /** The groups coded 0 and 1. */
  readonly labels: readonly [string, string];
  /** Per golfer 0, 1, or null where the column is empty. */
  readonly values: readonly (number | null)[];
  readonly unanswered?: string;
}

function traitsOf(change: Change, rows: readonly ChangeRow[], column: SubgroupColumn): Traits {
  const name = typeof column === "string" ? column : column.column;
  const title = covariateName(name);
  const { study } = change.outcome;
  const cells = participantColumn(
    study,
    rows.map(({ participant }) => participant),
    name,
  );
  if (typeof column !== "string") {
    const { from } = column;
    return {
      name: `${name}-${from}`,
      title,
      labels: [`below ${from}`, `${from} and over`],
      values: cells.map((cell) => (typeof cell === "number" ? (cell >= from ? 1 : 0) : null)),
    };
  }
  const kinds = [...new Set(cells.filter((cell) => cell !== null).map(String))].sort();
  const [first = "", second = ""] = kinds;
  const labels = [first, second] as const;
  const values = cells.map((cell) => (cell === null ? null : String(cell) === second ? 1 : 0));
  if (kinds.length === 2) return { name, title, labels, values };
  const unanswered = `The column ${title} must divide the golfers into two groups; it has ${kinds.length}.`;
  return { name, title, labels: ["first group", "second group"], values, unanswered };
}

import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import { pairedChange } from "../stats/change.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import type { GripRule, SpeedRule } from "../study/tables/rules.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Outcome } from "./outcome.js";
import { visitOf } from "./related-rows.js";
import { type Answer, answer, visitName } from "./study-answer.js";

/**
 * How far another rule moves an outcome on one visit: other rule − rule of the outcome, from the same
 * trials. The best of three is above the mean of three, so that a change of rule between visits looks
 * like a change of the golfers.
 * @param outcome from `study.outcome`
 * @param rule the other rule
 * @returns the mean difference over golfers, in the unit of the outcome
 * @throws InputError when the rule or the visit is not known
 */
export function ruleDifference(
  outcome: Outcome,
  rule: GripRule | SpeedRule,
  options: { readonly at?: string } = {},
): Answer {
  knownOptions(options, ["at"], "ruleDifference");
  const visit = visitOf(outcome.study, options.at);
  const other = outcome.with({ rule });
  const values = new Map(
    other.rows
      .filter(({ occasion }) => occasion === visit.id)
      .map(({ participant, value }) => [participant, value]),
  );
  const rows = outcome.rows.flatMap(({ participant, occasion, value: own }) => {
    const value = values.get(participant);
    return occasion !== visit.id || value === undefined ? [] : [{ participant, own, value }];
  });
  const codes = rows.map(({ participant }) => participant);
  const fields = {
    kind: "ruleDifference",
    quantity: "difference",
    aspect: `${other.rule.title} − ${outcome.rule.title}`,
    measure: outcome.measure,
    visits: { at: visitName(visit) },
    unit: outcome.unit,
    count: { n: rows.length, of: "golfers" },
    rule: `${other.rule.title}; ${outcome.rule.title}`,
    method: "paired t",
    source: outcome.source(codes, [visit.id]),
  } as const;
  if (rows.length < 2) {
    const unanswered = "Fewer than two golfers have a value by both rules.";
    return answer({ ...fields, unanswered });
  }
  const own = rows.map((row) => row.own);
  const differences = rows.map(({ value }, i) => value - itemAt(own, i));
  const { level } = outcome.study.plan;
  const { change } = pairedChange(
    own,
    rows.map(({ value }) => value),
    { level },
  );
  const without = withoutEachRow([own.map(() => 1)], differences, [1], level);
  return answer({
    ...fields,
    estimate: change,
    leaveOneOut: leaveOneOutOf(change, codes, without),
  });
}

import { signFlip } from "../stats/permutation.js";
import type { Change } from "./outcome.js";
import { type Answer, answer, visitName } from "./study-answer.js";

/**
 * The sign-flip test of the change within each arm: it assumes only that, without an effect, a change
 * is as likely up as down by the same amount. Up to 24 golfers it counts every arrangement of signs;
 * beyond, arrangements are drawn with the seed of the plan. The p value carries no range for golfers
 * left out, which would be a new count of all arrangements for each; `changeWithin` has it.
 * @param change from `outcome.change()`
 * @returns one p value per arm
 * @see Fisher (1935) The Design of Experiments, §21
 * @example exactTest(openStudy("coach-nine").primary.change()).estimate.value < 0.05 // true
 */
export function exactTest(change: Change): Answer {
  const { outcome, before, after } = change;
  const common = {
    kind: "exactTest",
    quantity: "test",
    visits: { before: visitName(before), at: visitName(after) },
    unit: "",
    rule: outcome.rule.title,
  } as const;
  const aspect = "sign-flip test of the mean change";
  const { measure } = outcome;
  const parts = outcome.study.design.arms.map((arm) => {
    const rows = change.of(arm.id);
    const fields = {
      ...common,
      measure,
      aspect,
      arms: { first: arm.title },
      ...(outcome.study.design.arms.length > 1 && { part: arm.id }),
      count: { n: rows.length, of: "golfers" } as const,
      source: change.source(rows),
    };
    if (rows.length < 2) {
      const unanswered = `A sign-flip test needs two golfers measured on both visits; ${arm.title} has ${rows.length}.`;
      return answer({ ...fields, method: "sign-flip test", unanswered });
    }
    const column = (name: "before" | "after") => rows.map((row) => row[name]);
    const { seed } = outcome.study.plan;
    const { p, method, warnings } = signFlip(column("before"), column("after"), { seed });
    return answer({ ...fields, method, estimate: { value: p }, warnings });
  });
  const [only] = parts;
  if (parts.length === 1 && only) return only;
  const count = { n: change.rows.length, of: "golfers" } as const;
  return answer({
    ...common,
    measure,
    aspect,
    method: "sign-flip test",
    count,
    source: change.source(),
    parts,
  });
}

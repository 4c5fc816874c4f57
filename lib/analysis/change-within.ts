import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import { pairedChange } from "../stats/change.js";
import type { Estimate } from "../stats/estimate.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import type { Arm } from "../study/package/design.js";
import type { ChangeRow } from "./change-rows.js";
import { referencesOf } from "./compare-arms.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { percentOf } from "./percent-scale.js";
import { type Answer, answer, visitName } from "./study-answer.js";

/**
 * The mean change within each arm, by the paired t test. A change within an arm includes any change
 * that would have happened without training; the comparison of arms takes it out.
 * @param change from `outcome.change()`; on logarithms the answer is in percent
 * @returns one answer per arm, after − before, in the unit of the outcome
 * @throws InputError when an option is given
 * @example changeWithin(openStudy("coach-nine").outcome("speed").change()).count.n // 9
 */
export function changeWithin(change: Change, options: Record<string, never> = {}): Answer {
  knownOptions(options, [], "changeWithin");
  const { arms } = change.outcome.study.design;
  const answers = arms.map((arm) => within(change, arm));
  const [only] = answers;
  if (answers.length === 1 && only) return only;
  const parts = answers.map((one, i) => ({ ...one, part: itemAt(arms, i).id }));
  const count = { n: change.rows.length, of: "golfers" } as const;
  return answer({ ...common(change), count, source: change.source(), parts });
}

function common({ outcome, before, after }: Change) {
  return {
    kind: "changeWithin",
    quantity: "change",
    measure: outcome.measure,
    visits: { before: visitName(before), at: visitName(after) },
    unit: outcome.isLogged ? "%" : outcome.unit,
    rule: outcome.rule.title,
    method: outcome.isLogged ? "paired t of logarithms (ratio of geometric means)" : "paired t",
  } as const;
}

function within(change: Change, arm: Arm): Answer {
  const rows = change.of(arm.id);
  const fields = {
    ...common(change),
    arms: { first: arm.title },
    count: { n: rows.length, of: "golfers" } as const,
    source: change.source(rows),
    references: referencesOf(change),
    // with several arms the plan compares them; with one, the change is what it names
    planned: change.planned && change.outcome.study.design.arms.length === 1,
  };
  if (rows.length < 2) {
    const have = rows.length === 1 ? "one golfer was" : "no golfer was";
    const unanswered = `A mean change needs two golfers measured on both visits; in ${arm.title} ${have}.`;
    return answer({ ...fields, unanswered });
  }
  const { level } = change.outcome.study.plan;
  const column = (name: "before" | "after" | "change") => rows.map((row) => row[name]);
  const paired = pairedChange(column("before"), column("after"), { level });
  const scale = (estimate: Estimate) => (change.outcome.isLogged ? percentOf(estimate) : estimate);
  return answer({
    ...fields,
    estimate: scale(paired.change),
    leaveOneOut: leaveOneOutOf(
      scale(paired.change),
      codes(rows),
      eachLeftOut(rows, level).map((one) => one && scale(one)),
    ),
    warnings: paired.warnings,
  });
}

function codes(rows: readonly ChangeRow[]): string[] {
  return rows.map(({ participant }) => participant);
}

function eachLeftOut(rows: readonly ChangeRow[], level: number): (Estimate | null)[] {
  return withoutEachRow(
    [rows.map(() => 1)],
    rows.map(({ change }) => change),
    [1],
    level,
  );
}

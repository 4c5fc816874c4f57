import { knownOptions } from "../options.js";
import { pairedChange } from "../stats/change.js";
import type { Estimate } from "../stats/estimate.js";
import { compareGroups } from "../stats/groups.js";
import type { Arm } from "../study/package/design.js";
import { type ArmPair, armObstacle, armPairs, columnOf, pairPart } from "./arm-rows.js";
import type { ChangeRow } from "./change-rows.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/**
 * Standardised effects, each with the standard deviation it is divided by: the difference of the
 * changes of two arms by the spread of the changes, and the change within each arm by the spread
 * between golfers (Hedges' g). The two are not comparable: changes differ less than golfers do.
 * @param change from `outcome.change()`
 * @returns one answer per comparison, then one per arm, without unit
 * @throws InputError when an option is given
 * @see Hedges (1981) J Educ Stat 6:107–128; Lakens (2013) Front Psychol 4:863
 * @example standardised(openStudy("winter-block").primary.change()).parts.length // 3
 */
export function standardised(change: Change, options: Record<string, never> = {}): Answer {
  knownOptions(options, [], "standardised");
  const { arms } = change.outcome.study.design;
  const base = fields(change);
  const pairs = armObstacle(change, 2) === undefined ? armPairs(arms) : [];
  return answer({
    ...base,
    parts: [
      ...pairs.map((pair) => between(change, pair, base)),
      ...arms.map((arm) => within(change, arm, base)),
    ],
  });
}

function fields(change: Change): AnswerFields {
  const { outcome } = change;
  return {
    kind: "standardised",
    quantity: "size",
    measure: outcome.measure,
    visits: { before: visitName(change.before), at: visitName(change.after) },
    unit: "",
    count: { n: change.rows.length, of: "golfers" },
    rule: outcome.rule.title,
    method: "Hedges' g, interval from the non-central t distribution",
    source: change.source(),
  };
}

/** Hedges' g of the changes of two arms; null where an arm has one golfer or nothing varies. */
function armsApart(
  first: readonly ChangeRow[],
  second: readonly ChangeRow[],
  level: number,
): Estimate | null {
  if (first.length < 2 || second.length < 2) return null;
  const changes = [columnOf(first, "change"), columnOf(second, "change")] as const;
  return compareGroups(...changes, { level, variances: "equal" }).hedgesG ?? null;
}

/** The estimate from all rows but one, for each row in turn. */
function withoutEach(
  rows: readonly ChangeRow[],
  estimate: (rest: readonly ChangeRow[]) => Estimate | null,
): (Estimate | null)[] {
  return rows.map((row) => estimate(rows.filter((one) => one !== row)));
}

function between(change: Change, pair: ArmPair, base: AnswerFields): Answer {
  const [first, second] = [change.of(pair.first.id), change.of(pair.second.id)];
  const { level } = change.outcome.study.plan;
  const hedgesG = armsApart(first, second, level);
  const without = [
    ...withoutEach(first, (rest) => armsApart(rest, second, level)),
    ...withoutEach(second, (rest) => armsApart(first, rest, level)),
  ];
  return answer({
    ...base,
    part: pairPart(pair),
    arms: { first: pair.first.title, second: pair.second.title },
    aspect: "change in standard deviations of change",
    count: { n: first.length + second.length, of: "golfers" },
    source: change.source([...first, ...second]),
    ...(hedgesG
      ? {
          estimate: hedgesG,
          leaveOneOut: leaveOneOutOf(hedgesG, codesOf([...first, ...second]), without),
        }
      : {
          unanswered:
            "No golfer's change differs from another, so that there is no spread to divide by.",
        }),
  });
}

function within(change: Change, arm: Arm, base: AnswerFields): Answer {
  const rows = change.of(arm.id);
  const common = {
    ...base,
    part: `within-${arm.id}`,
    arms: { first: arm.title },
    aspect: "change in standard deviations between golfers",
    count: { n: rows.length, of: "golfers" },
    source: change.source(rows),
  } as const;
  const few = `A standardised change needs two golfers who differ, measured on both visits; ${arm.title} has ${rows.length}.`;
  if (rows.length < 2) return answer({ ...common, unanswered: few });
  const { level } = change.outcome.study.plan;
  const estimate = ownSpreads(rows, level);
  if (estimate === null) return answer({ ...common, unanswered: few });
  const without = withoutEach(rows, (rest) => ownSpreads(rest, level));
  const leaveOneOut = leaveOneOutOf(estimate, codesOf(rows), without);
  return answer({ ...common, estimate, leaveOneOut });
}

/** The change of one arm by the spread between its golfers; null where there is no spread. */
function ownSpreads(rows: readonly ChangeRow[], level: number): Estimate | null {
  if (rows.length < 2) return null;
  const columns = [columnOf(rows, "before"), columnOf(rows, "after")] as const;
  const { hedgesGAv: value, hedgesGAvInterval: interval } = pairedChange(...columns, { level });
  return value === undefined ? null : { value, ...(interval && { interval }) };
}

function codesOf(rows: readonly ChangeRow[]): string[] {
  return rows.map(({ participant }) => participant);
}

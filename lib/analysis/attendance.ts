import { itemAt, present } from "../entry.js";
import { correlation, fisherInterval } from "../stats/correlation.js";
import type { Estimate } from "../stats/estimate.js";
import { lineMoments } from "../stats/line-without-each.js";
import { midranks } from "../stats/ranks.js";
import { hasColumn } from "../study/tables/selection.js";
import { participantColumn } from "../study/tables/trials-by-person.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";
import { logSource, type TrainingDose } from "./training-dose.js";

/** Whether attendance goes with who a golfer is: rank correlations with the value before and age. */
export function attendanceOf(fields: AnswerFields, change: Change, logged: TrainingDose): Answer {
  const rows = change.rows.filter(({ participant }) => logged.doses.has(participant));
  const doses = rows.map(({ participant }) => present(logged.doses.get(participant)));
  const { study } = change.outcome;
  const codes = rows.map(({ participant }) => participant);
  const ages = hasColumn(study.participants, "age_years")
    ? participantColumn(study, codes, "age_years")
    : codes.map(() => null);
  const common: AnswerFields = {
    ...fields,
    unit: "",
    adjustedFor: [],
    method: "Spearman rank correlation, Fisher z with the Bonett–Wright variance",
    source: logSource(change, rows),
  };
  const parts = [
    {
      part: "before",
      of: "the value before",
      values: rows.map((row): number | string | null => row.before),
    },
    { part: "age", of: "age", values: ages },
  ].map(({ part, of, values }) => {
    const kept = values.flatMap((value, i) => (typeof value === "number" ? [i] : []));
    return ranked(
      {
        ...common,
        part,
        aspect: `correlation of ${logged.quantity.toLowerCase()} and ${of}`,
        count: { n: kept.length, of: "golfers" },
      },
      kept.map((i) => Number(values[i])),
      kept.map((i) => itemAt(doses, i)),
      kept.map((i) => itemAt(codes, i)),
      { why: logged.why, level: study.plan.level },
    );
  });
  return answer({ ...common, parts });
}

function ranked(
  fields: AnswerFields,
  x: readonly number[],
  y: readonly number[],
  codes: readonly string[],
  { why, level }: { why: string | undefined; level: number },
): Answer {
  if (why !== undefined) return answer({ ...fields, unanswered: why });
  if (x.length < 4 || new Set(x).size < 2 || new Set(y).size < 2) {
    const unanswered = "A correlation needs at least four golfers whose values differ.";
    return answer({ ...fields, unanswered });
  }
  const { value, df, p, interval } = correlation(x, y, { kind: "spearman", level });
  const estimate: Estimate = {
    value,
    ...(df !== undefined && { df }),
    ...(p !== undefined && { p }),
    ...(interval && { interval }),
  };
  const without = ranksWithoutEach(x, y, level);
  return answer({ ...fields, estimate, leaveOneOut: leaveOneOutOf(estimate, codes, without) });
}

/**
 * Rank correlations without each row: the ranks of the others move by half or one where the row
 * stood below or level with them, so that no list is sorted again.
 */
function ranksWithoutEach(
  x: readonly number[],
  y: readonly number[],
  level: number,
): (Estimate | null)[] {
  const n = x.length - 1;
  const [xRanks, yRanks] = [midranks(Float64Array.from(x)), midranks(Float64Array.from(y))];
  const moved = (values: readonly number[], ranks: ArrayLike<number>, out: number) => {
    const left = itemAt(values, out);
    return values.flatMap((value, j) => {
      if (j === out) return [];
      const shift = value > left ? 1 : value === left ? 0.5 : 0;
      return [itemAt(ranks, j) - shift];
    });
  };
  return x.map((_, i) => {
    const { xx, yy, xy } = lineMoments(moved(x, xRanks, i), moved(y, yRanks, i));
    const value = xy / Math.sqrt(xx * yy);
    if (n < 4 || !(Math.abs(value) < 1)) return null;
    const se = Math.sqrt((1 + value ** 2 / 2) / (n - 3));
    return { value, interval: fisherInterval(value, se, level, "Fisher z") };
  });
}

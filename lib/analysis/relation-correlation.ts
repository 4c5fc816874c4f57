import { present } from "../entry.js";
import { correlation, fisherInterval } from "../stats/correlation.js";
import type { Estimate } from "../stats/estimate.js";
import type { LinearFit } from "../stats/linear-model.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { RelatedPoint } from "./related-rows.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** r = t/√(t² + df), with Fisher's interval on df − 1: the simple or the partial correlation. */
function correlationOf({ value, se, df }: Estimate, level: number): Estimate | null {
  const freedom = df ?? 0;
  if (se === undefined || se === 0 || freedom < 2) return null;
  const t = value / se;
  const r = t / Math.hypot(t, Math.sqrt(freedom));
  const interval = fisherInterval(r, 1 / Math.sqrt(freedom - 1), level, "Fisher z");
  return { value: r, df: freedom, interval };
}

/** The correlation beside a slope, partial where covariates are adjusted for. */
export function correlationAnswer(
  fields: AnswerFields,
  points: readonly RelatedPoint[],
  fit: LinearFit,
  without: readonly (Estimate | null)[],
  level: number,
): Answer {
  const isPartial = (fields.adjustedFor ?? []).length > 0;
  const slope = present(fit.coefficients.x);
  const whole = isPartial
    ? correlationOf(slope, level)
    : correlation(
        points.map(({ x }) => x),
        points.map(({ y }) => y),
        { level },
      );
  const aspect = isPartial ? "partial correlation" : "correlation";
  if (whole === null) {
    const unanswered = "The points lie exactly on a line, so that the correlation has no interval.";
    return answer({ ...fields, aspect, unit: "", unanswered });
  }
  const { value, df, p, interval } = whole;
  const estimate: Estimate = {
    value,
    ...(df !== undefined && { df }),
    ...((p ?? slope.p) !== undefined && { p: present(p ?? slope.p) }),
    ...(interval && { interval }),
  };
  return answer({
    ...fields,
    aspect,
    unit: "",
    method: isPartial ? "partial correlation, Fisher z" : "Pearson correlation, Fisher z",
    estimate,
    leaveOneOut: leaveOneOutOf(
      estimate,
      points.map(({ participant }) => participant),
      without.map((one) => one && correlationOf(one, level)),
    ),
  });
}

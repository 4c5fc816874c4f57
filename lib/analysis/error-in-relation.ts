import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { attenuation } from "../stats/attenuation.js";
import { fitDeming } from "../stats/deming.js";
import type { Estimate } from "../stats/estimate.js";
import {
  demingWithoutEach,
  lineMoments,
  momentsWithout,
  slopeFreeOfError,
} from "../stats/line-without-each.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { RelationAnswer } from "./relate.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** Typical errors of the two outcomes of a relation, from `reliabilityOf`. */
export interface ErrorsInRelation {
  /** Typical error of one value of the predicting outcome. */
  readonly x: Answer;
  /** Typical error of one value of the predicted outcome; for Deming's line only. */
  readonly y?: Answer;
}

/**
 * What measurement error does to a relation: the share of the variance that is not error, the slope
 * with the error of x corrected for, and with `y` Deming's slope, which takes all scatter for
 * measurement error. A change has the error of two values, √2 times the typical error.
 *
 * @param relation from `relate`, without covariates
 * @param errors answers of `reliabilityOf` in the units of the relation
 * @returns one answer each; why there is none in `unanswered`
 */
export function errorInRelation(relation: RelationAnswer, errors: ErrorsInRelation): Answer {
  knownOptions(errors, ["x", "y"], "errorInRelation");
  if (relation.adjustedFor.length > 0) {
    const expected = "a relation without covariates";
    const got = `one adjusted for ${relation.adjustedFor.join(", ")}`;
    throw new InputError({ expected, got, where: "errorInRelation" });
  }
  const { estimate: error } = errors.x;
  const why = relation.unanswered ?? (error ? undefined : errors.x.unanswered);
  const fields = fieldsOf(relation);
  if (why !== undefined || !error) {
    return answer({ ...fields, unanswered: why ?? "The typical error is not known." });
  }
  const areChanges = relation.visits?.before !== undefined;
  const errorSd = (areChanges ? Math.SQRT2 : 1) * error.value;
  const parts = [...corrections(relation, errorSd), ...demingOf(relation, errors)];
  return answer({ ...fields, parts });
}

function fieldsOf(relation: RelationAnswer): AnswerFields {
  const { quantity, measure, on, visits, unit, count, rule, source } = relation;
  return {
    kind: "errorInRelation",
    quantity,
    measure,
    ...(on && { on }),
    ...(visits && { visits }),
    unit,
    count,
    rule,
    method: "known error variance",
    source,
  };
}

function corrections(relation: RelationAnswer, errorSd: number): Answer[] {
  const { points, correlation } = relation;
  const level = correlation.estimate?.interval?.level ?? 0.95;
  const [x, y, codes] = [
    points.map((point) => point.x),
    points.map((point) => point.y),
    points.map(({ participant }) => participant),
  ];
  const whole = attenuation(x, y, { errorSd, level });
  const all = lineMoments(x, y);
  const without = points.map((point) =>
    slopeFreeOfError(momentsWithout(all, point.x, point.y), errorSd ** 2, level),
  );
  const share: Estimate = { value: whole.reliability };
  const fields = fieldsOf(relation);
  const corrected = answer({
    ...fields,
    part: "corrected",
    aspect: `${relation.aspect ?? "slope"} corrected for measurement error`,
    method: "known error variance (Fuller 1987)",
    ...(whole.corrected && {
      estimate: whole.corrected,
      leaveOneOut: leaveOneOutOf(
        whole.corrected,
        codes,
        without.map((one) => one.corrected),
      ),
    }),
    ...(!whole.corrected && {
      unanswered:
        "The golfers differ by no more than measurement error, so that no slope can be corrected for it.",
    }),
    warnings: whole.corrected ? impossibleWithout(codes, without) : [],
  });
  const spread = answer({
    ...fields,
    part: "share",
    quantity: "share",
    ...(relation.on && { measure: relation.on }),
    aspect: relation.visits?.before
      ? "share of the variance of changes that is not error"
      : "share of the variance between golfers that is not error",
    unit: "",
    method: "1 − error variance / variance",
    estimate: share,
    leaveOneOut: leaveOneOutOf(
      share,
      codes,
      without.map(({ reliability }) => ({ value: reliability })),
    ),
  });
  const { on: _, ...alone } = spread;
  return [alone, corrected];
}

function impossibleWithout(
  codes: readonly string[],
  without: readonly { readonly corrected: Estimate | null }[],
): string[] {
  const lost = codes.filter((_, i) => itemAt(without, i).corrected === null);
  if (lost.length === 0) return [];
  return [
    `Without ${lost.join(" or ")} the golfers differ by no more than measurement error, and the slope cannot be corrected.`,
  ];
}

function demingOf(relation: RelationAnswer, { x, y }: ErrorsInRelation): Answer[] {
  if (!x.estimate || !y?.estimate) return [];
  const ratio = (y.estimate.value / x.estimate.value) ** 2;
  const { points } = relation;
  const columns = { x: points.map((point) => point.x), y: points.map((point) => point.y) };
  const level = relation.correlation.estimate?.interval?.level ?? 0.95;
  const { slope } = fitDeming(columns, { varianceRatio: ratio, level });
  const codes = points.map(({ participant }) => participant);
  return [
    answer({
      ...fieldsOf(relation),
      part: "deming",
      aspect: "slope if all scatter were measurement error",
      method: `Deming regression, jackknife over golfers, ratio of error variances ${ratio.toFixed(2)}`,
      estimate: slope,
      leaveOneOut: leaveOneOutOf(
        slope,
        codes,
        demingWithoutEach(columns.x, columns.y, ratio, level),
      ),
    }),
  ];
}

import type { Answer } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import { answerTitle, listWords } from "./answer-words.js";
import type { ClaimRelation } from "./claim-record.js";
import type { Finding } from "./finding-record.js";
import { intervalText, rounderFor, withUnit } from "./wording.js";

/** Where a claim puts the value, after a title and a colon. */
const place = {
  "is above": "above",
  "is below": "below",
  "differs from": "different from",
  "is within": "within",
} as const satisfies Record<ClaimRelation, string>;

/**
 * A claim on an answer as a sentence. Only where golfers were allocated at random does a difference
 * between arms read as an effect; elsewhere one arm ended higher than the other.
 */
export function claimStatement(
  answer: Answer,
  relation: ClaimRelation,
  bound: number | string,
): string {
  const plain = `${answerTitle(answer)}: ${place[relation]} ${boundText(bound)}.`;
  if (relation !== "is above" && relation !== "is below") return plain;
  const { quantity, arms, measure, visits } = answer;
  const outcome = lowerFirst(measure.name);
  if (quantity === "difference" && arms?.second !== undefined && answer.aspect === undefined) {
    const [first, second] = [arms.first, lowerFirst(arms.second)];
    if (bound === 0) {
      const [raised, higher] =
        relation === "is above" ? ["raised", "higher"] : ["lowered", "lower"];
      return answer.randomised
        ? `${first} ${raised} ${outcome} more than ${second}.`
        : `${measure.name} ${answer.kind === "compareStudies" ? "was" : "ended"} ${higher} with ${lowerFirst(first)} than with ${second}.`;
    }
    if (relation === "is above" && (typeof bound === "string" || bound > 0)) {
      return answer.randomised
        ? `${first} raised ${outcome} more than ${second}, by more than ${boundText(bound)}.`
        : `${measure.name} ended higher with ${lowerFirst(first)} than with ${second}, by more than ${boundText(bound)}.`;
    }
    const noun = answer.randomised ? "effect" : "difference";
    return `The ${noun} of ${lowerFirst(first)} − ${second} in ${outcome} ${relation} ${boundText(bound)}.`;
  }
  if (quantity === "relation" && answer.on && bound === 0) {
    return relationStatement(answer, relation === "is above");
  }
  if (quantity === "change" && visits?.before && answer.aspect === undefined) {
    const higher = relation === "is above" ? "higher" : "lower";
    const where = arms ? ` in ${lowerFirst(arms.first)}` : "";
    if (relation === "is above" && (typeof bound === "string" || bound > 0)) {
      return `${measure.name}${where} rose by more than ${boundText(bound)} from week ${visits.before.week} to week ${visits.at.week}.`;
    }
    if (bound !== 0) {
      return `The change of ${outcome}${where}, week ${visits.before.week} to week ${visits.at.week}, ${relation} ${boundText(bound)}.`;
    }
    return `${measure.name} was ${higher} in week ${visits.at.week} than in week ${visits.before.week}${where}.`;
  }
  return plain;
}

/**
 * "Golfers with a higher grip had a higher speed", of changes "Golfers whose grip rose more gained
 * more speed", within golfers "At visits with a higher grip a golfer had a higher speed".
 */
function relationStatement(answer: Answer, isPositive: boolean): string {
  const { measure, on, visits, adjustedFor } = answer;
  const [outcome, predictor] = [lowerFirst(measure.name), lowerFirst(on?.name ?? "")];
  const side = isPositive ? "higher" : "lower";
  const adjusted = adjustedFor.length > 0 ? ` (adjusted for ${listWords(adjustedFor)})` : "";
  if (answer.kind === "relateWithin") {
    return `At visits with a higher ${predictor} a golfer had a ${side} ${outcome}${adjusted}.`;
  }
  if (answer.kind !== "relate" && answer.kind !== "relateInGroups") {
    const details = answer.aspect === undefined ? "" : `: ${answer.aspect}`;
    return `Higher ${predictor} went with ${side} ${outcome}${details}.`;
  }
  if (visits?.before) {
    const gained = isPositive ? "more" : "less";
    return `Golfers whose ${predictor} rose more gained ${gained} ${outcome} from week ${visits.before.week} to week ${visits.at.week}${adjusted}.`;
  }
  const when = visits ? ` in week ${visits.at.week}` : "";
  return `Golfers with a higher ${predictor} had a ${side} ${outcome}${when}${adjusted}.`;
}

/** A bound in words: "0", "3 kgf" or "the smallest worthwhile change". */
export function boundText(bound: number | string, unit = ""): string {
  return typeof bound === "number"
    ? withUnit(String(bound), bound === 0 ? "" : unit)
    : `the ${bound}`;
}

/** What the interval supports about the side of zero; its bound is the limit as it is printed. */
export function strongestStatement(finding: Finding & { low: number; high: number }): string {
  const { title, unit, low, high } = finding;
  const write = (limit: number) => withUnit(rounderFor(finding)(limit), unit);
  const interval = intervalText(finding);
  if (low > 0) return `${title}: above 0 by at least ${write(low)} (${interval}).`;
  if (high < 0) return `${title}: below 0 by at least ${write(-high)} (${interval}).`;
  return `${title}: the direction is not shown; plausible values are ${write(low)} to ${write(high)} (${interval}).`;
}

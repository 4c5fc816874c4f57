import type { Answer } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import { answerTitle } from "./answer-words.js";
import type { ClaimRelation } from "./claim-record.js";
import type { Finding } from "./finding-record.js";
import { intervalText, rounderFor, withUnit } from "./wording.js";

/**
 * A claim on an answer as a sentence. Only where golfers were allocated at random does a difference
 * between arms read as an effect; elsewhere one arm ended higher than the other.
 */
export function claimStatement(
  answer: Answer,
  relation: ClaimRelation,
  bound: number | string,
): string {
  const plain = `${answerTitle(answer)}: the value ${relation} ${boundText(bound)}.`;
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
    const noun = answer.randomised ? "effect" : "difference";
    return `The ${noun} of ${lowerFirst(first)} − ${second} in ${outcome} ${relation} ${boundText(bound)}.`;
  }
  if (quantity === "relation" && answer.on && bound === 0) {
    return relationStatement(answer, relation === "is above");
  }
  if (quantity === "change" && visits?.before && answer.aspect === undefined) {
    const higher = relation === "is above" ? "higher" : "lower";
    const where = arms ? ` in ${lowerFirst(arms.first)}` : "";
    if (bound !== 0) {
      return `The change of ${outcome}${where}, week ${visits.before.week} to week ${visits.at.week}, ${relation} ${boundText(bound)}.`;
    }
    return `${measure.name} was ${higher} in week ${visits.at.week} than in week ${visits.before.week}${where}.`;
  }
  return plain;
}

/** "Higher grip went with higher speed", with what the title says of visit, covariates and method. */
function relationStatement(answer: Answer, isPositive: boolean): string {
  const { measure, on, aspect = "" } = answer;
  const subject = `${measure.name} and ${lowerFirst(on?.name ?? "")}`;
  const details = answerTitle(answer)
    .slice(subject.length)
    .replace(/^[, ]+/, "");
  const ofChanges = /\bchanges\b/.test(aspect);
  const noun = (name: string) => (ofChanges ? `change of ${lowerFirst(name)}` : lowerFirst(name));
  const predictor = `${ofChanges ? "A larger" : "Higher"} ${noun(on?.name ?? "")}`;
  const outcome = `${ofChanges ? "a " : ""}${sideWord(ofChanges, isPositive)} ${noun(measure.name)}`;
  return `${predictor} went with ${outcome}${details ? `: ${details}` : ""}.`;
}

function sideWord(ofChanges: boolean, isPositive: boolean): string {
  if (ofChanges) return isPositive ? "larger" : "smaller";
  return isPositive ? "higher" : "lower";
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

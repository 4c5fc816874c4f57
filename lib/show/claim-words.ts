import type { Answer } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import { answerTitle, groupName, listWords } from "./answer-words.js";
import type { AnswerBound, ClaimRelation } from "./claim-record.js";
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
  bound: AnswerBound,
): string {
  const plain = `${answerTitle(answer)}: ${place[relation]} ${boundText(bound)}.`;
  if (relation !== "is above" && relation !== "is below") return plain;
  const { quantity, arms, measure, visits } = answer;
  const outcome = lowerFirst(measure.name);
  if (quantity === "difference" && arms?.second !== undefined && answer.aspect === undefined) {
    const { first, second } = arms;
    const isAbove = relation === "is above";
    if (bound === 0 || isAbove) {
      const end = bound === 0 ? "" : `, by more than ${boundText(bound)}`;
      return `${measure.name} ${comparedWords(answer, { first, second }, isAbove)}${end}.`;
    }
    const noun = answer.randomised ? "effect" : "difference";
    return `The ${noun} of ${lowerFirst(first)} − ${lowerFirst(second)} in ${outcome} ${relation} ${boundText(bound)}.`;
  }
  const ofAspect = bound === 0 ? statementOfAspect(answer, relation === "is above") : undefined;
  if (ofAspect !== undefined) return ofAspect;
  if (quantity === "relation" && answer.on && bound === 0) {
    return relationStatement(answer, relation === "is above");
  }
  if (quantity === "change" && visits?.before && answer.aspect === undefined) {
    const higher = relation === "is above" ? "higher" : "lower";
    const where = arms ? ` in the ${groupName(arms.first)}` : "";
    if (relation === "is above" && bound !== 0) {
      return `${measure.name}${where} rose by more than ${boundText(bound)} from week ${visits.before.week} to week ${visits.at.week}.`;
    }
    if (bound !== 0) {
      return `The change of ${outcome}${where}, week ${visits.before.week} to week ${visits.at.week}, ${relation} ${boundText(bound)}.`;
    }
    return `${measure.name} was ${higher} in week ${visits.at.week} than in week ${visits.before.week}${where}.`;
  }
  return plain;
}

/** How the first arm compares with the second: it "rose more" only where allocation was random. */
function comparedWords(
  { kind, randomised }: Answer,
  { first, second }: { readonly first: string; readonly second: string },
  isAbove: boolean,
): string {
  const higher = isAbove ? "higher" : "lower";
  if (kind === "compareStudies") {
    return `was ${higher} with ${lowerFirst(first)} than with ${lowerFirst(second)}`;
  }
  const moved = randomised ? (isAbove ? "rose more" : "rose less") : `ended ${higher}`;
  return `${moved} in the ${groupName(first)} than in the ${groupName(second)}`;
}

/** Statements of questions whose aspect decides what is above or below zero. */
function statementOfAspect(answer: Answer, isAbove: boolean): string | undefined {
  const { kind, measure, arms, visits, subgroups } = answer;
  const outcome = lowerFirst(measure.name);
  const side = isAbove ? "above" : "below";
  const more = isAbove ? "more" : "less";
  if (kind === "doseOf" && arms?.second === undefined) {
    const where = arms ? ` in the ${groupName(arms.first)}` : "";
    return `Golfers${where} who trained more gained ${more} ${outcome}.`;
  }
  if (kind === "individualResponseOf" && arms?.second !== undefined) {
    const [first, second] = [groupName(arms.first), groupName(arms.second)];
    const scale = answer.part?.endsWith("sd") ? ", as a standard deviation" : "";
    return `Changes in ${outcome} varied ${more} in the ${first} than in the ${second}${scale}.`;
  }
  if (subgroups) {
    const { trait, first, second } = subgroups;
    const size = isAbove ? "larger" : "smaller";
    return `The difference between the arms in ${outcome} was ${size} for “${first}” than for “${second}” (${trait}).`;
  }
  if (kind === "amongNorms") {
    return `${measure.name}, was on average ${side} the published median of sex and age.`;
  }
  if (kind === "relationToBaseline" && visits) {
    return `Golfers with a ${isAbove ? "higher" : "lower"} first value gained more ${outcome}.`;
  }
  if (kind === "poolGains") {
    return `${measure.name} ${isAbove ? "rose" : "fell"} on average in trained groups of published studies.`;
  }
  return undefined;
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

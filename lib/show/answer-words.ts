import type { Answer, Counted, VisitName } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import type { Role } from "./look.js";

/**
 * The title of an answer: a noun phrase that stands alone, outcome first.
 */
export function answerTitle(answer: TitledAnswer): string {
  return answer.aspect === undefined
    ? subjectTitle(answer)
    : `${subjectTitle(answer)}, ${answer.aspect}`;
}

/** What a title is made from. */
export type TitledAnswer = Pick<
  Answer,
  "quantity" | "measure" | "on" | "arms" | "visits" | "adjustedFor" | "aspect"
>;

function subjectTitle(answer: TitledAnswer): string {
  const { quantity, measure, on } = answer;
  if (quantity === "relation" && on) {
    return `${measure.name} and ${lowerFirst(on.name)}${atVisit(answer)}${adjustedWords(answer)}`;
  }
  if (quantity === "change") {
    const arm = answer.arms ? `, ${lowerFirst(answer.arms.first)}` : "";
    return `${measure.name}${arm}: change${spanWords(answer)}`;
  }
  return `${measure.name}${atVisit(answer)}${armWords(answer)}${adjustedWords(answer)}`;
}

function armWords({ arms }: Pick<Answer, "arms">): string {
  if (!arms) return "";
  const first = lowerFirst(arms.first);
  return arms.second === undefined ? `: ${first}` : `: ${first} − ${lowerFirst(arms.second)}`;
}

function adjustedWords({ adjustedFor }: Pick<Answer, "adjustedFor">): string {
  const [first, ...rest] = adjustedFor;
  if (first === undefined) return "";
  if (first === "baseline" && rest.length === 0) return " (baseline-adjusted)";
  return ` (adjusted for ${listWords(adjustedFor)})`;
}

function atVisit({ visits }: Pick<Answer, "visits">): string {
  return visits ? `, ${weekWords(visits.at)}` : "";
}

function spanWords({ visits }: Pick<Answer, "visits">): string {
  if (!visits?.before) return "";
  return `, ${weekWords(visits.before)} to ${weekWords(visits.at)}`;
}

function weekWords({ week }: VisitName): string {
  return `week ${week}`;
}

/** An arm as a group of golfers in a sentence: "grip block group", "control group". */
export function groupName(arm: string): string {
  return /\bgroup$/i.test(arm) ? lowerFirst(arm) : `${lowerFirst(arm)} group`;
}

/** "sex, age and body mass" */
export function listWords(items: readonly string[]): string {
  const last = items.at(-1) ?? "";
  if (items.length < 2) return last;
  return `${items.slice(0, -1).join(", ")} and ${last}`;
}

/** The nouns that n may have, with their singular. */
const singular: Readonly<Record<Counted, string>> = {
  golfers: "golfer",
  trials: "trial",
  swings: "swing",
  visits: "visit",
  studies: "study",
  inputs: "input",
  results: "result",
  "simulated studies": "simulated study",
};

/** Every noun that n may have. */
export const countedNouns = Object.keys(singular) as readonly Counted[];

/**
 * What n counts, with its number.
 */
export function countWords({ n, of }: Answer["count"]): string {
  return `${n} ${n === 1 ? singular[of] : of}`;
}

/** The fields that decide a mark. */
export interface Marked {
  /** The outcome that a number is about. */
  readonly measure?: Answer["measure"];
  /** The outcome that a relation sets beside it. */
  readonly on?: Answer["measure"];
}

/** The mark family of a number: the hand of a grip outcome, the speed of the club, else none. */
export function answerRole({ measure, on }: Marked): Role | undefined {
  if (on !== undefined || measure === undefined) return undefined;
  return measure.outcome === "speed" ? "speed" : measure.hand;
}

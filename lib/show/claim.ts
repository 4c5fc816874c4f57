import type { Answer } from "../analysis/study-answer.js";
import { itemAt } from "../entry.js";
import { type Markup, markup, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import { anAnswer, findingOfAnswer, idsOf, singlesOf } from "./answer-finding.js";
import {
  type AnswerBound,
  boundWords,
  type Claim,
  type ClaimRelation,
  type ClaimWords,
  claimRelations,
  type Support,
} from "./claim-record.js";
import { boundText, claimStatement, strongestStatement } from "./claim-words.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import { type Finding, isAnswered, type RecordedFinding } from "./finding-record.js";
import { claimSchema } from "./output-schemas.js";
import { finite, identifier, refuse } from "./record.js";
import { outputRecord } from "./schema.js";
import { percentLevel } from "./wording.js";

/** A statement, the finding behind it, and what the statement says of the finding. */
export interface ClaimInput {
  /** The conclusion as a sentence. */
  readonly statement: string;
  /** The finding that it rests on. */
  readonly finding: Finding;
  /** Names the claim in the record; the finding's id with "-claim" unless given. */
  readonly id?: string | undefined;
  /** How the statement relates the finding to the bound. */
  readonly relation: ClaimRelation;
  /** A number in the unit of the finding, or the name of one of its reference values. */
  readonly bound: number | string;
}

interface Limits {
  readonly low: number;
  readonly high: number;
}

/** Whether all, none or some of the values between the limits agree; the bound itself does not. */
function supportOf({ low, high }: Limits, relation: ClaimRelation, bound: number): Support {
  const agrees = {
    "is above": { all: low > bound, none: high <= bound },
    "is below": { all: high < bound, none: low >= bound },
    "differs from": { all: low > bound || high < bound, none: low === bound && high === bound },
    "is within": { all: low > -bound && high < bound, none: low >= bound || high <= -bound },
  }[relation];
  if (agrees.all) return "supported";
  return agrees.none ? "contradicted" : "not settled";
}

function boundValue(finding: Finding, bound: number | string, where: string): number {
  if (typeof bound === "number") return finite(bound, `${where}, bound`);
  const found = finding.references?.find(({ name }) => name === bound);
  if (found) return found.value;
  const names = finding.references?.map(({ name }) => name).join(", ");
  return refuse(`a reference value of finding ${finding.id}`, names ?? "none", `${where}, bound`);
}

type Conclusion = Pick<Claim, "id" | "statement" | "relation" | "bound">;

/** The claim checked against the interval of its finding. */
function checkedClaim(claim: Conclusion, finding: Finding & Limits, where: string): Claim {
  const bound = boundValue(finding, claim.bound, where);
  return {
    kind: "claim",
    ...claim,
    finding: finding.id,
    ...(finding.planned !== undefined && { planned: finding.planned }),
    support: supportOf(finding, claim.relation, bound),
    strongest: strongestStatement(finding),
    method: `the ${percentLevel(finding.level ?? 0.95)} CI ${claim.relation} ${boundText(bound, finding.unit)}`,
  };
}

/** A claim on a result without an interval: it stays open, and says why. */
function openClaim(claim: Conclusion, finding: RecordedFinding, reason: string): Claim {
  return {
    kind: "claim",
    ...claim,
    finding: finding.id,
    ...(finding.planned !== undefined && { planned: finding.planned }),
    support: "not settled",
    reason,
    strongest: `${finding.title}: no conclusion.`,
    method: "no interval to check",
  };
}

function hasInterval(finding: Finding): finding is Finding & Limits {
  return finding.low !== undefined && finding.high !== undefined;
}

function shown(claim: Claim, where: string): Claim {
  const record = outputRecord(claimSchema, claim, where);
  const forms = claimForms(record);
  display({
    [mimeTypes.claim]: record,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}

const claimFields = ["statement", "finding", "id", "relation", "bound"];

function typedClaim(input: ClaimInput): Claim {
  if (input === null || typeof input !== "object") refuse("a record", input, "claim");
  knownOptions(input, claimFields, "claim");
  const { finding, statement, relation, bound } = input;
  if (finding?.kind !== "finding") refuse("a finding", finding, "claim, finding");
  const id = identifier(input.id ?? `${finding.id}-claim`, "claim, id");
  const where = `claim ${id}`;
  if (!claimRelations.includes(relation)) {
    refuse(`one of ${claimRelations.join(", ")}`, relation, `${where}, relation`);
  }
  if (!hasInterval(finding)) {
    return refuse("a finding with an interval", finding.id, `${where}, finding`);
  }
  return shown(checkedClaim({ id, statement, relation, bound }, finding, where), where);
}

function partsOf(words: ClaimWords): { relation: ClaimRelation; bound: AnswerBound } {
  for (const relation of claimRelations) {
    for (const [name, bound] of Object.entries(boundWords)) {
      if (words === `${relation} ${name}` && !(relation === "is within" && bound === 0)) {
        return { relation, bound };
      }
    }
  }
  return refuse(
    'words such as "is above 0" or "is above the smallest worthwhile change"',
    words,
    "claim",
  );
}

function claimOn(id: string, answer: Answer, words: ClaimWords): Claim {
  const where = `claim ${identifier(id, "claim, id")}`;
  const { relation, bound } = partsOf(words);
  const finding =
    findingOfAnswer(answer) ??
    refuse("an answer that finding or findings shows above the claim", "one not shown", where);
  const claim = { id, statement: claimStatement(answer, relation, bound), relation, bound };
  if (!isAnswered(finding)) return shown(openClaim(claim, finding, finding.unanswered), where);
  if (!hasInterval(finding)) {
    return shown(openClaim(claim, finding, "The result has no interval."), where);
  }
  const lacks = typeof bound === "string" && !finding.references?.some((one) => one.name === bound);
  if (lacks) return shown(openClaim(claim, finding, `The study names no ${bound}.`), where);
  return shown(checkedClaim(claim, finding, where), where);
}

/**
 * Checks a conclusion against a result: supported when the whole interval agrees with it,
 * contradicted when none of it does, otherwise not settled. It also states what the interval does
 * support.
 *
 * Give an id, an answer that a finding shows, and what is claimed of it: "is above 0", "is within
 * the smallest worthwhile change". The statement is made from the answer, one claim per comparison;
 * a claim on a question without an answer is not settled, with the reason. For a number that is not
 * from a study give a record with the finding, a statement, a relation and a bound.
 *
 * The check is about this interval at its level only: it knows nothing of bias, of how the finding
 * was chosen, or of the cause.
 * @throws InputError when the answer was not shown as a finding, the words are not known, or a
 *   finding given as a record has no interval or no reference value of that name
 * @example claim({ statement: "Grip rose by more than 3 kgf.", relation: "is above", bound: 3, finding: finding({ id: "g", title: "Change of grip", value: 2.6, low: 1.9, high: 3.4, unit: "kgf", count: { n: 24, of: "golfers" }, method: "paired t" }) }).support // "not settled"
 */
export function claim(input: ClaimInput): Claim;
/** One claim per single answer, under an id. */
export function claim(id: string, answer: Answer, words: ClaimWords): readonly Claim[];
export function claim(
  input: ClaimInput | string,
  answer?: Answer,
  words?: ClaimWords,
): Claim | readonly Claim[] {
  if (typeof input !== "string") return typedClaim(input);
  const singles = singlesOf(anAnswer(answer, "claim"));
  const said = words ?? refuse('words such as "is above 0"', words, "claim");
  const ids = idsOf(input, singles);
  return Object.freeze(singles.map((single, i) => claimOn(itemAt(ids, i), single, said)));
}

/** How a reader meets a claim, from the record alone. */
export function claimForms(record: Claim): ReadableForms {
  return { html: String(claimHtml(record)), plain: claimText(record) };
}

/** The state of a claim as a heading. */
export const supportHeads: Readonly<Record<Support, string>> = {
  supported: "Supported",
  contradicted: "Contradicted",
  "not settled": "Not settled",
};

function claimText({ support, statement, reason, strongest, planned }: Claim): string {
  const plan = planned === undefined ? "" : planned ? " (planned)" : " (not planned)";
  const head = `${supportHeads[support]}${plan}: “${statement}”`;
  return reason === undefined
    ? `${head} The result supports: ${strongest}`
    : `${head} It cannot be checked: ${reason}`;
}

function claimHtml(record: Claim): Markup {
  return markup`<p data-claim="${record.id}">${proseHtml(claimText(record))}</p>`;
}

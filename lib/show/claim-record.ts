/** How a claim relates a result to its bound. */
export const claimRelations = ["is above", "is below", "differs from", "is within"] as const;

/**
 * How a claim relates a result to its bound: above it, below it, on either side of it, or between
 * minus the bound and the bound.
 */
export type ClaimRelation = (typeof claimRelations)[number];

/** The reference values that a claim on an answer can name, with the words that name them. */
export const boundWords = {
  "0": 0,
  "the smallest worthwhile change": "smallest worthwhile change",
  "the typical error": "typical error",
  "the minimal detectable change": "minimal detectable change",
} as const;

/** What a claim on an answer may compare it with. */
export type ClaimBound = keyof typeof boundWords;

/** What a claim on an answer compares it with: zero, or the name of a reference value. */
export type AnswerBound = (typeof boundWords)[ClaimBound];

/** What a claim says of an answer: "is above 0", "is within the smallest worthwhile change". */
export type ClaimWords =
  | `${Exclude<ClaimRelation, "is within">} ${ClaimBound}`
  | `is within ${Exclude<ClaimBound, "0">}`;

/** Whether every value, no value, or only some values in the interval agree with the claim. */
export type Support = "supported" | "contradicted" | "not settled";

/** A candidate conclusion, checked against a result. */
export interface Claim {
  /** Kind of the output. */
  readonly kind: "claim";
  /** Names the claim in the record. */
  readonly id: string;
  /** The conclusion as a sentence. */
  readonly statement: string;
  /** Id of the finding behind it. */
  readonly finding: string;
  /** How the statement relates the finding to the bound. */
  readonly relation: ClaimRelation;
  /** A number in the unit of the finding, or the name of one of its reference values. */
  readonly bound: number | string;
  /** Whether the plan named the result before the data were seen; left out where that is no question. */
  readonly planned?: boolean;
  /** Whether the interval supports the statement. */
  readonly support: Support;
  /** Why the statement could not be checked, where the result has no interval. */
  readonly reason?: string;
  /** The strongest statement about the side of zero that the interval supports. */
  readonly strongest: string;
  /** How the statement was checked, in a phrase. */
  readonly method: string;
}

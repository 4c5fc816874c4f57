import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import {
  type AmountRange,
  type AmountRangeLike,
  notNegative,
  positive,
  positiveRange,
} from "./amount.js";

/**
 * Friction of skin, from a pinch on textured vinyl, dry and moist (0.5), to the whole dry hand on
 * metal rails (1.7).
 * Slicker things are published (paper 0.27, aluminium 0.38, a soapy hand 0.46), and no value for the
 * rubber of a golf grip was found.
 * Source: Buchholz, Frederick, Armstrong (1988) Ergonomics 31:317–325, read in a university table;
 * functional handgrip test (2002) Ergonomics 45:717–731, abstract.
 */
const publishedFriction: AmountRange = Object.freeze({ low: 0.5, high: 1.7 });

/**
 * Sum of normal forces on the handle for each newton that a dynamometer shows: 2 if the hand
 * presses from two sides, as on the two bars of a dynamometer; π if it presses evenly all round.
 */
const normalPerReading: AmountRange = Object.freeze({ low: 2, high: Math.PI });

/** What hands must press with so that the club does not slip, as a range. */
export interface HoldDemand {
  /** Name of the function that made it. */
  readonly kind: "holdDemand";
  /** Sum of normal forces of both hands with the best and the worst friction, N. */
  readonly low: number;
  /** The upper end of the same sum: lowest friction and largest pull, N. */
  readonly high: number;
  /** Pull of the club along the shaft, in newtons. */
  readonly pullN: AmountRange;
  /** Range of the coefficient of friction between hands and grip, without unit. */
  readonly friction: AmountRange;
  /** The same as readings of a dynamometer, both hands added, N. */
  readonly readingN: AmountRange;
  /** How the range was calculated. */
  readonly method: string;
  /** What a reader must know before using the range. */
  readonly cautions: readonly string[];
}

const cautions: readonly string[] = Object.freeze([
  "A range, not a requirement: a glove, the taper of a grip, moisture and the hook of the fingers are left out.",
  "A dynamometer shows the force between two bars, not the sum of the forces on a round grip.",
  "No study that we could read reports the share of maximal grip used in a swing. Only a measurement can give it.",
]);

/**
 * Normal force that both hands together need so that friction alone holds the pull of a club.
 *
 * Coulomb friction, `N = F / μ`: the low end with the smallest pull and the highest friction, the
 * high end the other way round. Always a range: the published coefficients alone differ by a factor
 * above three, so one "required grip strength" would be false precision.
 * @param input pullN: pull in newtons, a number, or a range such as `clubPull(…).band`; friction: a
 *   range of coefficients, {low, high} or [low, high], by default 0.5 to 1.7
 * @returns low and high in newtons, and what they are as dynamometer readings
 * @throws InputError when an amount is not positive, or friction is given as one number
 * @see Buchholz B, Frederick LJ, Armstrong TJ (1988) Ergonomics 31:317–325
 * @see Functional handgrip test (2002) Ergonomics 45:717–731, doi:10.1080/00140130210159247
 * @example holdDemand({ pullN: 343.4, friction: { low: 0.5, high: 1.7 } }).high // 686.8
 */
export function holdDemand(input: {
  pullN: number | AmountRangeLike;
  friction?: AmountRangeLike;
}): HoldDemand {
  knownOptions(input, ["pullN", "friction"], "holdDemand");
  const { pullN, friction = publishedFriction } = input;
  const pull = rangeOrNumber(pullN, "holdDemand, pullN");
  const mu = frictionRange(friction, "holdDemand");
  const low = pull.low / mu.high;
  const high = pull.high / mu.low;
  return Object.freeze({
    kind: "holdDemand",
    low,
    high,
    pullN: pull,
    friction: mu,
    readingN: Object.freeze({
      low: low / normalPerReading.high,
      high: high / normalPerReading.low,
    }),
    method: "friction alone, N = F / μ, both hands together",
    cautions,
  });
}

/** How slippery a grip would have to be for a golfer's squeeze not to hold the pull. */
export interface FrictionNeeded {
  /** Name of the function that made it. */
  readonly kind: "frictionNeeded";
  /** Coefficient below which the club slips, if the hand presses evenly all round. */
  readonly low: number;
  /** Coefficient below which it slips, if the hand presses from two sides. */
  readonly high: number;
  /** The published range to compare it with. */
  readonly published: AmountRange;
  /** How the friction was calculated. */
  readonly method: string;
}

/**
 * Friction needed so that a squeeze holds a pull: the inverse of `holdDemand`, for a claim
 * that some grip is too weak at some speed.
 *
 * `μ = F / (k · G)`, with G the readings of both hands added (N), or the part of them used in the
 * swing, and k from 2 (two-sided press) to π (even press).
 * @param input pullN: pull in newtons, a number, or a range such as `clubPull(…).band`; gripN:
 *   dynamometer readings of both hands added, newtons
 * @throws InputError when an amount is not positive
 * @see Ergonomics 45:717–731 (2002) for the range it is compared with
 * @example frictionNeeded({ pullN: 343.4, gripN: 784.532 }).high // 0.21886
 */
export function frictionNeeded(input: {
  pullN: number | AmountRangeLike;
  gripN: number;
}): FrictionNeeded {
  knownOptions(input, ["pullN", "gripN"], "frictionNeeded");
  const { pullN, gripN } = input;
  const pull = rangeOrNumber(pullN, "frictionNeeded, pullN");
  const grip = positive(gripN, "frictionNeeded, gripN");
  return Object.freeze({
    kind: "frictionNeeded",
    low: pull.low / (normalPerReading.high * grip),
    high: pull.high / (normalPerReading.low * grip),
    published: publishedFriction,
    method: "friction alone, μ = F / (k G), k from 2 to π",
  });
}

/** How much of the maximum of both hands friction alone would ask for. */
export interface ShareNeeded {
  /** Name of the function that made it. */
  readonly kind: "shareNeeded";
  /** Percent of the readings of both hands added, with the best and the worst assumptions. */
  readonly low: number;
  /** Above 100 where even a full squeeze would not hold by friction alone. */
  readonly high: number;
  /** Range of the coefficient of friction between hands and grip, without unit. */
  readonly friction: AmountRange;
  /** How the share was calculated. */
  readonly method: string;
  /** What a reader must know before using the share. */
  readonly cautions: readonly string[];
}

/**
 * Share of both hands' maximum that would hold a pull by friction alone, percent, as a range: what
 * "uses about half of the maximum" would need to be true. It is no measurement of what a golfer uses.
 *
 * `100 F / (k μ G)`, with G the readings of both hands added (N) and k from 2 (two-sided press) to π
 * (even press): low with the smallest pull, the highest friction and π, high the other way round.
 * @param input pullN: newtons, a number or a range; gripN: readings of both hands added, newtons;
 *   friction: a range of coefficients, by default 0.5 to 1.7
 * @throws InputError when an amount is not positive, or friction is given as one number
 * @see Buchholz B, Frederick LJ, Armstrong TJ (1988) Ergonomics 31:317–325
 * @example shareNeeded({ pullN: 400, gripN: 800, friction: [0.5, 1] }).high // 50
 */
export function shareNeeded(input: {
  pullN: number | AmountRangeLike;
  gripN: number;
  friction?: AmountRangeLike;
}): ShareNeeded {
  knownOptions(input, ["pullN", "gripN", "friction"], "shareNeeded");
  const { pullN, gripN, friction = publishedFriction } = input;
  const pull = rangeOrNumber(pullN, "shareNeeded, pullN");
  const grip = positive(gripN, "shareNeeded, gripN");
  const mu = frictionRange(friction, "shareNeeded");
  return Object.freeze({
    kind: "shareNeeded",
    low: (100 * pull.low) / (normalPerReading.high * mu.high * grip),
    high: (100 * pull.high) / (normalPerReading.low * mu.low * grip),
    friction: mu,
    method: "friction alone, F / (k μ G), k from 2 to π",
    cautions,
  });
}

/**
 * Share of a golfer's own maximum used in the swing, in percent: 100 · inSwing / maximum. Both must
 * be measured in this study; no published share stands in for a missing one.
 * @param input inSwingN and maximumN in the same unit; maximumN above zero
 * @throws InputError when either is missing, negative, or the maximum is zero
 * @see Komi ER, Roberts JR, Rothberg SJ (2008) Proc IMechE P 222:23–35: grip force in the swing is
 *   repeatable within a golfer and very different between golfers
 * @example shareOfMaximum({ inSwingN: 196, maximumN: 392 }) // 50
 */
export function shareOfMaximum(input: { inSwingN: number; maximumN: number }): number {
  knownOptions(input, ["inSwingN", "maximumN"], "shareOfMaximum");
  const { inSwingN, maximumN } = input;
  const used = notNegative(inSwingN, "shareOfMaximum, inSwingN");
  return (100 * used) / positive(maximumN, "shareOfMaximum, maximumN");
}

function rangeOrNumber(value: number | AmountRangeLike, where: string): AmountRange {
  return positiveRange(typeof value === "number" ? [value, value] : value, where);
}

function frictionRange(friction: unknown, caller: string): AmountRange {
  if (typeof friction !== "number") return positiveRange(friction, `${caller}, friction`);
  throw new InputError({
    expected: "a range of friction {low, high}, since no single value is known for a golf grip",
    got: `${friction}`,
    where: `${caller}, friction`,
  });
}

import { knownOptions } from "../options.js";
import { convert } from "../units/convert.js";
import { positive } from "./amount.js";

/** How a club's length stands to the limits of the equipment rules. */
export interface ClubLength {
  /** Name of the function that made it. */
  readonly kind: "clubLength";
  /** Length of the club, in metres. */
  readonly lengthM: number;
  /** 48 in, 1.2192 m: the limit for every club but a putter. */
  readonly limitM: number;
  /** Whether the length is within the general limit of the equipment rules. */
  readonly withinLimit: boolean;
  /** 46 in, 1.1684 m: a local rule that a competition for skilled players may adopt. */
  readonly localRuleM: number;
  /** Whether it is also within the shorter limit that a competition may set. */
  readonly withinLocalRule: boolean;
}

/**
 * Compares a club's length with the limits of the rules of golf; a putter has no upper limit.
 * @param lengthM length in metres
 * @param options putter: true for a putter
 * @throws InputError when the length is not a positive number
 * @see USGA and R&A Equipment Rules 2019, part 2 section 1c: at most 48 in (1.219 m), putters
 *   excepted (that from memory); the 46 in limit is a model local rule of January 2022, read in news of 2021
 * @example clubLength(1.1557).withinLocalRule // true
 */
export function clubLength(lengthM: number, options: { putter?: boolean } = {}): ClubLength {
  knownOptions(options, ["putter"], "clubLength");
  const { putter = false } = options;
  const length = positive(lengthM, "clubLength, lengthM");
  const limitM = convert(48, "in", "m");
  const localRuleM = convert(46, "in", "m");
  return Object.freeze({
    kind: "clubLength",
    lengthM: length,
    limitM,
    withinLimit: putter || length <= limitM,
    localRuleM,
    withinLocalRule: putter || length <= localRuleM,
  });
}

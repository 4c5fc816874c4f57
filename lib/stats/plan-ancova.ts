import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { frozen } from "./estimate.js";
import { confidenceLevel, shown } from "./input.js";
import {
  bothTails,
  detectable,
  finite,
  positive,
  secondGroup,
  smallest,
  wantedPower,
} from "./plan-search.js";

/** Two arms that are going to be compared after the block, adjusted for the baseline. */
export interface AncovaDesign {
  /** Difference after the block to detect, any unit; its sign does not matter. */
  readonly difference: number;
  /** SD between people within an arm after the block, same unit. */
  readonly sd: number;
  /** Correlation of before and after within an arm, between −1 and 1. */
  readonly correlation: number;
  /** Confidence level of the two-sided test, default 0.95. */
  readonly level?: number;
  /** Power asked, as a fraction, default 0.8. */
  readonly power?: number;
  /** n2 / n1, default 1. */
  readonly ratio?: number;
}

/** Numbers of people for a comparison adjusted for the baseline. */
export interface AncovaPlan {
  /** Name of the function that made this record. */
  readonly kind: "planAncova";
  /** People in the first group. */
  readonly n1: number;
  /** People in the second group. */
  readonly n2: number;
  /** Power with those sizes: at least what was asked. */
  readonly power: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Sizes of two arms that are compared after a block with adjustment for the baseline.
 *
 *   sd of what the baseline leaves = sd √(1 − correlation²),
 *   T ~ non-central t(n1 + n2 − 3, difference / (that sd · √(1/n1 + 1/n2)))
 *
 * The smallest whole numbers with the power asked, both tails counted; n2 is n1·ratio rounded up.
 * Arms that happen to differ at baseline lose a little power more: averaged over such differences
 * 80.6 % is 79.8 % with 24 people in each arm, 90.5 % is 87.7 % with 7, and 84.8 % is 75.0 % with 3
 * (by integration). People who drop out are not
 * counted: divide by the share expected to finish, or use `planBySimulation`.
 *
 * @param design difference and sd in one unit
 * @returns whole numbers of people
 * @throws InputError when the difference is 0, sd or ratio is not positive, the correlation is not
 *   between −1 and 1, or level or power is not between 0 and 1
 * @see Borm, Fransen & Lemmens (2007) J Clin Epidemiol 60:1234–1238
 * @example planAncova({ difference: 5, sd: 10, correlation: 0.7 }).n1 // 34
 */
export function planAncova(design: AncovaDesign): AncovaPlan {
  const where = "planAncova";
  knownOptions(design, ["difference", "sd", "correlation", "level", "power", "ratio"], where);
  const sd = positive(design.sd, where, "sd");
  const effect = detectable(finite(design.difference, where, "difference") / sd, where);
  const { correlation } = design;
  if (typeof correlation !== "number" || !(Math.abs(correlation) < 1)) {
    const expected = "a correlation between −1 and 1";
    throw new InputError({ expected, got: shown(correlation), where: `${where}, correlation` });
  }
  const level = confidenceLevel(design.level ?? 0.95, where);
  const wanted = wantedPower(design.power, where);
  const ratio = positive(design.ratio ?? 1, where, "ratio");
  const left = Math.sqrt(1 - correlation ** 2);
  const second = (n1: number) => secondGroup(n1, ratio);
  const power = (n1: number) => {
    const n2 = second(n1);
    return bothTails(n1 + n2 - 3, Math.abs(effect) / left / Math.sqrt(1 / n1 + 1 / n2), level);
  };
  const n1 = smallest((n) => power(n) >= wanted, where);
  return frozen({
    kind: "planAncova" as const,
    n1,
    n2: second(n1),
    power: power(n1),
    method: `baseline-adjusted t, two-sided, level ${level}, non-central t`,
  });
}

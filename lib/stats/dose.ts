import { present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { meanAndSd } from "./describe.js";
import { type Estimate, frozen, type Numbers } from "./estimate.js";
import { confidenceLevel, namedColumns, numbers, sameLength } from "./input.js";
import { fitLinear } from "./linear-model.js";

/** How the value after a block goes with how much of it each person did. */
export interface DoseRelation {
  /** Name of the function that made this record. */
  readonly kind: "doseRelation";
  /** Number of people. */
  readonly n: number;
  /** Difference after the block per unit of dose, among people who started level. */
  readonly slope: Estimate;
  /**
   * The slope if all of the mean change came from the dose in proportion: mean change / mean dose.
   * A steeper one would mean that people who did nothing lost.
   */
  readonly proportional: number;
  /** Mean and standard deviation of the dose. */
  readonly dose: { readonly mean: number; readonly sd: number };
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Change against dose within one arm: after = b₀ + b₁ before + b₂ dose by least squares, the slope
 * is b₂, t with n − 3 degrees of freedom.
 *
 * The number of sessions was not randomised. People who did more may have been healthier,
 * keener or less busy, so the slope describes and does not say what more sessions would do.
 *
 * @param columns before and after in one unit, dose in another, person by person
 * @returns slope and proportional in units of the value per unit of dose
 * @throws InputError when lengths differ, there are fewer than four people, a value is not finite,
 *   the dose is the same for all, or the doses have the mean 0
 * @see Hernán & Robins (2017) N Engl J Med 377:1391–1398, on adherence that is not randomised
 *   (cited from memory)
 * @example doseRelation({ before: [40, 42, 44, 46], after: [42, 45, 46, 51], dose: [10, 14, 12, 18] }).slope.value // 0.481481481481482
 */
export function doseRelation(
  columns: { readonly before: Numbers; readonly after: Numbers; readonly dose: Numbers },
  options: { level?: number } = {},
): DoseRelation {
  namedColumns(columns, ["before", "after", "dose"], "doseRelation");
  const { before, after, dose } = columns;
  knownOptions(options, ["level"], "doseRelation");
  const { level = 0.95 } = options;
  confidenceLevel(level, "doseRelation");
  const x = numbers(before, "doseRelation, before", 4);
  const y = numbers(after, "doseRelation, after", 4);
  sameLength(y.length, x.length, "doseRelation, after");
  const doses = numbers(dose, "doseRelation, dose", 4);
  sameLength(doses.length, x.length, "doseRelation, dose");
  const spread = meanAndSd(doses);
  if (spread.sd === 0) {
    const expected = "doses that differ";
    throw new InputError({ expected, got: "one for all", where: "doseRelation, dose" });
  }
  if (!(Math.abs(spread.mean) > 1e-12 * spread.sd)) {
    const expected = "doses with a mean other than 0, because the change is divided by it";
    throw new InputError({ expected, got: "a mean of 0", where: "doseRelation, dose" });
  }
  const { slope } = fitLinear({ y, terms: { before: x, slope: doses } }, { level }).coefficients;
  const change = mean(y.map((value, i) => value - realAt(x, i)));
  return frozen({
    kind: "doseRelation",
    n: x.length,
    slope: present(slope),
    proportional: change / spread.mean,
    dose: spread,
    method: "least squares on dose, adjusted for baseline",
    warnings:
      spread.sd < spread.mean / 4
        ? ["People did nearly the same amount, so the slope rests on little."]
        : [],
  });
}

import { realAt } from "../../entry.js";
import { medianInPlace } from "../../num/median.js";

/**
 * A trial is outlying when it lies more than four scaled median absolute deviations from the median
 * of the person's trials of that hand and position (or club) over all occasions. The deviation is
 * taken as no smaller than a share of the median and, in kgf, than the error of one trial, so that
 * very even trials do not make an outlier of a neighbour. At least five trials are needed.
 */
export const outlyingRule = {
  deviations: 4,
  leastShare: { force: 0.05, speed: 0.02 },
  // Typical error of a single trial: 1.44 kgf follows from Abe et al. (2025) J Sports Sci Med 24:543.
  least: { force: 1.5, speed: 0 },
  trials: 5,
} as const;

/** Where a series of trials begins to be outlying: further than `reach` from `median`. */
export interface OutlyingLimits {
  /** Median of the series, in its unit. */
  readonly median: number;
  /** Largest distance from the median that is not outlying, same unit. */
  readonly reach: number;
}

/**
 * The limits of a series by the rule, or undefined where no trial can lie outside of them.
 * @param values the series in its first `count` places; they are overwritten
 */
export function outlyingLimits(
  values: Float64Array,
  count: number,
  {
    quantity,
    deviations = outlyingRule.deviations,
  }: { readonly quantity: "force" | "speed"; readonly deviations?: number },
): OutlyingLimits | undefined {
  if (count < outlyingRule.trials) return undefined;
  const median = medianInPlace(values, count);
  const floor = Math.max(outlyingRule.leastShare[quantity] * median, outlyingRule.least[quantity]);
  // The values are in order now: where the outermost are near, no other is far.
  const furthest = Math.max(realAt(values, count - 1) - median, median - realAt(values, 0));
  if (furthest <= deviations * floor) return undefined;
  for (let i = 0; i < count; i++) values[i] = Math.abs(realAt(values, i) - median);
  const spread = Math.max(floor, 1.4826 * medianInPlace(values, count));
  return { median, reach: deviations * spread };
}

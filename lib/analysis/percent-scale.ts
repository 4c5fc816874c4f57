import type { Estimate } from "../stats/estimate.js";

/**
 * A difference of natural logarithms as a percentage: 100 (e^d − 1), the ratio of geometric means.
 * The standard error has no counterpart on that scale and is left out.
 */
export function percentOf({ value, df, statistic, p, interval }: Estimate): Estimate {
  const percent = (difference: number) => 100 * Math.expm1(difference);
  return {
    value: percent(value),
    ...(df !== undefined && { df }),
    ...(statistic !== undefined && { statistic }),
    ...(p !== undefined && { p }),
    ...(interval && {
      interval: { ...interval, low: percent(interval.low), high: percent(interval.high) },
    }),
  };
}

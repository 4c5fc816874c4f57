import { itemAt } from "../entry.js";
import type { Estimate, Interval } from "../stats/estimate.js";

/** One study of a pool. */
export interface PooledRow {
  /** Title of the study. */
  readonly label: string;
  /** Golfers behind the estimate. */
  readonly n: number;
  /** Estimate of the study, in the unit of the pool. */
  readonly value: number;
  /** Its confidence limits. */
  readonly low: number;
  /** Upper confidence limit. */
  readonly high: number;
  /** Weight in the pool, between 0 and 1. */
  readonly weight: number;
}

/** From the scale on which studies are pooled to the unit in which the pool is given. */
export type BackToUnit = (value: number) => number;

const asItIs: BackToUnit = (value) => value;

/**
 * The studies of a pool as rows.
 * @param studies as a pool of `stats` returns them
 * @param counts golfers of each study, in the same order
 */
export function pooledRows(
  studies: readonly {
    readonly label: string;
    readonly estimate: number;
    readonly interval: Interval;
    readonly weight: number;
  }[],
  counts: readonly { readonly n: number }[],
  back: BackToUnit = asItIs,
): readonly PooledRow[] {
  return studies.map(({ label, estimate, interval, weight }, i) => ({
    label,
    n: itemAt(counts, i).n,
    value: back(estimate),
    low: back(interval.low),
    high: back(interval.high),
    weight,
  }));
}

/** The pooled estimate in its unit, without fields that belong to the scale of the pool. */
export function pooledEstimate(
  { value, df, p, interval }: Estimate,
  back: BackToUnit = asItIs,
): Estimate {
  return {
    value: back(value),
    ...(df !== undefined && { df }),
    ...(p !== undefined && { p }),
    ...(interval && {
      interval: { ...interval, low: back(interval.low), high: back(interval.high) },
    }),
  };
}

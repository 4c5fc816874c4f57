import { InputError } from "../../errors.js";
import { type Estimate, frozen, type Interval } from "../estimate.js";
import { sideOfZero } from "../leave-one-out.js";
import { type Pool, type PoolColumns, type PoolOptions, pool } from "./pool.js";
import {
  type CorrelationColumns,
  type CorrelationPool,
  poolCorrelations,
} from "./pool-correlations.js";

/** The pool without one study. */
export interface PoolWithoutStudy {
  /** The study left out. */
  readonly label: string;
  /** Pooled value of the other studies. */
  readonly estimate: Estimate;
  /** Their between-study variance, in the square of the unit. */
  readonly tau2: number;
  /** I², in percent. */
  readonly i2: number;
  /** Where the true effect of a new study may lie; left out where the pool has none. */
  readonly prediction?: Interval;
}

/** A pool, and the same pool without each study in turn. */
export interface PoolLeavingOneOut {
  /** Name of the function that made this record. */
  readonly kind: "poolLeavingOneOut";
  /** What is left out in turn. */
  readonly leaving: "study";
  /** Studies. */
  readonly n: number;
  /** The pool of all studies. */
  readonly whole: Pool | CorrelationPool;
  /** In the order given. */
  readonly rows: readonly PoolWithoutStudy[];
  /** Lowest and highest pooled value, the whole pool's included. */
  readonly low: number;
  /** Highest pooled value, the whole pool's included. */
  readonly high: number;
  /** Studies without which zero changes sides: inside the interval, above it or below it. */
  readonly changesConclusion: readonly string[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Pools again without each study in turn: whether one study carries the result.
 *
 * @param columns as for `pool` ({estimate, se}) or `poolCorrelations` ({r, n}); at least 3 studies
 * @param options as for `pool`
 * @returns estimates as the pooling gives them: in the unit of the inputs, or correlations
 * @throws InputError for fewer than 3 studies, and whatever the pooling throws
 * @see Viechtbauer & Cheung (2010) Res Synth Methods 1:112–125
 * @example poolLeavingOneOut({ estimate: [1, 2, 6], se: [1, 1, 1] }, { method: "common" }).low // 1.5
 */
export function poolLeavingOneOut(
  columns: PoolColumns | CorrelationColumns,
  options: PoolOptions = {},
): PoolLeavingOneOut {
  const whole = pooled(columns, options);
  const { n } = whole;
  if (n < 3) {
    throw new InputError({
      expected: "3 or more studies",
      got: `${n}`,
      where: "poolLeavingOneOut",
    });
  }
  const rows = whole.studies.map(({ label }, i) => {
    const { estimate, tau2, i2, prediction } = pooled(withoutPlace(columns, i), options);
    return { label, estimate, tau2, i2, ...(prediction && { prediction }) };
  });
  const values = [whole.estimate.value, ...rows.map(({ estimate }) => estimate.value)];
  return frozen({
    kind: "poolLeavingOneOut" as const,
    leaving: "study" as const,
    n,
    whole,
    rows,
    low: Math.min(...values),
    high: Math.max(...values),
    changesConclusion: rows
      .filter(({ estimate }) => sideOfZero(estimate) !== sideOfZero(whole.estimate))
      .map(({ label }) => label),
    method: whole.method,
  });
}

function pooled(columns: PoolColumns | CorrelationColumns, options: PoolOptions) {
  return "r" in columns ? poolCorrelations(columns, options) : pool(columns, options);
}

function withoutPlace(columns: PoolColumns | CorrelationColumns, place: number) {
  const kept = <T>(column: ArrayLike<T>) => Array.from(column).filter((_, i) => i !== place);
  const label = columns.label ? { label: kept(columns.label) } : {};
  return "r" in columns
    ? { r: kept(columns.r), n: kept(columns.n), ...label }
    : { estimate: kept(columns.estimate), se: kept(columns.se), ...label };
}

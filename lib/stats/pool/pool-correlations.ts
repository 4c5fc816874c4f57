import { present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { type Estimate, frozen, type Interval, type Labels, type Numbers } from "../estimate.js";
import { labels, namedColumns, numbers, sameLength } from "../input.js";
import { type Pool, type PooledStudy, type PoolOptions, pool } from "./pool.js";

/** Columns of `poolCorrelations`: one row per study. */
export interface CorrelationColumns {
  /** Pearson correlations, strictly between −1 and 1. */
  readonly r: Numbers;
  /** Numbers of people behind them, at least 4. */
  readonly n: Numbers;
  /** Names of the studies; "study 1", "study 2" … unless given. */
  readonly label?: Labels;
}

/** As a pool, on the r scale; what has no meaning there is on the z scale and says so. */
export interface CorrelationPool extends Omit<Pool, "kind"> {
  /** Name of the function that made this record. */
  readonly kind: "poolCorrelations";
  /** The pooled Fisher z with its standard error; `estimate` is its tanh. */
  readonly fisherZ: Estimate;
}

/**
 * Pools Pearson correlations of independent samples by Fisher's z.
 *
 *   z = artanh r, se = 1/√(n − 3), pooled as by `pool`, and tanh back.
 *
 * `estimate`, its interval, `prediction` and `studies` are correlations; `tau2`, its interval, `q`,
 * `fisherZ` and the `se` of a study are on the z scale. A published z (often printed as z_r) is not an r: 0.48 is
 * r = 0.446.
 *
 * What it does not do: correct for unreliable measurement or restricted range, or for several
 * correlations from one sample (give one per sample).
 *
 * @param columns `r` and `n`, one per sample, at least two samples
 * @throws InputError for an r of ±1 or beyond, an n that is not a whole number of at least 4, and
 *   as `pool` does
 * @see Fisher (1921) Metron 1:3–32; Borenstein, Hedges, Higgins, Rothstein (2009) Introduction to
 *   meta-analysis, ch. 6
 * @example poolCorrelations({ r: [0.54, 0.65], n: [16, 15] }, { method: "common" }).estimate.value // 0.5956
 */
export function poolCorrelations(
  columns: CorrelationColumns,
  options: PoolOptions = {},
): CorrelationPool {
  namedColumns(columns, ["r", "n", "label"], "poolCorrelations");
  const { z, se } = fisherColumns(columns);
  const onZ = pool(
    { estimate: z, se, ...(columns.label ? { label: columns.label } : {}) },
    options,
  );
  const { kind: _, estimate: fisherZ, prediction, studies, ...rest } = onZ;
  const { value, interval, se: __, ...test } = fisherZ;
  return frozen({
    ...rest,
    kind: "poolCorrelations",
    estimate: { ...test, value: Math.tanh(value), interval: backToR(present(interval)) },
    ...(prediction ? { prediction: backToR(prediction) } : {}),
    studies: studies.map(studyOnR),
    fisherZ,
    method: `Fisher z, ${rest.method}`,
  } as const);
}

function fisherColumns(columns: CorrelationColumns) {
  const r = numbers(columns.r, "poolCorrelations, r", 2);
  const n = numbers(columns.n, "poolCorrelations, n", 2);
  sameLength(n.length, r.length, "poolCorrelations, n");
  if (columns.label) labels(columns.label, "poolCorrelations, label", r.length);
  r.forEach((value, i) => {
    if (Math.abs(value) < 1) return;
    const where = `poolCorrelations, r, index ${i}`;
    throw new InputError({ expected: "a correlation between −1 and 1", got: `${value}`, where });
  });
  n.forEach((count, i) => {
    if (Number.isInteger(count) && count >= 4) return;
    const where = `poolCorrelations, n, index ${i}`;
    throw new InputError({ expected: "a whole number of at least 4", got: `${count}`, where });
  });
  return { z: r.map(Math.atanh), se: n.map((count) => 1 / Math.sqrt(count - 3)) };
}

function backToR(interval: Interval): Interval {
  return { ...interval, low: Math.tanh(interval.low), high: Math.tanh(interval.high) };
}

function studyOnR(study: PooledStudy): PooledStudy {
  return { ...study, estimate: Math.tanh(study.estimate), interval: backToR(study.interval) };
}

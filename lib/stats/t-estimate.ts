import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { type Estimate, outOfRange } from "./estimate.js";

/**
 * An estimate with Student's t interval and two-sided p value of "the true value is 0".
 *
 * With a standard error of 0 the t statistic is not a number, so it and p are left out and the
 * interval is the value itself; the caller says so in its warnings.
 */
export function tEstimate(
  value: number,
  se: number,
  df: number,
  level: number,
  method: string,
): Estimate {
  if (se === 0) return { value, se, df, interval: { low: value, high: value, level, method } };
  const t = studentT(df);
  const statistic = value / se;
  if (!Number.isFinite(statistic)) throw outOfRange(statistic, method);
  const half = t.quantile((1 + level) / 2) * se;
  if (!Number.isFinite(half)) {
    const expected = "data that leave degrees of freedom for an interval";
    throw new InputError({ expected, got: `df ${df.toPrecision(2)}`, where: method });
  }
  return {
    value,
    se,
    df,
    statistic,
    p: Math.min(1, 2 * t.upper(Math.abs(statistic))),
    interval: { low: value - half, high: value + half, level, method },
  };
}

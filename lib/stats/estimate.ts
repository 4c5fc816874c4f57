/** A range with the confidence level it was made for and the method that made it. */
export interface Interval {
  readonly low: number;
  readonly high: number;
  /** Confidence level as a fraction, 0.95 for 95 %. */
  readonly level: number;
  readonly method: string;
}

/** A number with its uncertainty. Fields that do not apply to a method are left out. */
export interface Estimate {
  readonly value: number;
  readonly se?: number;
  readonly df?: number;
  readonly statistic?: number;
  /** Two-sided p value. */
  readonly p?: number;
  readonly interval?: Interval;
}

/** Numbers of one column: an array, a typed array, or anything indexed with a length. */
export type Numbers = ArrayLike<number>;
/** Labels of one column, such as participant codes. */
export type Labels = ArrayLike<string>;

/** Freezes a plain record and every plain record or array inside it; typed arrays stay as they are. */
export function frozen<T>(record: T): T {
  if (record === null || typeof record !== "object" || ArrayBuffer.isView(record)) return record;
  if (Object.isFrozen(record)) return record;
  for (const part of Object.values(record)) frozen(part);
  return Object.freeze(record);
}

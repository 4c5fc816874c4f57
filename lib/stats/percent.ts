import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline, type BaselineColumns } from "./baseline.js";
import { type Estimate, frozen } from "./estimate.js";
import { namedColumns, numbers, shown } from "./input.js";

/** One difference of two positive values as a percentage of each denominator it may be given over. */
export interface PercentDifference {
  /** Name of the function that made this record. */
  readonly kind: "percentDifference";
  /** 100 (first − second) / first. */
  readonly ofFirst: number;
  /** 100 (first − second) / second. */
  readonly ofSecond: number;
  /** 100 (first − second) / mean of both. */
  readonly ofMean: number;
  /** 100 ln(first / second): the one that changes only its sign when the two are exchanged. */
  readonly logPoints: number;
}

/**
 * How much higher one value is than another, in percent of what: the same two values make several
 * percentages, so a percentage is told with its denominator.
 * @param first any positive value
 * @param second the value it is compared with, in the same unit
 * @throws InputError when a value is not finite and above 0
 * @see Laterality (2019) doi:10.1080/1357650X.2019.1604727, where a difference between the hands is
 *   5.0 or 5.6 % by the denominator
 * @example percentDifference(44, 40).ofSecond // 10
 */
export function percentDifference(first: number, second: number): PercentDifference {
  for (const [name, value] of Object.entries({ first, second })) {
    if (typeof value === "number" && value > 0 && Number.isFinite(value)) continue;
    const where = `percentDifference, ${name}`;
    throw new InputError({ expected: "a finite number above 0", got: shown(value), where });
  }
  const difference = first - second;
  return frozen({
    kind: "percentDifference",
    ofFirst: (100 * difference) / first,
    ofSecond: (100 * difference) / second,
    ofMean: (200 * difference) / (first + second),
    logPoints: 100 * Math.log(first / second),
  });
}

/** An arm against the reference in percent. */
export interface AdjustedPercent {
  /** Name of the function that made this record. */
  readonly kind: "adjustedPercent";
  /** People in all arms. */
  readonly n: number;
  /** Percent by which the arm lies above the reference. */
  readonly difference: Estimate;
  /** What the percentage is of. */
  readonly denominator: string;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Difference of two arms after a block in percent, adjusted for the baseline: analysis of covariance
 * on logarithms, 100 (exp(difference) − 1). The denominator is what the reference arm's golfer of
 * the same start reaches after the block, as a geometric mean.
 *
 * @param columns before, after, group and reference, person by person; every value positive
 * @returns percent with its interval from the logarithms; no standard error, because a ratio has none
 *   that is the same on both sides
 * @throws InputError when a value is not positive, there are not two arms, or as adjustForBaseline
 * @see Bland & Altman (1996) BMJ 312:1153, for differences of logarithms as ratios (cited from
 *   memory)
 * @example adjustedPercent({ before: [40, 42, 44, 41, 43, 45], after: [44, 46.2, 48.4, 41, 43, 45], group: ["t", "t", "t", "c", "c", "c"], reference: "c" }).difference.value // 10.0
 */
export function adjustedPercent(
  columns: BaselineColumns,
  options: { level?: number } = {},
): AdjustedPercent {
  namedColumns(columns, ["before", "after", "group", "reference"], "adjustedPercent");
  const { before, after, group, reference } = columns;
  knownOptions(options, ["level"], "adjustedPercent");
  const { level = 0.95 } = options;
  const logs = { before: logarithms(before, "before"), after: logarithms(after, "after") };
  const { n, difference } = adjustForBaseline({ ...logs, group, reference }, { level });
  if (!difference) {
    const got = `${new Set(Array.from(group)).size}`;
    throw new InputError({ expected: "two arms", got, where: "adjustedPercent, group" });
  }
  const percent = (log: number) => 100 * Math.expm1(log);
  const { value, df, statistic, p, interval } = difference;
  const method = "ratio of geometric means, analysis of covariance on logarithms";
  return frozen({
    kind: "adjustedPercent",
    n,
    difference: {
      value: percent(value),
      df: present(df),
      ...(statistic === undefined ? {} : { statistic, p: present(p) }),
      interval: {
        low: percent(present(interval).low),
        high: percent(present(interval).high),
        level,
        method,
      },
    },
    denominator: `the geometric mean of arm ${reference} after the block, at the same start`,
    method,
  });
}

function logarithms(column: BaselineColumns["before"], name: string): Float64Array {
  const values = numbers(column, `adjustedPercent, ${name}`, 4);
  const wrong = values.findIndex((value) => value <= 0);
  if (wrong < 0) return values.map(Math.log);
  const where = `adjustedPercent, ${name}, index ${wrong}`;
  throw new InputError({ expected: "a value above 0", got: shown(values[wrong]), where });
}

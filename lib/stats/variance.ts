import { itemAt, realAt, wholeAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { groupSums } from "../num/sums.js";
import { meanAndSd } from "./describe.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { labels, numbers } from "./input.js";

/** A line of an analysis of variance table; sums in the square of the unit of the column. */
export interface VarianceLine {
  /** Degrees of freedom. */
  readonly df: number;
  /** Sum of squares. */
  readonly sumOfSquares: number;
  /** sumOfSquares / df. */
  readonly meanSquare: number;
}

/** One-way analysis of variance. */
export interface OneWayAnova {
  /** Name of the function that made this record. */
  readonly kind: "oneWayAnova";
  /** People in all groups. */
  readonly n: number;
  /** People, mean and standard deviation of each group; sd left out for a single person. */
  readonly groups: readonly { group: string; n: number; mean: number; sd?: number }[];
  /** Between the groups. */
  readonly between: VarianceLine;
  /** Within the groups. */
  readonly within: VarianceLine;
  /** F = mean square between / mean square within; left out where nothing varies within groups. */
  readonly statistic?: number;
  /** Probability of an F as large or larger if all groups have one mean. */
  readonly p?: number;
  /** Share of the total sum of squares that lies between groups; left out where nothing varies. */
  readonly rSquared?: number;
  /** Standard deviation within groups, √ of the mean square within. */
  readonly residualSd: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * One-way analysis of variance: do several groups share one mean?
 *
 * between = Σ nⱼ(mⱼ − m)² with g − 1 degrees of freedom, within = ΣΣ(x − mⱼ)² with n − g,
 * F = mean square between / mean square within, rSquared = between / (between + within).
 *
 * @param values one value per row, any unit
 * @param group the group of each row; at least two groups, more rows than groups
 * @returns sums of squares in the square of the unit, residualSd in the unit
 * @throws InputError when lengths differ, there are fewer than two groups or no more rows than groups
 * @see Fisher (1925) Statistical Methods for Research Workers, ch. VII
 * @example oneWayAnova([1, 2, 3, 4, 5, 6], ["a", "a", "a", "b", "b", "b"]).statistic // 13.5
 */
export function oneWayAnova(values: Numbers, group: Labels): OneWayAnova {
  const x = numbers(values, "oneWayAnova, values", 3);
  const names = labels(group, "oneWayAnova, group", x.length);
  const groups = split(x, names);
  if (groups.length < 2 || groups.length >= x.length) {
    throw new InputError({
      expected: "at least two groups and more values than groups",
      got: `${groups.length} groups of ${x.length} values`,
      where: "oneWayAnova, group",
    });
  }
  const sums = groupSums(groups.map(([, column]) => column));
  const between = line(sums.dfBetween, sums.between);
  const within = line(sums.dfWithin, sums.within);
  const total = sums.between + sums.within;
  return frozen({
    kind: "oneWayAnova",
    n: x.length,
    groups: groups.map(([name, column]) => ({ group: name, ...summary(column) })),
    between,
    within,
    ...fTest(between, within),
    ...(total > 0 ? { rSquared: sums.between / total } : {}),
    residualSd: Math.sqrt(within.meanSquare),
    method: "one-way analysis of variance",
    warnings: within.meanSquare > 0 ? [] : ["Nothing varies within the groups: there is no F."],
  });
}

/** The columns of the groups, in order of first appearance; each label is looked up once. */
function split(x: Float64Array, names: readonly string[]): [string, Float64Array][] {
  const codes = new Map<string, number>();
  const counts: number[] = [];
  const coded = new Int32Array(x.length);
  for (const [i, name] of names.entries()) {
    let code = codes.get(name);
    if (code === undefined) {
      code = counts.push(0) - 1;
      codes.set(name, code);
    }
    coded[i] = code;
    counts[code] = itemAt(counts, code) + 1;
  }
  const columns = counts.map((count) => new Float64Array(count));
  const filled = new Int32Array(counts.length);
  for (let i = 0; i < x.length; i++) {
    const code = wholeAt(coded, i);
    const place = wholeAt(filled, code);
    itemAt(columns, code)[place] = realAt(x, i);
    filled[code] = place + 1;
  }
  return Array.from(codes, ([name, code]) => [name, itemAt(columns, code)]);
}

function summary(column: Float64Array): { n: number; mean: number; sd?: number } {
  if (column.length === 1) return { n: 1, mean: realAt(column, 0) };
  return { n: column.length, ...meanAndSd(column) };
}

function line(df: number, sumOfSquares: number): VarianceLine {
  return { df, sumOfSquares, meanSquare: sumOfSquares / df };
}

function fTest(between: VarianceLine, within: VarianceLine): { statistic?: number; p?: number } {
  if (within.meanSquare === 0) return {};
  const statistic = between.meanSquare / within.meanSquare;
  return { statistic, p: fisherF(between.df, within.df).upper(statistic) };
}

import { present, realAt, wholeAt } from "../entry.js";
import { InputError } from "../errors.js";
import { randomStream } from "../num/random.js";
import { mean, sum, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline, type BaselineColumns } from "./baseline.js";
import { frozen } from "./estimate.js";
import { labels, namedColumns, numbers, requiredSeed, sameLength, wholeNumber } from "./input.js";
import type { PermutationOptions, PermutationTest } from "./permute-groups.js";

/** Permutation test of the baseline-adjusted difference of two arms. */
export interface PermutedAdjustment extends PermutationTest {
  /** Name of the function that made this record. */
  readonly kind: "permuteAdjusted";
  /** People in both arms. */
  readonly n: number;
  /** Baseline-adjusted difference, group − reference, in the unit of the columns. */
  readonly difference: number;
  /** t of that difference, the statistic that is permuted. */
  readonly statistic: number;
}

/** Up to this many people all n! orders are counted: 3 628 800 at 10. */
const exactUpTo = 10;

/** Gap between two values of t, relative to the observed one, that counts as rounding. */
const tieShare = 1e-9;

/**
 * Permutation test of two arms adjusted for the baseline (Freedman–Lane).
 *
 * The residuals of after on before are put in another order, added to the fitted values of after on
 * before, and the t of the arm in after = arm + slope · before is taken again. p = share of the
 * orders with |t| at least as large as observed. All n! orders are counted up to n = 10; beyond,
 * `resamples` are drawn and p = (1 + hits)/(1 + resamples).
 *
 * @param columns before, after and group, one row per person, and the reference arm; two arms
 * @param options resamples and seed, used beyond 10 people
 * @returns difference in the unit of the columns; statistic and p without unit
 * @throws InputError when there are not two arms, a seed is needed and missing, the residuals are
 *   all 0, or as `adjustForBaseline` does
 * @see Freedman & Lane (1983) J Bus Econ Stat 1:292–298; Winkler et al. (2014) NeuroImage
 *   92:381–397
 * @example permuteAdjusted({ before: [1, 2, 3, 2, 3, 4], after: [2, 3, 4.5, 5, 6, 6.5], group: ["c", "c", "c", "t", "t", "t"], reference: "c" }).p // 0.005555555555555556
 */
export function permuteAdjusted(
  columns: BaselineColumns,
  options: PermutationOptions = {},
): PermutedAdjustment {
  const where = "permuteAdjusted";
  const { before, after, group, reference } = namedColumns(
    columns,
    ["before", "after", "group", "reference"],
    where,
  );
  knownOptions(options, ["resamples", "seed"], where);
  const { resamples = 10_000, seed } = options;
  wholeNumber(resamples, `${where}, resamples`);
  const x = numbers(before, `${where}, before`, 4);
  const y = numbers(after, `${where}, after`, 4);
  sameLength(y.length, x.length, `${where}, after`);
  const arms = labels(group, `${where}, group`, x.length);
  const count = new Set(arms).size;
  if (count !== 2) {
    throw new InputError({ expected: "two arms", got: `${count}`, where: `${where}, group` });
  }
  const { difference } = adjustForBaseline({ before, after, group, reference });
  const { value } = present(difference);
  const test = reducedTest(x, y, arms, reference);
  const exact = x.length <= exactUpTo;
  const orders = exact ? factorial(x.length) : resamples;
  const tally = exact
    ? everyOrder(test)
    : drawnOrders(test, resamples, requiredSeed(seed as number, where));
  const share = (hits: number) => (exact ? hits / orders : (1 + hits) / (1 + orders));
  return frozen({
    kind: "permuteAdjusted" as const,
    n: x.length,
    difference: value,
    statistic: test.observed,
    p: share(tally.far),
    pUpper: share(tally.upper),
    pLower: share(tally.lower),
    exact,
    arrangements: orders,
    method: exact
      ? "Freedman–Lane, t of the arm, every order of the residuals"
      : `Freedman–Lane, t of the arm, ${resamples} orders drawn with seed ${seed}`,
    warnings: [],
  });
}

/**
 * What t needs. Residuals of after on before in another order, e*, have the mean 0 and the square
 * sum of e; after projection on the baseline and on the arm (both unit vectors, at right angles to
 * each other and to 1) is left E − b² − a², so t = a √(n − 3)/√(E − b² − a²).
 */
interface ReducedTest {
  readonly residuals: Float64Array;
  readonly baseline: Float64Array;
  readonly arm: Float64Array;
  readonly squares: number;
  readonly observed: number;
}

function reducedTest(
  x: Float64Array,
  y: Float64Array,
  arms: readonly string[],
  reference: string,
): ReducedTest {
  const where = "permuteAdjusted";
  const centre = mean(x);
  const dx = x.map((value) => value - centre);
  const xx = sumOfSquaredDeviations(x, centre);
  if (xx === 0) {
    const expected = "values of before that differ";
    throw new InputError({ expected, got: "one value throughout", where: `${where}, before` });
  }
  const baseline = dx.map((d) => d / Math.sqrt(xx));
  const slope = sumOfProductDeviations(x, y) / xx;
  const middle = mean(y);
  const residuals = y.map((value, i) => value - middle - slope * realAt(dx, i));
  const squares = sum(residuals.map((e) => e * e));
  const size = sum(y.map((value) => (value - middle) ** 2));
  if (!(squares > 1e-24 * size)) {
    const expected = "values of after that do not lie on one line with before";
    throw new InputError({ expected, got: "residuals of 0", where });
  }
  const code = Float64Array.from(arms, (arm) => (arm === reference ? 0 : 1));
  const share = mean(code);
  const along = sum(code.map((c, i) => c * realAt(baseline, i)));
  const raw = code.map((c, i) => c - share - along * realAt(baseline, i));
  const length = Math.sqrt(sum(raw.map((c) => c * c)));
  const arm = raw.map((c) => c / length);
  const a = sum(residuals.map((e, i) => e * realAt(arm, i)));
  const observed = tOf(a, 0, squares, x.length);
  return { residuals, baseline, arm, squares, observed };
}

function tOf(a: number, b: number, squares: number, n: number): number {
  // a perfect fit has no finite t: it counts as the largest there is
  const rest = Math.max(squares - b * b - a * a, 1e-30 * squares);
  return (a * Math.sqrt(n - 3)) / Math.sqrt(rest);
}

interface Tally {
  upper: number;
  lower: number;
  far: number;
}

function counter(test: ReducedTest): { tally: Tally; count: (order: Uint32Array) => void } {
  const { residuals, baseline, arm, squares, observed } = test;
  const n = residuals.length;
  const tolerance = tieShare * Math.max(1, Math.abs(observed));
  const tally = { upper: 0, lower: 0, far: 0 };
  const count = (order: Uint32Array) => {
    let a = 0;
    let b = 0;
    for (let i = 0; i < n; i++) {
      const e = realAt(residuals, wholeAt(order, i));
      a += e * realAt(arm, i);
      b += e * realAt(baseline, i);
    }
    const t = tOf(a, b, squares, n);
    if (t >= observed - tolerance) tally.upper++;
    if (t <= observed + tolerance) tally.lower++;
    if (Math.abs(t) >= Math.abs(observed) - tolerance) tally.far++;
  };
  return { tally, count };
}

/** All orders, each one exchange from the one before (Heap 1963, Computer J 6:293–294). */
function everyOrder(test: ReducedTest): Tally {
  const { tally, count } = counter(test);
  const order = Uint32Array.from(test.residuals.keys());
  const counters = new Uint8Array(order.length);
  count(order);
  for (let i = 1; i < order.length; ) {
    const counter = wholeAt(counters, i);
    if (counter < i) {
      exchange(order, i % 2 === 0 ? 0 : counter, i);
      count(order);
      counters[i] = counter + 1;
      i = 1;
    } else {
      counters[i] = 0;
      i++;
    }
  }
  return tally;
}

function drawnOrders(test: ReducedTest, resamples: number, seed: number): Tally {
  const { tally, count } = counter(test);
  const stream = randomStream(seed, "permuteAdjusted");
  const order = Uint32Array.from(test.residuals.keys());
  for (let draw = 0; draw < resamples; draw++) {
    for (let last = order.length - 1; last > 0; last--) {
      exchange(order, stream.below(last + 1), last);
    }
    count(order);
  }
  return tally;
}

function exchange(order: Uint32Array, i: number, j: number): void {
  const moved = wholeAt(order, i);
  order[i] = wholeAt(order, j);
  order[j] = moved;
}

function factorial(n: number): number {
  let product = 1;
  for (let i = 2; i <= n; i++) product *= i;
  return product;
}

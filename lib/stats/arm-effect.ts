import { realAt } from "../entry.js";

/**
 * How the change of one arm is compared with that of another. Each field is a choice that a reviewer
 * could defend, so a specification curve walks through all of them.
 */
export interface EffectChoice {
  /** Differences of raw values over the mean baseline, or of logarithms: both end as percent. */
  readonly scale: "raw" | "log";
  /** Whether each person's change is taken as it is, or after on before by one slope within arms. */
  readonly adjust: "change" | "baseline";
  /** What stands for an arm. */
  readonly centre: "mean" | "trimmed mean" | "median";
}

/** Every option of each choice, in the order in which a specification curve tries them. */
export const effectChoices = {
  scale: ["raw", "log"],
  adjust: ["change", "baseline"],
  centre: ["mean", "trimmed mean", "median"],
} as const;

/** Every combination of scale, adjustment and centre, in the order of `ArmEffects.fill`. */
export const effectCombinations: readonly EffectChoice[] = effectChoices.scale.flatMap((scale) =>
  effectChoices.adjust.flatMap((adjust) =>
    effectChoices.centre.map((centre) => ({ scale, adjust, centre })),
  ),
);

/** Share cut from each end by the trimmed mean. */
const trimmed = 0.2;

/** Two arms' people, ready to be drawn from again and again under every choice. */
export interface ArmEffects {
  /** Number of people. */
  readonly people: number;
  /**
   * Puts the effect in percent under each of `effectCombinations` into `into`, over people who
   * count `counts[i]` times, with `trained[i]` 1 in the arm of interest and 0 in the reference. Not
   * a number when an arm is empty.
   */
  fill(counts: Int32Array, trained: Uint8Array, into: Float64Array): void;
}

/** One scale and adjustment: the residuals and their order are kept from draw to draw. */
interface Scale {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly isLog: boolean;
  readonly adjusted: boolean;
  readonly order: Int32Array;
  readonly residuals: Float64Array;
}

/**
 * Prepares the effect of an arm under every choice: 100 (c₁ − c₀) / mean baseline on the raw scale,
 * 100 (exp(c₁ − c₀) − 1) on the log scale, where c is the centre of after − slope · before in each
 * arm and slope is 1 for a change, or the pooled slope within arms.
 *
 * The three centres of a scale and adjustment share their residuals, which are sorted once, starting
 * from the order of the draw before: it is nearly the same, so that sorting costs little.
 * @param before first measurement, one positive value per person, any unit
 * @param after second measurement, the same people, order and unit
 * @example armEffects(Float64Array.of(40, 50, 40, 50), Float64Array.of(40, 50, 44, 55)).people // 4
 */
export function armEffects(before: Float64Array, after: Float64Array): ArmEffects {
  const n = before.length;
  const logs = { x: before.map(Math.log), y: after.map(Math.log) };
  const scales = effectChoices.scale.flatMap((scale) =>
    effectChoices.adjust.map((adjust): Scale => {
      const isLog = scale === "log";
      const [x, y] = isLog ? [logs.x, logs.y] : [before, after];
      const residuals = y.map((value, i) => value - realAt(x, i));
      const order = Int32Array.from({ length: n }, (_, i) => i);
      sortNearly(order, residuals);
      return { x, y, isLog, adjusted: adjust === "baseline", order, residuals };
    }),
  );
  const fill = (counts: Int32Array, trained: Uint8Array, into: Float64Array) => {
    for (const [s, scale] of scales.entries()) centres(scale, counts, trained, into, 3 * s);
  };
  return Object.freeze({ people: n, fill });
}

/**
 * Mean, trimmed mean and median effect of one scale and adjustment, from place `at` on. A person
 * counts in both arms, in one of them zero times: a branch on the arm, which shuffles make
 * unforeseeable, would cost more than the sums.
 */
function centres(
  { x, y, isLog, adjusted, order, residuals }: Scale,
  counts: Int32Array,
  trained: Uint8Array,
  into: Float64Array,
  at: number,
): void {
  const n = x.length;
  const slope = adjusted ? slopeWithin(x, y, counts, trained) : 1;
  let [n0, n1, sum0, sum1, baseline] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    // For a change the residuals, and so their order, are those of the first draw.
    const residual = adjusted ? realAt(y, i) - slope * realAt(x, i) : realAt(residuals, i);
    if (adjusted) residuals[i] = residual;
    const count = countAt(counts, i);
    const count1 = count * armAt(trained, i);
    const count0 = count - count1;
    baseline += count * realAt(x, i);
    n1 += count1;
    sum1 += count1 * residual;
    n0 += count0;
    sum0 += count0 * residual;
  }
  if (adjusted) sortNearly(order, residuals);
  const scaled = (difference: number) =>
    isLog ? 100 * Math.expm1(difference) : (100 * difference * (n0 + n1)) / baseline;
  into[at] = scaled(sum1 / n1 - sum0 / n0);
  const [cut0, cut1] = [Math.floor(trimmed * n0), Math.floor(trimmed * n1)];
  const [half0, half1] = [Math.floor((n0 - 1) / 2), Math.floor((n1 - 1) / 2)];
  let [place0, place1, inner0, inner1, middle0, middle1] = [0, 0, 0, 0, 0, 0];
  for (let k = 0; k < n; k++) {
    const i = countAt(order, k);
    const residual = realAt(residuals, i);
    const count = countAt(counts, i);
    const count1 = count * armAt(trained, i);
    const count0 = count - count1;
    inner1 += inside(place1, count1, cut1, n1 - cut1) * residual;
    inner0 += inside(place0, count0, cut0, n0 - cut0) * residual;
    middle1 += inside(place1, count1, half1, n1 - half1) * residual;
    middle0 += inside(place0, count0, half0, n0 - half0) * residual;
    place1 += count1;
    place0 += count0;
  }
  into[at + 1] = scaled(inner1 / (n1 - 2 * cut1) - inner0 / (n0 - 2 * cut0));
  into[at + 2] = scaled(middle1 / (n1 - 2 * half1) - middle0 / (n0 - 2 * half0));
}

/** How many of `count` places from `place` on lie from `from` up to but not including `to`. */
function inside(place: number, count: number, from: number, to: number): number {
  const low = Math.max(place, from);
  const high = Math.min(place + count, to);
  return high > low ? high - low : 0;
}

/** Insertion sort of places by value, which costs little where the order is nearly right. */
function sortNearly(order: Int32Array, values: Float64Array): void {
  for (let k = 1; k < order.length; k++) {
    const place = countAt(order, k);
    const value = realAt(values, place);
    let j = k - 1;
    while (j >= 0 && realAt(values, countAt(order, j)) > value) {
      order[j + 1] = countAt(order, j);
      j -= 1;
    }
    order[j + 1] = place;
  }
}

/** Sxy / Sxx from sums within the arms; 1 where the baselines do not vary. */
function slopeWithin(
  x: Float64Array,
  y: Float64Array,
  counts: Int32Array,
  trained: Uint8Array,
): number {
  let [n0, n1, sumX0, sumX1, sumY0, sumY1] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    const count = countAt(counts, i);
    const count1 = count * armAt(trained, i);
    const count0 = count - count1;
    n1 += count1;
    sumX1 += count1 * realAt(x, i);
    sumY1 += count1 * realAt(y, i);
    n0 += count0;
    sumX0 += count0 * realAt(x, i);
    sumY0 += count0 * realAt(y, i);
  }
  const [x0, x1, y0, y1] = [sumX0 / n0, sumX1 / n1, sumY0 / n0, sumY1 / n1];
  let [xx, xy] = [0, 0];
  for (let i = 0; i < x.length; i++) {
    const isTrained = armAt(trained, i) === 1;
    const dx = realAt(x, i) - (isTrained ? x1 : x0);
    const weighted = countAt(counts, i) * dx;
    xx += weighted * dx;
    xy += weighted * (realAt(y, i) - (isTrained ? y1 : y0));
  }
  return xx > 0 ? xy / xx : 1;
}

/**
 * The whole number at `index`. Functions of their own, each for one kind of array: one that reads
 * every kind makes these loops several times slower.
 */
function countAt(column: Int32Array, index: number): number {
  const value = column[index];
  if (value === undefined)
    throw new RangeError(`index ${index} is outside ${column.length} counts`);
  return value;
}

/** 1 for the arm of interest, 0 for the reference. */
function armAt(column: Uint8Array, index: number): number {
  const value = column[index];
  if (value === undefined) throw new RangeError(`index ${index} is outside ${column.length} arms`);
  return value;
}

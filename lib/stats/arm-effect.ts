import { itemAt, present, realAt, wholeAt } from "../entry.js";

/**
 * How the change of one arm is set against that of another. Each field is a choice that a reviewer
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

/** Share cut from each end by the trimmed mean. */
const trimmed = 0.2;

/** Two arms' people on the scale of the choice, ready to be drawn from again and again. */
export interface ArmEffect {
  /**
   * The effect in percent over the people in `rows` (a row may come twice), with `trained[row]`
   * 1 in the arm of interest and 0 in the reference. Not a number when an arm is empty.
   */
  effect(rows: Int32Array, trained: Uint8Array): number;
}

/**
 * Prepares the effect of an arm under one choice: 100 (c₁ − c₀) / mean baseline on the raw scale,
 * 100 (exp(c₁ − c₀) − 1) on the log scale, where c is the centre of after − slope · before in each
 * arm and slope is 1 for a change, or the pooled slope within arms.
 * @param before first measurement, one positive value per person, any unit
 * @param after second measurement, the same people, order and unit
 * @example armEffect(Float64Array.of(40, 50, 40, 50), Float64Array.of(40, 50, 44, 55), { scale: "log", adjust: "change", centre: "mean" }).effect(Int32Array.of(0, 1, 2, 3), Uint8Array.of(0, 0, 1, 1)) // 10.000000000000009
 */
export function armEffect(
  before: Float64Array,
  after: Float64Array,
  choice: EffectChoice,
): ArmEffect {
  const isLog = choice.scale === "log";
  const x = isLog ? before.map(Math.log) : before;
  const y = isLog ? after.map(Math.log) : after;
  const residuals = [new Float64Array(0), new Float64Array(0)];
  const effect = (rows: Int32Array, trained: Uint8Array): number => {
    for (const arm of [0, 1]) {
      if (itemAt(residuals, arm).length < rows.length)
        residuals[arm] = new Float64Array(rows.length);
    }
    const slope = choice.adjust === "change" ? 1 : slopeWithin(x, y, rows, trained);
    const counts = [0, 0];
    let baseline = 0;
    for (const row of rows) {
      const arm = wholeAt(trained, row);
      itemAt(residuals, arm)[itemAt(counts, arm)] = realAt(y, row) - slope * realAt(x, row);
      counts[arm] = itemAt(counts, arm) + 1;
      baseline += realAt(x, row);
    }
    const [c0, c1] = [0, 1].map((arm) =>
      centreOf(itemAt(residuals, arm).subarray(0, counts[arm]), choice.centre),
    );
    const difference = present(c1) - present(c0);
    return isLog ? 100 * Math.expm1(difference) : (100 * difference * rows.length) / baseline;
  };
  return Object.freeze({ effect });
}

/** Sxy / Sxx from sums within the arms; 1 where the baselines do not vary. */
function slopeWithin(
  x: Float64Array,
  y: Float64Array,
  rows: Int32Array,
  trained: Uint8Array,
): number {
  const n = [0, 0];
  const sumX = [0, 0];
  const sumY = [0, 0];
  for (const row of rows) {
    const arm = wholeAt(trained, row);
    n[arm] = itemAt(n, arm) + 1;
    sumX[arm] = itemAt(sumX, arm) + realAt(x, row);
    sumY[arm] = itemAt(sumY, arm) + realAt(y, row);
  }
  let xx = 0;
  let xy = 0;
  for (const row of rows) {
    const arm = wholeAt(trained, row);
    const dx = realAt(x, row) - itemAt(sumX, arm) / itemAt(n, arm);
    xx += dx * dx;
    xy += dx * (realAt(y, row) - itemAt(sumY, arm) / itemAt(n, arm));
  }
  return xx > 0 ? xy / xx : 1;
}

function centreOf(values: Float64Array, centre: EffectChoice["centre"]): number {
  if (values.length === 0) return Number.NaN;
  if (centre === "mean") return meanBetween(values, 0);
  values.sort();
  if (centre === "trimmed mean") return meanBetween(values, Math.floor(trimmed * values.length));
  return meanBetween(values, Math.floor((values.length - 1) / 2));
}

/** Mean of what is left when `cut` values are taken from each end. */
function meanBetween(values: Float64Array, cut: number): number {
  let total = 0;
  for (let i = cut; i < values.length - cut; i++) total += realAt(values, i);
  return total / (values.length - 2 * cut);
}

import { itemAt, present } from "../entry.js";
import { bootstrap } from "../stats/bootstrap/bootstrap.js";
import type { Estimate } from "../stats/estimate.js";
import { type ArmPair, columnOf } from "./arm-rows.js";
import type { Change } from "./outcome.js";

/**
 * The baseline-adjusted difference alone, for resamples: (ȳ₁ − ȳ₂) − b (x̄₁ − x̄₂) with the slope b from
 * sums within arms. Where nobody of a resample differs in baseline, nothing is adjusted.
 */
function adjustedDifference(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  arm: ArrayLike<number>,
  [first, second]: readonly [number, number],
): number {
  const groups = new Map<number, { n: number; x: number; y: number }>();
  for (let i = 0; i < x.length; i++) {
    const group = groups.get(itemAt(arm, i)) ?? { n: 0, x: 0, y: 0 };
    group.n += 1;
    group.x += (itemAt(x, i) - group.x) / group.n;
    group.y += (itemAt(y, i) - group.y) / group.n;
    groups.set(itemAt(arm, i), group);
  }
  let [xx, xy] = [0, 0];
  for (let i = 0; i < x.length; i++) {
    const mean = present(groups.get(itemAt(arm, i)));
    const dx = itemAt(x, i) - mean.x;
    xx += dx * dx;
    xy += dx * (itemAt(y, i) - mean.y);
  }
  const slope = xx > 0 ? xy / xx : 0;
  const [a, b] = [present(groups.get(first)), present(groups.get(second))];
  return a.y - b.y - slope * (a.x - b.x);
}

/** The BCa interval of a comparison, from resamples of whole golfers within arms. */
export function resampledDifference(
  change: Change,
  { first, second }: ArmPair,
  {
    resamples = 10_000,
    seed = change.outcome.study.plan.seed,
  }: { readonly resamples?: number; readonly seed?: number },
  { value }: Estimate,
): Estimate {
  const { level } = change.outcome.study.plan;
  const arms = [...new Set(change.rows.map(({ arm }) => arm))];
  const code = change.rows.map(({ arm }) => arms.indexOf(arm));
  const group = change.rows.map(({ arm }) => arm);
  const drawn = bootstrap(
    [columnOf(change.rows, "before"), columnOf(change.rows, "after"), code],
    ([x = [], y = [], arm = []]) => {
      return adjustedDifference(x, y, arm, [arms.indexOf(first.id), arms.indexOf(second.id)]);
    },
    { resamples, seed, level, strata: group, method: "bca" },
  );
  return { value, ...(drawn.estimate.interval && { interval: drawn.estimate.interval }) };
}

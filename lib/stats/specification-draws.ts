import { itemAt, realAt, wholeAt } from "../entry.js";
import { randomStream } from "../num/random.js";
import { medianOf, orderedQuantile } from "./describe.js";
import type { Interval } from "./estimate.js";

/** One way to make the effect, with its people numbered as in the whole study. */
export interface Combination {
  /** Option taken of each choice, by name. */
  readonly choice: Readonly<Record<string, string>>;
  /** Place of the first combination that must give the same result; its own place if it is that. */
  readonly like: number;
  /** Number of each person in the whole study. */
  readonly people: Int32Array;
  /** 1 for a person of the arm of interest, 0 for one of the reference. */
  readonly trained: Uint8Array;
  /** Effect in percent over some rows, given the arm of each. */
  readonly effect: (rows: Int32Array, trained: Uint8Array) => number;
}

interface Draws {
  readonly resamples: number;
  readonly seed: number;
}

/** An effect and its bootstrap interval. */
export interface DrawnEffect {
  /** In percent. */
  readonly value: number;
  /** Its bootstrap interval, in percent. */
  readonly interval: Interval;
}

/** The effect of one combination, with a percentile bootstrap interval drawn within arms. */
export function drawnEffect(
  { choice, trained, effect }: Combination,
  { resamples, seed, level }: Draws & { level: number },
): DrawnEffect {
  const n = trained.length;
  const value = effect(
    Int32Array.from({ length: n }, (_, i) => i),
    trained,
  );
  const stream = randomStream(seed, `specification ${Object.values(choice).join(" ")}`);
  const arms = [0, 1].map((arm) =>
    Int32Array.from([...trained.keys()].filter((row) => trained[row] === arm)),
  );
  const draws = arms.map((rows) => new Int32Array(rows.length));
  const rows = new Int32Array(n);
  const replicates = new Float64Array(resamples);
  for (let r = 0; r < resamples; r++) {
    let at = 0;
    for (const arm of [0, 1]) {
      for (const pick of stream.fillIndices(itemAt(draws, arm), itemAt(draws, arm).length)) {
        rows[at++] = wholeAt(itemAt(arms, arm), pick);
      }
    }
    replicates[r] = effect(rows, trained);
  }
  replicates.sort();
  const tail = (1 - level) / 2;
  const interval = {
    low: orderedQuantile(replicates, tail, 6),
    high: orderedQuantile(replicates, 1 - tail, 6),
    level,
    method: "percentile bootstrap within arms",
  };
  return { value, interval };
}

/**
 * Share of shuffles of the arms whose middle effect lies at least as far from zero as `median`. One
 * shuffle serves every combination, so their agreement is kept.
 */
export function jointP(
  combinations: readonly Combination[],
  arms: Uint8Array,
  median: number,
  { resamples, seed }: Draws,
): number {
  const stream = randomStream(seed, "specification shuffle");
  const shuffled = [...arms];
  const rows = combinations.map(({ people }) => people.map((_, i) => i));
  const trained = combinations.map(({ people }) => new Uint8Array(people.length));
  let asFar = 0;
  for (let r = 0; r < resamples; r++) {
    stream.shuffle(shuffled);
    const effects = new Float64Array(combinations.length);
    combinations.forEach(({ like, people, effect }, s) => {
      if (like < s) {
        effects[s] = realAt(effects, like);
        return;
      }
      const arm = itemAt(trained, s);
      for (let i = 0; i < arm.length; i++) arm[i] = itemAt(shuffled, wholeAt(people, i));
      effects[s] = effect(itemAt(rows, s), arm);
    });
    if (Math.abs(medianOf(effects)) >= Math.abs(median) * (1 - 1e-12)) asFar++;
  }
  return (asFar + 1) / (resamples + 1);
}

import { itemAt, realAt, wholeAt } from "../entry.js";
import { randomStream } from "../num/random.js";
import type { ArmEffects } from "./arm-effect.js";
import { effectCombinations } from "./arm-effect.js";
import { medianOf, orderedQuantile } from "./describe.js";
import type { Interval } from "./estimate.js";

/** The people and values of one combination of the choices about the data. */
export interface DataVariant {
  /** Option taken of each choice about the data, by name. */
  readonly choice: Readonly<Record<string, string>>;
  /** Place of the first variant with the same people and values; its own place if it is that. */
  readonly like: number;
  /** Number of each person in the whole study. */
  readonly people: Int32Array;
  /** 1 for a person of the arm of interest, 0 for one of the reference. */
  readonly trained: Uint8Array;
  /** Effects in percent under every choice of scale, adjustment and centre. */
  readonly effects: ArmEffects;
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

/** How many effects a variant has. */
const kinds = effectCombinations.length;

/** Effects of a variant from everybody, in the order of `effectCombinations`. */
export function effectsOf({ effects, trained }: DataVariant): Float64Array {
  const into = new Float64Array(kinds);
  effects.fill(new Int32Array(effects.people).fill(1), trained, into);
  return into;
}

/**
 * The effects of one variant with percentile bootstrap intervals; one set of draws within arms
 * serves every choice of scale, adjustment and centre.
 */
export function drawnEffects(
  variant: DataVariant,
  { resamples, seed, level }: Draws & { level: number },
): DrawnEffect[] {
  const { choice, trained, effects } = variant;
  const stream = randomStream(seed, `specification ${Object.values(choice).join(" ")}`);
  const arms = [0, 1].map((arm) =>
    Int32Array.from([...trained.keys()].filter((row) => trained[row] === arm)),
  );
  const draws = arms.map((rows) => new Int32Array(rows.length));
  const counts = new Int32Array(trained.length);
  const into = new Float64Array(kinds);
  const replicates = Array.from({ length: kinds }, () => new Float64Array(resamples));
  for (let r = 0; r < resamples; r++) {
    counts.fill(0);
    for (const [arm, rows] of arms.entries()) {
      for (const pick of stream.fillIndices(itemAt(draws, arm), rows.length)) {
        const row = wholeAt(rows, pick);
        counts[row] = wholeAt(counts, row) + 1;
      }
    }
    effects.fill(counts, trained, into);
    for (let k = 0; k < kinds; k++) itemAt(replicates, k)[r] = realAt(into, k);
  }
  const values = effectsOf(variant);
  const tail = (1 - level) / 2;
  return replicates.map((column, k) => {
    column.sort();
    const interval = {
      low: orderedQuantile(column, tail, 6),
      high: orderedQuantile(column, 1 - tail, 6),
      level,
      method: "percentile bootstrap within arms",
    };
    return { value: realAt(values, k), interval };
  });
}

/**
 * Share of shuffles of the arms whose median effect lies at least as far from zero as `median`. One
 * shuffle serves every specification, so their agreement is kept.
 */
export function jointP(
  variants: readonly DataVariant[],
  arms: Uint8Array,
  median: number,
  { resamples, seed }: Draws,
): number {
  const stream = randomStream(seed, "specification shuffle");
  const shuffled = [...arms];
  const once = variants.map(({ people }) => new Int32Array(people.length).fill(1));
  const trained = variants.map(({ people }) => new Uint8Array(people.length));
  const estimates = variants.map(() => new Float64Array(kinds));
  const all = new Float64Array(kinds * variants.length);
  let asFar = 0;
  for (let r = 0; r < resamples; r++) {
    stream.shuffle(shuffled);
    for (const [v, { like, people, effects }] of variants.entries()) {
      if (like === v) {
        const arm = itemAt(trained, v);
        for (let i = 0; i < arm.length; i++) arm[i] = itemAt(shuffled, wholeAt(people, i));
        effects.fill(itemAt(once, v), arm, itemAt(estimates, v));
      }
      all.set(itemAt(estimates, like), kinds * v);
    }
    if (Math.abs(medianOf(all)) >= Math.abs(median) * (1 - 1e-12)) asFar++;
  }
  return (asFar + 1) / (resamples + 1);
}

/** The median effect of all specifications without each person, in the order of the people. */
export function mediansWithoutEach(variants: readonly DataVariant[], people: number): number[] {
  const into = new Float64Array(kinds);
  const all = new Float64Array(kinds * variants.length);
  const counts = variants.map((variant) => new Int32Array(variant.people.length));
  return Array.from({ length: people }, (_, out) => {
    for (const [v, variant] of variants.entries()) {
      if (variant.like === v) {
        const kept = itemAt(counts, v);
        for (let i = 0; i < kept.length; i++) kept[i] = wholeAt(variant.people, i) === out ? 0 : 1;
        variant.effects.fill(kept, variant.trained, into);
        all.set(into, kinds * v);
      } else {
        all.copyWithin(kinds * v, kinds * variant.like, kinds * (variant.like + 1));
      }
    }
    return medianOf(all);
  });
}

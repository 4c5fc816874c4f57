import { itemAt, present, realAt } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer, Panel } from "../show/picture.js";
import { bootstrap } from "../stats/bootstrap/bootstrap.js";
import { meanAndSd } from "../stats/describe.js";
import { replicateQuantile } from "../stats/selection.js";
import { type Estimated, holds, intervalsPanel, sideFor } from "./intervals-picture.js";
import { learnerLanguage } from "./learner-language.js";
import {
  axisHolding,
  choice,
  dial,
  type Model,
  type Played,
  type PlayedOutcome,
  play,
  roomFor,
  short,
  shownControl,
  studies,
} from "./model.js";
import type { ModelWords, ResamplingWords } from "./words/model-words.js";

type Dial = "people" | "spread" | "effect" | "resamples";
type Word = "shape" | "method" | "shown";

/** Changes of one study's golfers: mean `effect`, SD `spread`, normal or with one long tail. */
function changesOf(
  { people, spread, effect }: Readonly<Record<Dial, number>>,
  long: boolean,
  stream: RandomStream,
): Float64Array {
  const draw = long ? () => -Math.log(1 - stream.uniform()) - 1 : () => stream.normal();
  return Float64Array.from({ length: people }, () => effect + spread * draw());
}

function meanOf([x]: readonly Float64Array[]): number {
  let total = 0;
  for (let i = 0; i < present(x).length; i++) total += realAt(present(x), i);
  return total / present(x).length;
}

interface Resampled {
  readonly changes: Float64Array;
  readonly replicates: readonly number[];
  readonly by: Readonly<Record<"percentile" | "bca" | "t", Estimated>>;
}

/**
 * One study: its golfers resampled once, read as percentile and as BCa interval, beside Student's t.
 * @param t quantile for as many golfers
 */
function resampled(
  dials: Readonly<Record<Dial, number>>,
  long: boolean,
  stream: RandomStream,
  t: number,
): Resampled {
  const changes = changesOf(dials, long, stream);
  const { resamples } = dials;
  const drawn = bootstrap([changes], meanOf, { resamples, seed: stream.uint32() });
  const { mean, sd } = meanAndSd(changes);
  const half = (t * sd) / Math.sqrt(changes.length);
  const replicates = Float64Array.from(drawn.replicates);
  const limit = (p: number) => replicateQuantile(replicates, p);
  return {
    changes,
    replicates: drawn.replicates,
    by: {
      percentile: { value: mean, interval: { low: limit(0.025), high: limit(0.975) } },
      bca: { value: mean, interval: drawn.estimate.interval },
      t: { value: mean, interval: { low: mean - half, high: mean + half } },
    },
  };
}

function limit(value: number, says: string): Layer {
  return { kind: "rule", axis: "x", tone: "ink", value: short(value), says, dashed: true };
}

/** The first study: its golfers in a row, above them its resampled means in narrow columns. */
function firstPanel(
  { changes, replicates, by }: Resampled,
  { effect, spread }: Readonly<Record<Dial, number>>,
  word: keyof Resampled["by"],
  { titles, axes, limits }: ResamplingWords,
): Panel {
  const { low, high } = by[word].interval;
  const side = roomFor(effect + 1.5 * spread, [2, 3, 5, 8, 12, 16]);
  const axis = axisHolding([...changes, low, high], [-side, side], 1);
  const width = (axis.high - axis.low) / 52;
  const heights = new Map<number, number>();
  const most = 18;
  const dots = replicates.map((value) => {
    const x = Math.round(value / width) * width;
    const y = (heights.get(x) ?? 0) + 1;
    heights.set(x, y);
    return { x: short(x), y };
  });
  const tallest = Math.max(most, ...heights.values());
  return {
    title: titles.first,
    x: { title: axes.change, ...axis },
    y: { title: axes.resamples, low: -tallest / 6, high: tallest + 1, numbered: false },
    layers: [
      // Student's t does not come from the resampled means, so its limits are not drawn on them.
      ...(word === "t" ? [] : [limit(low, limits.low), limit(high, limits.high)]),
      {
        kind: "dots",
        tone: "speed",
        x: dots.map(({ x }) => x),
        y: dots.map(({ y }) => y),
        radius: 1.9,
      },
      { kind: "rule", axis: "y", tone: "control", value: 0, says: "" },
      {
        kind: "dots",
        tone: "lead",
        x: Array.from(changes, short),
        y: Array.from(changes, () => -tallest / 12),
        radius: 4,
      },
    ],
  };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<Word, string>>,
  seed: number,
  { resampling: says, intervals }: ModelWords,
): PlayedOutcome {
  const { people, effect, resamples } = dials;
  const stream = randomStream(seed, "resampling");
  const long = words.shape === "long";
  const word = words.method as keyof Resampled["by"];
  const t = studentT(people - 1).quantile(0.975);
  const drawn = Array.from({ length: studies }, () => resampled(dials, long, stream, t));
  const holding = (name: keyof Resampled["by"]) =>
    drawn.filter(({ by }) => holds(by[name], effect)).length;
  const counts = { percentile: holding("percentile"), bca: holding("bca"), t: holding("t") };
  const first = itemAt(drawn, 0);
  const drawnIntervals = drawn.map(({ by }) => by[word]);
  const { value, interval } = first.by[word];
  const isOne = words.shown === "one";
  const all = () =>
    intervalsPanel(drawnIntervals, {
      title: says.titles[word],
      quantity: says.axes.mean,
      side: sideFor(drawnIntervals),
      truth: effect,
      says: intervals,
    });
  return {
    picture: {
      height: 400,
      panels: [firstPanel(first, dials, word, says), ...(isOne ? [] : [all()])],
    },
    sentence: says.sentence({
      one: isOne,
      people,
      resamples,
      studies,
      method: word,
      first: { value, low: interval.low, high: interval.high },
      counts,
    }),
    alt: says.alt(isOne),
    results: { ...counts, value, low: interval.low, high: interval.high },
  };
}

export const resamplingModel: Model<Dial, Word> = {
  name: "resampling",
  controls: ({ resampling: { labels, shown, shape, method } }) => [
    shownControl(labels.shown, shown),
    dial("people", labels.people, "", [3, 9, 30, 1]),
    dial("resamples", labels.resamples, "", [99, 199, 299, 50]),
    dial("spread", labels.spread, "kgf", [0.5, 2, 5, 0.1]),
    dial("effect", labels.effect, "kgf", [0, 1, 4, 0.1]),
    choice("shape", labels.shape, shape, "even"),
    choice("method", labels.method, method, "percentile"),
  ],
  run,
};

/**
 * Two hundred simulated studies, each resampled: how often a bootstrap interval includes the truth.
 *
 * Changes of golfers are normal, or exponential with the same mean and SD; the mean of each study is
 * resampled by `bootstrap` and read as percentile and BCa interval, beside Student's t.
 * @param settings `people` 3 to 30, `resamples` 99 to 299, `spread` and `effect` in kgf, `shape`
 *   "even" or "long", `method` "percentile", "bca" or "t" for the intervals that are drawn,
 *   `shown` "one" study or "all"
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results`: studies of 200 whose interval includes the truth
 * @throws InputError for an unknown setting or one out of its range
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap, chapters 13 and 14
 * @example playResampling({ people: 5 }, { seed: 1 }).model // "resampling"
 */
export function playResampling(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playResampling");
  return play(resamplingModel, settings, options?.seed, learnerLanguage());
}

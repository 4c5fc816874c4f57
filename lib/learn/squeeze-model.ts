import { itemAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { learnerLanguage } from "./learner-language.js";
import {
  central95,
  choice,
  dial,
  type Model,
  meanReading,
  type Played,
  type PlayedOutcome,
  play,
  roomFor,
  short,
  shownControl,
  studies,
} from "./model.js";
import type { ModelWords, SqueezeWords } from "./words/model-words.js";

type Dial = "people" | "trials" | "error" | "change";

interface Squad {
  /** Measured changes of the squad's golfers, kgf. */
  readonly changes: readonly number[];
  readonly beyond: number;
}

function bestReading(stream: RandomStream, truth: number, error: number, count: number): number {
  let best = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < count; i++) best = Math.max(best, stream.normal());
  return truth + error * best;
}

function squad(
  { people, trials, error, change }: Readonly<Record<Dial, number>>,
  switched: boolean,
  detectable: number,
  stream: RandomStream,
): Squad {
  const after = switched ? bestReading : meanReading;
  const changes = Array.from({ length: people }, () => {
    const before = meanReading(stream, 0, error, trials);
    return after(stream, change, error, trials) - before;
  });
  const beyond = changes.filter((value) => Math.abs(value) > detectable).length;
  return { changes, beyond };
}

/** Dots of equal values side by side: golfers stand one above another in narrow columns. */
function stacked(values: readonly number[], width: number) {
  const heights = new Map<number, number>();
  return values.map((value) => {
    const x = Math.round(value / width) * width;
    const y = (heights.get(x) ?? 0) + 1;
    heights.set(x, y);
    return { x: short(x), y, value };
  });
}

function pictureOf(
  shown: readonly number[],
  { change }: Readonly<Record<Dial, number>>,
  detectable: number,
  says: SqueezeWords,
  isOne: boolean,
): PlayedOutcome["picture"] {
  const reach = shown.map((value) => Math.abs(value)).reduce((a, b) => Math.max(a, b), detectable);
  const side = roomFor(reach * 1.05, [3, 5, 8, 12, 18, 30, 60]);
  const dots = stacked(shown, side / 40);
  const most = Math.max(12, ...dots.map(({ y }) => y)) + 1;
  const part = (kept: typeof dots, hollow: boolean): Layer => ({
    kind: "dots",
    tone: "ink",
    x: kept.map(({ x }) => x),
    y: kept.map(({ y }) => y - 0.5),
    hollow,
  });
  const beyond = dots.filter(({ value }) => Math.abs(value) > detectable);
  const within = dots.filter(({ value }) => Math.abs(value) <= detectable);
  const upright = (value: number, name: string, dashed: boolean): Layer => {
    return { kind: "rule", axis: "x", tone: "ink", value: short(value), says: name, dashed };
  };
  const names: Layer[] = [
    upright(-detectable, says.rules.below, true),
    upright(detectable, says.rules.above, true),
    upright(0, says.rules.none, false),
    ...(change > 0
      ? [{ ...upright(change, says.rules.truth, false), tone: "speed" } as Layer]
      : []),
  ];
  const panel = {
    title: says.title(shown.length, isOne),
    x: { title: says.axes.change, low: -side, high: side },
    y: { title: says.axes.golfers, low: 0, high: most },
    layers: [...names, part(within, true), part(beyond, false)],
  };
  return { panels: [panel], height: 340 };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"rule" | "shown", string>>,
  seed: number,
  { squeeze: says }: ModelWords,
): PlayedOutcome {
  const { people, trials, error, change } = dials;
  const stream = randomStream(seed, "squeeze");
  const detectable = normal().quantile(0.975) * Math.SQRT2 * (error / Math.sqrt(trials));
  const switched = words.rule === "switched";
  const squads = Array.from({ length: studies }, () => squad(dials, switched, detectable, stream));
  const all = squads.flatMap(({ changes }) => changes);
  const spread = central95(all);
  const passing = squads.map(({ beyond }) => beyond);
  const range = central95(passing);
  const average = passing.reduce((a, b) => a + b, 0) / studies;
  const meanChange = all.reduce((a, b) => a + b, 0) / all.length;
  const isOne = words.shown === "one";
  const first = itemAt(squads, 0);
  return {
    picture: pictureOf(
      isOne ? first.changes : squads.map(({ changes }) => itemAt(changes, 0)),
      dials,
      detectable,
      says,
      isOne,
    ),
    sentence: says.sentence({
      one: isOne,
      people,
      trials,
      switched,
      error,
      change,
      detectable,
      gain: meanChange - change,
      changes: spread,
      beyond: first.beyond,
      passing: average,
      range,
    }),
    alt: says.alt,
    results: { detectable, low: spread.low, high: spread.high, passing: average, meanChange },
  };
}

export const squeezeModel: Model<Dial, "rule" | "shown"> = {
  name: "squeeze",
  controls: ({ squeeze: { labels, shown, rule } }) => [
    shownControl(labels.shown, shown),
    dial("people", labels.people, "", [2, 12, 40, 1]),
    dial("trials", labels.trials, "", [1, 3, 10, 1]),
    dial("error", labels.error, "kgf", [0.5, 1.5, 5, 0.1]),
    dial("change", labels.change, "kgf", [0, 0, 6, 0.1]),
    choice("rule", labels.rule, rule, "mean"),
  ],
  run,
};

/**
 * Two hundred simulated squads tested twice: what a measured change of one golfer is worth.
 *
 * A squeeze is the true grip plus a normal error; a golfer's value is the mean of the squeezes, or,
 * to see what a switch does, the best of them the second time. Minimal detectable change
 * 1.96 √2 e / √k for an error e and k squeezes.
 * @param settings `people` 2 to 40, `trials` 1 to 10, `error` and `change` in kgf, `rule` "mean" or
 *   "switched", `shown` "one" squad or "all"; what is left out keeps its start
 * @param options `seed`: whole number from 0; the same seed draws the same squads
 * @returns what `simulation` shows: picture, sentence, `results` in kgf
 * @throws InputError for an unknown setting or one out of its range
 * @see Weir (2005) J Strength Cond Res 19:231–240 for the minimal difference
 * @example playSqueeze({ trials: 1, error: 1 }, { seed: 1 }).results.detectable // 2.77180765…
 */
export function playSqueeze(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playSqueeze");
  return play(squeezeModel, settings, options?.seed, learnerLanguage());
}

import { itemAt } from "../entry.js";
import { normal } from "../num/distributions.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { ChoiceControl, Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { fixedText } from "../show/wording.js";
import {
  central95,
  dial,
  type Model,
  meanReading,
  type Played,
  type PlayedOutcome,
  play,
  roomFor,
  short,
  studies,
} from "./model.js";

type Dial = "people" | "trials" | "error" | "change";

interface Squad {
  /** Measured changes of the squad's golfers, kgf. */
  readonly changes: readonly number[];
  readonly beyond: number;
}

const rule: ChoiceControl = {
  kind: "choice",
  name: "rule",
  label: "One value from the squeezes",
  start: "mean",
  options: [
    { value: "mean", label: "mean, both times" },
    { value: "switched", label: "mean before, best after" },
  ],
};

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
  const upright = (value: number, says: string, dashed: boolean): Layer => {
    return { kind: "rule", axis: "x", tone: "ink", value: short(value), says, dashed };
  };
  const names: Layer[] = [
    upright(-detectable, "−detectable", true),
    upright(detectable, "detectable change", true),
    upright(0, "no change", false),
    ...(change > 0 ? [{ ...upright(change, "true change", false), tone: "speed" } as Layer] : []),
  ];
  const panel = {
    title: `${shown.length} golfers, one from each squad: a dot is one golfer's measured change`,
    x: { title: "Measured change of grip force (kgf)", low: -side, high: side },
    y: { title: "Golfers", low: 0, high: most },
    layers: [...names, part(within, true), part(beyond, false)],
  };
  return { panels: [panel], height: 340 };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"rule", string>>,
  seed: number,
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
  const says = (value: number) => fixedText(value, 1);
  const truth =
    change === 0 ? "No golfer truly changed" : `Every golfer truly gained ${says(change)} kgf`;
  const how = switched
    ? `the mean of ${trials} before but the best of ${trials} after`
    : trials === 1
      ? "one squeeze each time"
      : `the mean of ${trials} squeezes each time`;
  const bias = switched
    ? ` The switch from mean to best adds ${says(meanChange - change)} kgf.`
    : "";
  return {
    picture: pictureOf(
      squads.map(({ changes }) => itemAt(changes, 0)),
      dials,
      detectable,
    ),
    sentence: `${truth}. Tested by ${how}, with an error of ${says(error)} kgf per squeeze, 95 % of the measured changes lie between ${says(spread.low)} and ${says(spread.high)} kgf.${bias} The minimal detectable change is ${says(detectable)} kgf: of a squad of ${people}, ${says(average)} golfers exceed it on average, and ${Math.round(range.low)} to ${Math.round(range.high)} in 95 of 100 squads.`,
    alt: `Columns of dots along a scale of change, with lines at no change and at the minimal detectable change on both sides; filled dots lie beyond it.`,
    results: { detectable, low: spread.low, high: spread.high, passing: average, meanChange },
  };
}

export const squeezeModel: Model<Dial, "rule"> = {
  name: "squeeze",
  controls: [
    dial("people", "Golfers in a squad", "", [2, 12, 40, 1]),
    dial("trials", "Squeezes each time", "", [1, 3, 10, 1]),
    dial("error", "Error of one squeeze", "kgf", [0.5, 1.5, 5, 0.1]),
    dial("change", "True change", "kgf", [0, 0, 6, 0.1]),
    rule,
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
 *   "switched"; what is left out keeps its start
 * @param options `seed`: whole number from 0; the same seed draws the same squads
 * @returns what `simulation` shows: picture, sentence, `results` in kgf
 * @throws InputError for an unknown setting or one out of its range
 * @see Weir (2005) J Strength Cond Res 19:231–240 for the minimal difference
 * @example playSqueeze({ trials: 1, error: 1 }, { seed: 1 }).results.detectable // 2.77180765…
 */
export function playSqueeze(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playSqueeze");
  return play(squeezeModel, settings, options?.seed);
}

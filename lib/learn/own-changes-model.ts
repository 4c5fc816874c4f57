import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { fixedText } from "../show/wording.js";
import { changeEstimate } from "../stats/change.js";
import { describe } from "../stats/describe.js";
import { pairColumns } from "../stats/pairs.js";
import { dial, type Model, type Played, type PlayedOutcome, play, short } from "./model.js";

/** The golfers before anyone moves them: lead-hand grip before and after, kgf. */
const golfers = [
  { name: "A", before: 33, after: 36 },
  { name: "B", before: 37, after: 36.5 },
  { name: "C", before: 40, after: 44.5 },
  { name: "D", before: 43, after: 44 },
  { name: "E", before: 47, after: 50 },
  { name: "F", before: 51, after: 51.5 },
] as const;

const range = { low: 25, high: 60 };
const times = { before: 1, after: 2 };

function dots(time: "before" | "after", values: readonly number[]): Layer {
  return {
    kind: "dots",
    tone: "lead",
    x: values.map(() => times[time]),
    y: values.map(short),
    radius: 6,
    handles: golfers.map(({ name }) => ({
      label: `Golfer ${name}, ${time}`,
      ...(time === "after" && { mark: name }),
      y: `${time}${name}`,
    })),
  };
}

function run(dials: Readonly<Record<string, number>>): PlayedOutcome {
  const before = golfers.map(({ name }) => present(dials[`before${name}`]));
  const after = golfers.map(({ name }) => present(dials[`after${name}`]));
  const pairs = pairColumns(before, after, "simulation own-changes");
  const { value, interval } = changeEstimate(pairs, 0.95);
  const { low, high } = present(interval);
  const { sd } = describe(pairs.changes);
  const one = (number: number) => fixedText(number, 1);
  const includes = low <= 0 && high >= 0;
  const list = golfers.map(({ name }, i) => `${name} ${one(itemAt(pairs.changes, i))}`);
  return {
    picture: {
      height: 380,
      panels: [
        {
          title: `${golfers.length} golfers before and after`,
          x: { title: "Before, and after", low: 0.6, high: 2.4, numbered: false },
          y: { title: "Lead-hand grip force (kgf)", ...range },
          layers: [
            {
              kind: "strokes",
              tone: "lead",
              x: before.map(() => times.before),
              y: before.map(short),
              toX: after.map(() => times.after),
              toY: after.map(short),
              width: 2,
            },
            dots("before", before),
            dots("after", after),
          ],
        },
      ],
    },
    sentence: `The mean change is ${one(value)} kgf (95 % CI ${one(low)} to ${one(high)}), so the interval ${includes ? "includes" : "excludes"} zero. The changes have a standard deviation of ${one(sd)} kgf: ${list.join(", ")}.`,
    alt: "Six golfers, each a line from the value before to the value after.",
    results: { change: value, low, high, sd },
  };
}

export const ownChangesModel: Model<string, never> = {
  name: "own-changes",
  chance: false,
  controls: golfers.flatMap(({ name, before, after }) => [
    dial(`before${name}`, `Golfer ${name} before`, "kgf", [range.low, before, range.high, 0.5]),
    dial(`after${name}`, `Golfer ${name} after`, "kgf", [range.low, after, range.high, 0.5]),
  ]),
  run,
};

/**
 * Six golfers before and after that a reader moves one by one, and the mean change with its paired t
 * interval. Nothing is drawn at random.
 * @param settings `beforeA` to `beforeF` and `afterA` to `afterF`, 25 to 60 kgf
 * @param options `seed`: has no part in it
 * @returns what `simulation` shows; `results` in kgf
 * @throws InputError for an unknown setting or one out of its range
 * @example playOwnChanges({}, { seed: 1 }).results.change // 1.9166666667
 */
export function playOwnChanges(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playOwnChanges");
  return play(ownChangesModel, settings, options?.seed);
}

import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { changeEstimate } from "../stats/change.js";
import { describe } from "../stats/describe.js";
import { pairColumns } from "../stats/pairs.js";
import { learnerLanguage } from "./learner-language.js";
import { dial, type Model, type Played, type PlayedOutcome, play, short } from "./model.js";
import type { ModelWords, OwnChangesWords } from "./words/model-words.js";

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

function dots(time: "before" | "after", values: readonly number[], says: OwnChangesWords): Layer {
  return {
    kind: "dots",
    tone: "lead",
    x: values.map(() => times[time]),
    y: values.map(short),
    radius: 6,
    handles: golfers.map(({ name }) => ({
      label: says[time](name),
      ...(time === "after" && { mark: name }),
      y: `${time}${name}`,
    })),
  };
}

function run(
  dials: Readonly<Record<string, number>>,
  _words: Readonly<Record<never, string>>,
  _seed: number,
  { ownChanges: says }: ModelWords,
): PlayedOutcome {
  const before = golfers.map(({ name }) => present(dials[`before${name}`]));
  const after = golfers.map(({ name }) => present(dials[`after${name}`]));
  const pairs = pairColumns(before, after, "simulation own-changes");
  const { value, interval } = changeEstimate(pairs, 0.95);
  const { low, high } = present(interval);
  const { sd } = describe(pairs.changes);
  const changes = golfers.map(({ name }, i) => ({ name, change: itemAt(pairs.changes, i) }));
  return {
    picture: {
      height: 380,
      panels: [
        {
          title: says.title(golfers.length),
          x: { title: says.axes.times, low: 0.6, high: 2.4, numbered: false },
          y: { title: says.axes.grip, ...range },
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
            dots("before", before, says),
            dots("after", after, says),
          ],
        },
      ],
    },
    sentence: says.sentence({ change: { value, low, high }, sd, changes }),
    alt: says.alt,
    results: { change: value, low, high, sd },
  };
}

export const ownChangesModel: Model<string, never> = {
  name: "own-changes",
  chance: false,
  controls: ({ ownChanges }) =>
    golfers.flatMap(({ name, before, after }) => [
      dial(`before${name}`, ownChanges.before(name), "kgf", [range.low, before, range.high, 0.5]),
      dial(`after${name}`, ownChanges.after(name), "kgf", [range.low, after, range.high, 0.5]),
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
  return play(ownChangesModel, settings, options?.seed, learnerLanguage());
}

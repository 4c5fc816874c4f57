import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { fitLine } from "../stats/regression.js";
import { learnerLanguage } from "./learner-language.js";
import { dial, type Model, type Played, type PlayedOutcome, play, short } from "./model.js";
import type { ModelWords, OwnLineWords } from "./words/model-words.js";

/** The golfers before anyone moves them: grip in kgf, speed in mph. */
const golfers = [
  { name: "A", grip: 31, speed: 84 },
  { name: "B", grip: 34, speed: 93 },
  { name: "C", grip: 37, speed: 86 },
  { name: "D", grip: 40, speed: 95 },
  { name: "E", grip: 43, speed: 88 },
  { name: "F", grip: 46, speed: 99 },
  { name: "G", grip: 50, speed: 92 },
  { name: "H", grip: 54, speed: 101 },
] as const;

const gripRange = { low: 20, high: 65 };
const speedRange = { low: 70, high: 120 };

function dots(grip: readonly number[], speed: readonly number[], says: OwnLineWords): Layer {
  return {
    kind: "dots",
    tone: "lead",
    x: grip.map(short),
    y: speed.map(short),
    radius: 6,
    handles: golfers.map(({ name }) => ({
      label: says.golfer(name),
      mark: name,
      x: `grip${name}`,
      y: `speed${name}`,
    })),
  };
}

function run(
  dials: Readonly<Record<string, number>>,
  _words: Readonly<Record<never, string>>,
  _seed: number,
  { ownLine: says }: ModelWords,
): PlayedOutcome {
  const grip = golfers.map(({ name }) => present(dials[`grip${name}`]));
  const speed = golfers.map(({ name }) => present(dials[`speed${name}`]));
  const panel = (layers: readonly Layer[]) => ({
    height: 380,
    panels: [
      {
        title: says.title(golfers.length),
        x: { title: says.axes.grip, ...gripRange },
        y: { title: says.axes.speed, ...speedRange },
        layers: [...layers, dots(grip, speed, says)],
      },
    ],
  });
  const { alt } = says;
  const [least, most] = [Math.min(...grip), Math.max(...grip)];
  if (least === most) {
    return { picture: panel([]), sentence: says.noLine, alt, results: {} };
  }
  const { slope, intercept, residualSd, leverage } = fitLine({ x: grip, y: speed });
  const height = (at: number) => short(intercept.value + slope.value * at);
  const far = leverage.indexOf(Math.max(...leverage));
  const { low, high } = present(slope.interval);
  return {
    picture: panel([
      {
        kind: "strokes",
        tone: "control",
        x: grip.map(short),
        y: speed.map(short),
        toX: grip.map(short),
        toY: grip.map(height),
        faint: true,
      },
      {
        kind: "line",
        tone: "lead",
        x: [least, most],
        y: [height(least), height(most)],
        width: 2.6,
      },
    ]),
    sentence: says.sentence({
      slope: { value: slope.value, low, high },
      residualSd,
      farthest: itemAt(golfers, far).name,
      leverage: itemAt(leverage, far),
    }),
    alt,
    results: { slope: slope.value, low, high, residualSd, leverage: itemAt(leverage, far) },
  };
}

export const ownLineModel: Model<string, never> = {
  name: "own-line",
  chance: false,
  controls: ({ ownLine }) =>
    golfers.flatMap(({ name, grip, speed }) => [
      dial(`grip${name}`, ownLine.grip(name), "kgf", [gripRange.low, grip, gripRange.high, 0.5]),
      dial(`speed${name}`, ownLine.speed(name), "mph", [
        speedRange.low,
        speed,
        speedRange.high,
        0.5,
      ]),
    ]),
  run,
};

/**
 * Eight golfers that a reader moves one by one, and the line through them: what each of them does to
 * the slope, its interval and the residuals. Nothing is drawn at random.
 * @param settings `gripA` to `gripH` 20 to 65 kgf, `speedA` to `speedH` 70 to 120 mph
 * @param options `seed`: has no part in it
 * @returns what `simulation` shows; `results` in mph per kgf and mph, none where all grips are equal
 * @throws InputError for an unknown setting or one out of its range
 * @see Draper & Smith (1998) Applied Regression Analysis, chapter 8 on leverage
 * @example playOwnLine({}, { seed: 1 }).model // "own-line"
 */
export function playOwnLine(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playOwnLine");
  return play(ownLineModel, settings, options?.seed, learnerLanguage());
}

import { present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer, Panel } from "../show/picture.js";
import { holdDemand } from "../swing/hold.js";
import { type ClubPull, clubPull } from "../swing/pull.js";
import { convert } from "../units/convert.js";
import { learnerLanguage } from "./learner-language.js";
import {
  dial,
  type Model,
  type Played,
  type PlayedOutcome,
  play,
  roomFor,
  short,
} from "./model.js";
import type { ModelWords, PullWords } from "./words/model-words.js";

type Dial = "speed" | "head" | "hand" | "poor" | "good";

const slowest = 50;
const fastest = 135;

function pullAt(mph: number, { head, hand }: Readonly<Record<Dial, number>>): ClubPull {
  return clubPull({
    speedMps: convert(mph, "mph", "m/s"),
    headKg: head / 1000,
    armRadiusM: hand,
  });
}

/** Newtons as the trade's kgf. */
function kgf(newtons: number): number {
  return short(convert(newtons, "N", "kgf"));
}

const grid = Array.from({ length: 35 }, (_, i) => slowest + ((fastest - slowest) * i) / 34);
const speedRange = { low: slowest, high: fastest };

interface Needs {
  readonly low: number;
  readonly high: number;
}

function dot(tone: "lead" | "trail", mph: number, pull: ClubPull): Layer {
  return { kind: "dots", tone, x: [short(mph)], y: [kgf(pull.forceN)], radius: 5 };
}

/** The curve of pull with its band, under the dots of single speeds. */
function pullPanel(
  curve: readonly ClubPull[],
  dots: readonly Layer[],
  { titles, axes }: PullWords,
): Panel {
  const band: Layer = {
    kind: "band",
    tone: "lead",
    x: grid.map(short),
    low: curve.map(({ band }) => kgf(band.low)),
    high: curve.map(({ band }) => kgf(band.high)),
  };
  const middle = curve.map(({ forceN }) => kgf(forceN));
  return {
    title: titles.pull,
    x: { title: axes.speed, ...speedRange },
    y: { title: axes.pull, low: 0, high: 80 },
    layers: [band, { kind: "line", tone: "lead", x: grid.map(short), y: middle }, ...dots],
  };
}

/** What friction alone asks for at every speed, and at one. */
function squeezePanel(
  needs: readonly Needs[],
  speed: number,
  need: Needs,
  { titles, axes }: PullWords,
): Panel {
  const band: Layer = {
    kind: "band",
    tone: "trail",
    x: grid.map(short),
    low: needs.map(({ low }) => kgf(low)),
    high: needs.map(({ high }) => kgf(high)),
  };
  const here: Layer = {
    kind: "strokes",
    tone: "ink",
    x: [short(speed)],
    y: [kgf(need.low)],
    toX: [short(speed)],
    toY: [kgf(need.high)],
    width: 3,
  };
  const tallest = roomFor(kgf(present(needs.at(-1)).high), [60, 100, 150, 250, 400, 700]);
  return {
    title: titles.squeeze,
    x: { title: axes.speed, ...speedRange },
    y: { title: axes.squeeze, low: 0, high: tallest },
    layers: [band, here],
  };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  _words: Readonly<Record<never, string>>,
  _seed: number,
  { pull: says }: ModelWords,
): PlayedOutcome {
  const { speed, poor, good } = dials;
  const curve = grid.map((mph) => pullAt(mph, dials));
  const here = pullAt(speed, dials);
  const faster = pullAt(1.1 * speed, dials);
  const friction = { low: Math.min(poor, good), high: Math.max(poor, good) };
  const hold = (pull: ClubPull) => holdDemand({ pullN: pull.band, friction }).readingN;
  const need = hold(here);
  const dots = [dot("lead", speed, here), dot("trail", 1.1 * speed, faster)];
  const panels = [pullPanel(curve, dots, says), squeezePanel(curve.map(hold), speed, need, says)];
  const more = 100 * (faster.forceN / here.forceN - 1);
  return {
    picture: { height: 380, panels },
    sentence: says.sentence({
      speed,
      newtons: here.forceN,
      kgf: kgf(here.forceN),
      band: here.band,
      working: here.working,
      more,
      need: { low: kgf(need.low), high: kgf(need.high) },
    }),
    alt: says.alt,
    results: {
      pullN: here.forceN,
      lowKgf: convert(need.low, "N", "kgf"),
      highKgf: convert(need.high, "N", "kgf"),
      morePercent: more,
    },
  };
}

export const pullModel: Model<Dial, never> = {
  name: "pull",
  chance: false,
  controls: ({ pull: { labels } }) => [
    dial("speed", labels.speed, "mph", [60, 100, 120, 1]),
    dial("head", labels.head, "g", [180, 200, 220, 1]),
    dial("hand", labels.hand, "m", [0.5, 0.65, 0.8, 0.01]),
    dial("poor", labels.poor, "", [0.2, 0.5, 1, 0.05]),
    dial("good", labels.good, "", [0.5, 1.7, 2, 0.05]),
  ],
  run,
};

/**
 * The pull of the club against speed, and the squeeze that friction alone would ask for, as a band.
 *
 * Pull from `clubPull`, squeeze from `holdDemand`; nothing is drawn at random.
 * @param settings `speed` mph, `head` g, `hand` m, `poor` and `good` coefficients of friction
 * @param options `seed`: has no part in it
 * @returns what `simulation` shows; `results` in N, kgf and percent
 * @throws InputError for an unknown setting or one out of its range
 * @see Penner AR (2003) The physics of golf. Rep Prog Phys 66:131–171
 * @example playPull({ speed: 100 }, { seed: 1 }).results.pullN // 343.4
 */
export function playPull(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playPull");
  return play(pullModel, settings, options?.seed, learnerLanguage());
}

import { present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer, Panel } from "../show/picture.js";
import { fixedText } from "../show/wording.js";
import { holdDemand } from "../swing/hold.js";
import { type ClubPull, clubPull } from "../swing/pull.js";
import { convert } from "../units/convert.js";
import {
  dial,
  type Model,
  type Played,
  type PlayedOutcome,
  play,
  roomFor,
  short,
} from "./model.js";

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
const speedAxis = { title: "Club-head speed (mph)", low: slowest, high: fastest };

interface Needs {
  readonly low: number;
  readonly high: number;
}

function dot(tone: "lead" | "trail", mph: number, pull: ClubPull): Layer {
  return { kind: "dots", tone, x: [short(mph)], y: [kgf(pull.forceN)], radius: 5 };
}

/** The curve of pull with its band, under the dots of single speeds. */
function pullPanel(curve: readonly ClubPull[], dots: readonly Layer[]): Panel {
  const band: Layer = {
    kind: "band",
    tone: "lead",
    x: grid.map(short),
    low: curve.map(({ band }) => kgf(band.low)),
    high: curve.map(({ band }) => kgf(band.high)),
  };
  const middle = curve.map(({ forceN }) => kgf(forceN));
  return {
    title: "Pull of the club on both hands together",
    x: speedAxis,
    y: { title: "Pull (kgf)", low: 0, high: 80 },
    layers: [band, { kind: "line", tone: "lead", x: grid.map(short), y: middle }, ...dots],
  };
}

/** What friction alone asks for at every speed, and at one. */
function squeezePanel(needs: readonly Needs[], speed: number, need: Needs): Panel {
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
    title: "Squeeze of both hands that friction alone asks for",
    x: speedAxis,
    y: { title: "Dynamometer readings added (kgf)", low: 0, high: tallest },
    layers: [band, here],
  };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  _words: Readonly<Record<never, string>>,
  _seed: number,
): PlayedOutcome {
  const { speed, poor, good } = dials;
  const curve = grid.map((mph) => pullAt(mph, dials));
  const here = pullAt(speed, dials);
  const faster = pullAt(1.1 * speed, dials);
  const friction = { low: Math.min(poor, good), high: Math.max(poor, good) };
  const hold = (pull: ClubPull) => holdDemand({ pullN: pull.band, friction }).readingN;
  const need = hold(here);
  const dots = [dot("lead", speed, here), dot("trail", 1.1 * speed, faster)];
  const panels = [pullPanel(curve, dots), squeezePanel(curve.map(hold), speed, need)];
  const whole = (value: number) => fixedText(value, 0);
  const more = 100 * (faster.forceN / here.forceN - 1);
  return {
    picture: { height: 380, panels },
    sentence: `At ${whole(speed)} mph the club pulls along its shaft with ${whole(here.forceN)} N (${whole(kgf(here.forceN))} kgf), plausible range ${whole(here.band.low)} to ${whole(here.band.high)} N. Working: ${here.working.join("; ")}. At 10 % more speed the pull is ${whole(more)} % larger. For friction alone to hold it, the readings of both hands would have to add up to ${whole(kgf(need.low))} to ${whole(kgf(need.high))} kgf: the two limits differ by a factor of ${fixedText(need.high / need.low, 1)}, because friction on a golf grip has not been published.`,
    alt: "On the left a curve of pull that rises with the square of speed, with a narrow band. On the right a very wide band of squeezes that would hold it.",
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
  controls: [
    dial("speed", "Club-head speed", "mph", [60, 100, 120, 1]),
    dial("head", "Mass of the head", "g", [180, 200, 220, 1]),
    dial("hand", "Radius of the hands' path", "m", [0.5, 0.65, 0.8, 0.01]),
    dial("poor", "Least friction of hand on grip", "", [0.2, 0.5, 1, 0.05]),
    dial("good", "Most friction of hand on grip", "", [0.5, 1.7, 2, 0.05]),
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
  return play(pullModel, settings, options?.seed);
}

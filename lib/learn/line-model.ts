import { itemAt, present } from "../entry.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Layer } from "../show/picture.js";
import { predictLine } from "../stats/prediction.js";
import { fitLine, type LineFit } from "../stats/regression.js";
import { learnerLanguage } from "./learner-language.js";
import {
  axisHolding,
  central95,
  dial,
  type Model,
  meanReading,
  type Played,
  type PlayedOutcome,
  play,
  short,
  shownControl,
  studies,
} from "./model.js";
import type { ModelWords } from "./words/model-words.js";

type Dial = "people" | "trials" | "error" | "slope" | "stranger";

/** The invented golfers: lead-hand grip in kgf, driver speed in mph. */
const invented = { grip: 42, gripSd: 8, speed: 92, scatter: 7, strangerGrip: 60 };

interface Drawn {
  readonly grip: number[];
  readonly speed: number[];
}

function draw(
  { people, trials, error, slope, stranger }: Readonly<Record<Dial, number>>,
  stream: RandomStream,
): Drawn {
  const grip: number[] = [];
  const speed: number[] = [];
  for (let i = 0; i < people; i++) {
    const strange = stranger !== 0 && i === people - 1;
    const drawn = invented.grip + invented.gripSd * stream.normal();
    const trueGrip = strange ? invented.strangerGrip : drawn;
    const off = invented.scatter * stream.normal() + (strange ? stranger : 0);
    grip.push(meanReading(stream, trueGrip, error, trials));
    speed.push(invented.speed + slope * (trueGrip - invented.grip) + off);
  }
  return { grip, speed };
}

function heights(fit: LineFit, grips: readonly number[]): number[] {
  return grips.map((grip) => short(fit.intercept.value + fit.slope.value * grip));
}

/** The fitted lines of all drawn studies, each over the grips that it was fitted to. */
function strokesOf(fits: readonly LineFit[]): Layer {
  const ends = fits.map(({ centre }) => [centre.from, centre.to] as const);
  const lines = fits.map((fit, i) => heights(fit, itemAt(ends, i)));
  return {
    kind: "strokes",
    tone: "control",
    x: ends.map(([low]) => short(low)),
    y: lines.map(([low]) => present(low)),
    toX: ends.map(([, high]) => short(high)),
    toY: lines.map(([, high]) => present(high)),
    width: 1,
    faint: true,
  };
}

/** 95 % limits of the first study's line: of the mean speed at a grip, and of a single golfer's. */
function bandsOf(fit: LineFit): Readonly<Record<"mean" | "single", Layer>> {
  const { from, to } = fit.centre;
  const grid = Array.from({ length: 25 }, (_, i) => short(from + ((to - from) * i) / 24));
  const predicted = predictLine(fit, grid);
  const bandOf = (kind: "mean" | "single"): Layer => ({
    kind: "band",
    tone: kind === "mean" ? "lead" : "speed",
    x: grid,
    low: predicted.map((one) => short(one[kind].low)),
    high: predicted.map((one) => short(one[kind].high)),
  });
  return { mean: bandOf("mean"), single: bandOf("single") };
}

/** The golfers of the first study; the one who differs from the others, the last, by a larger dot. */
function dotsOf({ grip, speed }: Drawn, hasStranger: boolean): Layer[] {
  const x = grip.map(short);
  const y = speed.map(short);
  if (!hasStranger) return [{ kind: "dots", tone: "lead", x, y }];
  return [
    { kind: "dots", tone: "lead", x: x.slice(0, -1), y: y.slice(0, -1) },
    { kind: "dots", tone: "trail", radius: 5, x: x.slice(-1), y: y.slice(-1) },
  ];
}

function layersOf(
  first: Drawn,
  fits: readonly LineFit[],
  isOne: boolean,
  grips: { low: number; high: number },
  { slope, stranger }: Readonly<Record<Dial, number>>,
): Layer[] {
  const fit = present(fits[0]);
  const { from, to } = fit.centre;
  const truth = (grip: number) => invented.speed + slope * (grip - invented.grip);
  const bands = bandsOf(fit);
  return [
    bands.single,
    ...(isOne ? [] : [strokesOf(fits)]),
    bands.mean,
    {
      kind: "line",
      tone: "ink",
      x: [grips.low, grips.high],
      y: [grips.low, grips.high].map(truth),
      dashed: true,
      width: 1.4,
    },
    {
      kind: "line",
      tone: "lead",
      x: [from, to].map(short),
      y: heights(fit, [from, to]),
      width: 2.6,
    },
    ...dotsOf(first, stranger !== 0),
  ];
}

function run(
  dials: Readonly<Record<Dial, number>>,
  { shown }: Readonly<Record<"shown", string>>,
  seed: number,
  { line: says }: ModelWords,
): PlayedOutcome {
  const { people, slope, stranger } = dials;
  const stream = randomStream(seed, "line");
  const first = draw(dials, stream);
  const drawn = [first, ...Array.from({ length: studies - 1 }, () => draw(dials, stream))];
  const fits = drawn.map(({ grip, speed }) => fitLine({ x: grip, y: speed }));
  const slopes = fits.map((fit) => fit.slope.value);
  const range = central95(slopes);
  const average = slopes.reduce((a, b) => a + b, 0) / studies;
  const holding = fits.filter(({ slope: { interval } }) => {
    return present(interval).low <= slope && slope <= present(interval).high;
  }).length;
  const grips = axisHolding(first.grip, [20, 65], 5);
  const [fit] = fits;
  const [at] = predictLine(present(fit), [present(fit).centre.x]);
  const half = ({ low, high }: { low: number; high: number }) => (high - low) / 2;
  const { interval } = present(fit).slope;
  const isOne = shown === "one";
  const meanHalf = half(present(at).mean);
  const singleHalf = half(present(at).single);
  return {
    picture: {
      height: 380,
      panels: [
        {
          title: says.title(people, isOne ? 0 : studies - 1),
          x: { title: says.axes.grip, ...grips },
          y: { title: says.axes.speed, ...axisHolding(first.speed, [60, 130], 10) },
          layers: layersOf(first, fits, isOne, grips, dials),
        },
      ],
    },
    sentence: says.sentence({
      one: isOne,
      people,
      studies,
      first: { value: present(fit).slope.value, ...present(interval) },
      truth: slope,
      slopes: range,
      average,
      holding,
      stranger,
      meanHalf,
      singleHalf,
    }),
    alt: says.alt(isOne),
    results: {
      slope: present(fit).slope.value,
      low: range.low,
      high: range.high,
      average,
      holding,
      meanHalf,
      singleHalf,
    },
  };
}

export const lineModel: Model<Dial, "shown"> = {
  name: "line",
  controls: ({ line: { labels, shown } }) => [
    shownControl(labels.shown, shown),
    dial("people", labels.people, "", [5, 20, 40, 1]),
    dial("trials", labels.trials, "", [1, 3, 10, 1]),
    dial("error", labels.error, "kgf", [0, 1.5, 8, 0.1]),
    dial("slope", labels.slope, "mph per kgf", [-0.5, 0.4, 1.2, 0.05]),
    dial("stranger", labels.stranger, "mph", [-35, 0, 35, 1]),
  ],
  run,
};

/**
 * Two hundred simulated studies with a line through golfers each: grip against club speed.
 *
 * True grip is normal about 42 kgf (SD 8), speed about a true line (SD 7 mph); grip is measured by
 * the mean of some squeezes with error, so that much error pulls the slope towards zero. A strange
 * golfer stands at 60 kgf, off the line by as much as is asked.
 * @param settings `people` 5 to 40, `trials` 1 to 10, `error` kgf, `slope` mph per kgf, `stranger` mph,
 *   `shown` "one" study or "all"
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results` in mph per kgf and mph
 * @throws InputError for an unknown setting or one out of its range
 * @see Draper & Smith (1998) Applied Regression Analysis, chapters 1 to 3
 * @example playLine({ people: 20 }, { seed: 4 }).model // "line"
 */
export function playLine(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playLine");
  return play(lineModel, settings, options?.seed, learnerLanguage());
}

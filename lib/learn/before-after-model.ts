import { itemAt } from "../entry.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import type { Panel } from "../show/picture.js";
import { changeEstimate } from "../stats/change.js";
import { describe } from "../stats/describe.js";
import type { Estimate } from "../stats/estimate.js";
import { welch } from "../stats/groups.js";
import { pairColumns } from "../stats/pairs.js";
import { type Estimated, holds, intervalsPanel, sideFor } from "./intervals-picture.js";
import { learnerLanguage } from "./learner-language.js";
import {
  axisHolding,
  choice,
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
import type { BeforeAfterWords, ModelWords, ReadStudies } from "./words/model-words.js";

type Dial = "people" | "trials" | "error" | "effect" | "learning";

/** The invented golfers: lead-hand grip, kgf. */
const invented = { grip: 42, sd: 6 };
/** So many golfers are tested for each one who is taken, when the weakest are. */
const screened = 3;

interface Golfer {
  readonly truth: number;
  readonly before: number;
}

interface Pair {
  readonly before: number[];
  readonly after: number[];
}

/** Both arms come from one selection, as random allocation would make them. */
function golfers(
  { people, trials, error }: Readonly<Record<Dial, number>>,
  weakest: boolean,
  stream: RandomStream,
): Golfer[] {
  const count = 2 * people * (weakest ? screened : 1);
  const tested = Array.from({ length: count }, () => {
    const truth = invented.grip + invented.sd * stream.normal();
    return { truth, before: meanReading(stream, truth, error, trials) };
  });
  if (!weakest) return tested;
  const taken = tested.sort((a, b) => a.before - b.before).slice(0, 2 * people);
  return stream.shuffle(taken);
}

function arm(
  members: readonly Golfer[],
  gain: number,
  { trials, error }: Readonly<Record<Dial, number>>,
  stream: RandomStream,
): Pair {
  return {
    before: members.map(({ before }) => before),
    after: members.map(({ truth }) => meanReading(stream, truth + gain, error, trials)),
  };
}

interface Study {
  readonly trained: Pair;
  readonly control: Pair;
  readonly alone: Estimate;
  readonly against: Estimate;
}

function study(
  dials: Readonly<Record<Dial, number>>,
  weakest: boolean,
  stream: RandomStream,
): Study {
  const { people, effect, learning } = dials;
  const all = golfers(dials, weakest, stream);
  const trained = arm(all.slice(0, people), effect + learning, dials, stream);
  const control = arm(all.slice(people), learning, dials, stream);
  const pairs = pairColumns(trained.before, trained.after, "simulation before-after");
  const others = pairColumns(control.before, control.after, "simulation before-after");
  return {
    trained,
    control,
    alone: changeEstimate(pairs, 0.95),
    against: welch(describe(pairs.changes), describe(others.changes), 0.95),
  };
}

function summary(
  estimates: readonly Estimate[],
  truth: number,
): ReadStudies & { readonly list: readonly Estimated[] } {
  const list = estimates as readonly Estimated[];
  const first = itemAt(list, 0);
  return {
    list,
    first: { value: first.value, low: first.interval.low, high: first.interval.high },
    mean: mean(list.map(({ value }) => value)),
    holding: list.filter((one) => holds(one, truth)).length,
    above: list.filter(({ interval }) => interval.low > 0).length,
    half: mean(list.map(({ interval }) => interval.high - interval.low)) / 2,
  };
}

/** Golfers of one study, each a line from before to after. */
function golfersPanel(
  { before, after }: Pair,
  tone: "lead" | "control",
  title: string,
  { axes }: BeforeAfterWords,
  grips: { readonly low: number; readonly high: number },
): Panel {
  const times = { x: before.map(() => 1), toX: after.map(() => 2) };
  const [y, toY] = [before.map(short), after.map(short)];
  return {
    title,
    x: { title: axes.times, low: 0.6, high: 2.4, numbered: false },
    y: { title: axes.grip, ...grips },
    layers: [
      { kind: "strokes", tone, ...times, y, toY },
      { kind: "dots", tone, x: times.x, y },
      { kind: "dots", tone, x: times.toX, y: toY },
    ],
  };
}

/** The first study alone: those who did the block beside the control group. */
function firstPanels({ trained, control }: Study, says: BeforeAfterWords): Panel[] {
  const all = [trained, control].flatMap(({ before, after }) => [...before, ...after]);
  const grips = axisHolding(all, [25, 60], 5);
  return [
    golfersPanel(trained, "lead", says.titles.trained, says, grips),
    golfersPanel(control, "control", says.titles.control, says, grips),
  ];
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"chosen" | "shown", string>>,
  seed: number,
  { beforeAfter: says, intervals }: ModelWords,
): PlayedOutcome {
  const { people, effect } = dials;
  const stream = randomStream(seed, "before-after");
  const weakest = words.chosen === "weakest";
  const drawn = Array.from({ length: studies }, () => study(dials, weakest, stream));
  const alone = summary(
    drawn.map((one) => one.alone),
    effect,
  );
  const against = summary(
    drawn.map((one) => one.against),
    effect,
  );
  const first = itemAt(drawn, 0);
  const isOne = words.shown === "one";
  const shared = { side: sideFor(alone.list, against.list), truth: effect, says: intervals };
  const { titles, axes } = says;
  return {
    picture: {
      height: 400,
      panels: isOne
        ? firstPanels(first, says)
        : [
            intervalsPanel(alone.list, { title: titles.alone, quantity: axes.alone, ...shared }),
            intervalsPanel(against.list, {
              title: titles.against,
              quantity: axes.against,
              ...shared,
            }),
          ],
    },
    sentence: says.sentence({
      one: isOne,
      people,
      studies,
      weakest,
      effect,
      alone,
      against,
      control: mean(first.control.after) - mean(first.control.before),
    }),
    alt: says.alt(isOne),
    results: {
      alone: alone.mean,
      aloneHolding: alone.holding,
      against: against.mean,
      againstHolding: against.holding,
      aloneAbove: alone.above,
      againstAbove: against.above,
    },
  };
}

export const beforeAfterModel: Model<Dial, "chosen" | "shown"> = {
  name: "before-after",
  controls: ({ beforeAfter: { labels, shown, chosen } }) => [
    shownControl(labels.shown, shown),
    dial("people", labels.people, "", [3, 9, 40, 1]),
    dial("trials", labels.trials, "", [1, 3, 10, 1]),
    dial("error", labels.error, "kgf", [0.5, 2, 6, 0.1]),
    dial("effect", labels.effect, "kgf", [0, 2, 6, 0.1]),
    dial("learning", labels.learning, "kgf", [0, 1, 4, 0.1]),
    choice("chosen", labels.chosen, chosen, "all"),
  ],
  run,
};

/**
 * Two hundred simulated training studies, each read twice: the trained group alone, after −
 * before, and the trained against a control group from the same selection.
 *
 * True grip is normal about 42 kgf (SD 6); a value is the mean of some squeezes with error. Everybody
 * gains `learning` by the second test, the trained gain `effect` more. When the weakest third of
 * those tested takes part, error alone lets them rise: regression to the mean.
 * @param settings `people` 3 to 40 a group, `trials` 1 to 10, `error`, `effect`, `learning` in kgf,
 *   `chosen` "all" or "weakest", `shown` "one" study or "all"
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results` in kgf, and counts of 200 studies
 * @throws InputError for an unknown setting or one out of its range
 * @see Bland & Altman (1994) BMJ 308:1499 on regression to the mean (from memory)
 * @example playBeforeAfter({}, { seed: 1 }).model // "before-after"
 */
export function playBeforeAfter(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playBeforeAfter");
  return play(beforeAfterModel, settings, options?.seed, learnerLanguage());
}

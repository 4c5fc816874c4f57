import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { ChoiceControl, Settings } from "../show/lesson-outputs.js";
import { fixedText } from "../show/wording.js";
import { changeEstimate } from "../stats/change.js";
import { describe } from "../stats/describe.js";
import type { Estimate } from "../stats/estimate.js";
import { welch } from "../stats/groups.js";
import { pairColumns } from "../stats/pairs.js";
import { type Estimated, holds, intervalsPanel, sideFor } from "./intervals-picture.js";
import {
  dial,
  type Model,
  meanReading,
  type Played,
  type PlayedOutcome,
  play,
  studies,
} from "./model.js";

type Dial = "people" | "trials" | "error" | "effect" | "learning";

/** The invented golfers: lead-hand grip, kgf. */
const invented = { grip: 42, sd: 6 };
/** So many golfers are tested for each one who is taken, when the weakest are. */
const screened = 3;

const chosen: ChoiceControl = {
  kind: "choice",
  name: "chosen",
  label: "Who takes part",
  start: "all",
  options: [
    { value: "all", label: "everybody tested" },
    { value: "weakest", label: "the weakest third of those tested" },
  ],
};

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
    alone: changeEstimate(pairs, 0.95),
    against: welch(describe(pairs.changes), describe(others.changes), 0.95),
  };
}

function summary(estimates: readonly Estimate[], truth: number) {
  const list = estimates as readonly Estimated[];
  const widths = list.map(({ interval }) => interval.high - interval.low);
  const average = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  return {
    list,
    mean: average(list.map(({ value }) => value)),
    holding: list.filter((one) => holds(one, truth)).length,
    above: list.filter(({ interval }) => interval.low > 0).length,
    half: average(widths) / 2,
  };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"chosen", string>>,
  seed: number,
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
  const side = sideFor(alone.list, against.list);
  const one = (value: number) => fixedText(value, 1);
  const who = weakest ? ", the weakest third of those tested" : "";
  return {
    picture: {
      height: 400,
      panels: [
        intervalsPanel(alone.list, {
          title: "The block alone: after − before",
          quantity: "Mean change (kgf)",
          side,
          truth: effect,
        }),
        intervalsPanel(against.list, {
          title: "Trained − control group",
          quantity: "Difference of mean changes (kgf)",
          side,
          truth: effect,
        }),
      ],
    },
    sentence: `${studies} studies with ${people} golfers in a group${who}. The block alone shows ${one(alone.mean)} kgf on average where training truly did ${one(effect)}: ${alone.holding} of ${studies} intervals include the truth and ${alone.above} lie above zero. Compared with a control group it shows ${one(against.mean)} kgf on average: ${against.holding} of ${studies} include the truth and ${against.above} lie above zero. These intervals are ${one(against.half / alone.half)} times as wide.`,
    alt: "Two panels of 200 intervals each, one per study, with lines at no change and at the true effect; intervals that miss the true effect are marked.",
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

export const beforeAfterModel: Model<Dial, "chosen"> = {
  name: "before-after",
  controls: [
    dial("people", "Golfers in a group", "", [3, 9, 40, 1]),
    dial("trials", "Squeezes each time", "", [1, 3, 10, 1]),
    dial("error", "Error of one squeeze", "kgf", [0.5, 2, 6, 0.1]),
    dial("effect", "True effect of training", "kgf", [0, 2, 6, 0.1]),
    dial("learning", "Gain from knowing the test", "kgf", [0, 1, 4, 0.1]),
    chosen,
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
 *   `chosen` "all" or "weakest"
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results` in kgf, and counts of 200 studies
 * @throws InputError for an unknown setting or one out of its range
 * @see Bland & Altman (1994) BMJ 308:1499 on regression to the mean (from memory)
 * @example playBeforeAfter({}, { seed: 1 }).model // "before-after"
 */
export function playBeforeAfter(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playBeforeAfter");
  return play(beforeAfterModel, settings, options?.seed);
}

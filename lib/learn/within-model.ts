import { itemAt, present } from "../entry.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { ChoiceControl, Settings } from "../show/lesson-outputs.js";
import type { Layer, Panel } from "../show/picture.js";
import { fixedText } from "../show/wording.js";
import { fitMixed } from "../stats/mixed/mixed.js";
import { fitLine } from "../stats/regression.js";
import { subjectSlopes } from "../stats/slopes.js";
import {
  axisHolding,
  dial,
  type Model,
  type Played,
  type PlayedOutcome,
  play,
  short,
  studies,
} from "./model.js";

type Dial = "people" | "visits" | "error" | "within" | "between";

/** The invented golfers: means over people, and how far visits and the golfers' slopes vary. */
const invented = { grip: 42, gripSd: 7, speed: 92, speedSd: 4, visitSd: 3, withinSd: 0.25 };

const lines: ChoiceControl = {
  kind: "choice",
  name: "lines",
  label: "Lines of golfers",
  start: "own",
  options: [
    { value: "own", label: "each golfer's own" },
    { value: "shrunken", label: "shrunken, by a mixed model" },
  ],
};

interface Visits {
  readonly subject: string[];
  readonly grip: number[];
  readonly speed: number[];
  /** Means by golfer. */
  readonly means: { readonly grip: number[]; readonly speed: number[] };
}

function draw(
  { people, visits, error, within, between }: Readonly<Record<Dial, number>>,
  stream: RandomStream,
): Visits {
  const all: Visits = { subject: [], grip: [], speed: [], means: { grip: [], speed: [] } };
  for (let person = 0; person < people; person++) {
    const grip = invented.grip + invented.gripSd * stream.normal();
    const speed =
      invented.speed + between * (grip - invented.grip) + invented.speedSd * stream.normal();
    const slope = within + invented.withinSd * stream.normal();
    let gripSum = 0;
    let speedSum = 0;
    for (let visit = 0; visit < visits; visit++) {
      const off = invented.visitSd * stream.normal();
      const measured = speed + slope * off + error * stream.normal();
      all.subject.push(`G${person + 1}`);
      all.grip.push(grip + off);
      all.speed.push(measured);
      gripSum += grip + off;
      speedSum += measured;
    }
    all.means.grip.push(gripSum / visits);
    all.means.speed.push(speedSum / visits);
  }
  return all;
}

interface PersonLine {
  readonly subject: string;
  readonly slope: number;
  readonly intercept: number;
}

/** Lines of a mixed model: each golfer's own, drawn towards the slope all have in common. */
function shrunken({ subject, grip, speed }: Visits): PersonLine[] {
  const fit = fitMixed({ subject, y: speed, terms: { grip } }, { slope: "grip" });
  return fit.perSubject.map((one) => ({
    subject: one.subject,
    slope: present(one.slope),
    intercept: one.intercept,
  }));
}

function golfersPanel(first: Visits, people: readonly PersonLine[], between: PersonLine): Panel {
  const reach = new Map<string, [number, number]>();
  first.subject.forEach((subject, i) => {
    const grip = itemAt(first.grip, i);
    const [low, high] = reach.get(subject) ?? [grip, grip];
    reach.set(subject, [Math.min(low, grip), Math.max(high, grip)]);
  });
  const height = (line: PersonLine, grip: number) => short(line.intercept + line.slope * grip);
  const ends = people.map((line) => ({ line, reach: present(reach.get(line.subject)) }));
  const own: Layer = {
    kind: "strokes",
    tone: "lead",
    x: ends.map(({ reach: [low] }) => short(low)),
    y: ends.map(({ line, reach: [low] }) => height(line, low)),
    toX: ends.map(({ reach: [, high] }) => short(high)),
    toY: ends.map(({ line, reach: [, high] }) => height(line, high)),
    width: 2,
  };
  const ofFirst = (column: readonly number[]) =>
    column.filter((_, i) => first.subject[i] === first.subject[0]).map(short);
  const from = Math.min(...first.means.grip);
  const to = Math.max(...first.means.grip);
  return {
    title: "First study: dots are visits, short lines golfers; large dots are golfer 1",
    x: { title: "Lead-hand grip force (kgf)", ...axisHolding(first.grip, [25, 60], 5) },
    y: { title: "Driver speed (mph)", ...axisHolding(first.speed, [75, 110], 5) },
    layers: [
      {
        kind: "dots",
        tone: "ink",
        x: first.grip.map(short),
        y: first.speed.map(short),
        radius: 1.9,
      },
      {
        kind: "dots",
        tone: "trail",
        x: ofFirst(first.grip),
        y: ofFirst(first.speed),
        radius: 4.5,
      },
      own,
      {
        kind: "line",
        tone: "trail",
        x: [short(from), short(to)],
        y: [height(between, from), height(between, to)],
        dashed: true,
        width: 2.4,
      },
    ],
  };
}

function slopesPanel(own: readonly number[], between: readonly number[], first: number): Panel {
  const both = axisHolding(
    [...own, ...between, -Math.min(...own), -Math.min(...between)],
    [-1.5, 1.5],
    0.5,
  );
  const odd = (i: number) => itemAt(own, i) * itemAt(between, i) < 0;
  const pick = (column: readonly number[], kept: (i: number) => boolean) =>
    column.filter((_, i) => kept(i)).map(short);
  const dots = (kept: (i: number) => boolean, hollow: boolean): Layer => ({
    kind: "dots",
    tone: "ink",
    x: pick(own, kept),
    y: pick(between, kept),
    radius: 2.2,
    hollow,
  });
  return {
    title: `${studies} studies: filled where the two slopes have opposite signs`,
    x: { title: "Mean of golfers' own slopes (mph per kgf)", ...both },
    y: { title: "Slope between (mph per kgf)", ...both },
    layers: [
      { kind: "rule", axis: "x", tone: "ink", value: 0, says: "" },
      { kind: "rule", axis: "y", tone: "ink", value: 0, says: "" },
      dots((i) => !odd(i), true),
      dots(odd, false),
      {
        kind: "dots",
        tone: "trail",
        x: [short(itemAt(own, first))],
        y: [short(itemAt(between, first))],
        radius: 5,
        hollow: true,
      },
    ],
  };
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"lines", string>>,
  seed: number,
): PlayedOutcome {
  const { people, visits } = dials;
  const stream = randomStream(seed, "within");
  const drawn = Array.from({ length: studies }, () => draw(dials, stream));
  const personal = drawn.map(({ subject, grip, speed }) => subjectSlopes(subject, grip, speed));
  const betweenFits = drawn.map(({ means }) => fitLine({ x: means.grip, y: means.speed }));
  const slopes = personal.map(({ slope }) => slope.value);
  const betweenSlopes = betweenFits.map(({ slope }) => slope.value);
  const first = itemAt(drawn, 0);
  const between = {
    subject: "",
    slope: itemAt(betweenSlopes, 0),
    intercept: itemAt(betweenFits, 0).intercept.value,
  };
  const mixed = words.lines === "shrunken";
  const people1 = mixed ? shrunken(first) : itemAt(personal, 0).subjects;
  const spread = (list: readonly { slope: number }[]) =>
    Math.max(...list.map(({ slope }) => slope)) - Math.min(...list.map(({ slope }) => slope));
  const odd = slopes.filter((value, i) => value * itemAt(betweenSlopes, i) < 0).length;
  const two = (value: number) => fixedText(value, 2);
  const pace = (slope: number) => `${two(Math.abs(slope))} mph ${slope < 0 ? "slower" : "faster"}`;
  const how = mixed
    ? ` The mixed model shrinks the lines towards their mean: their slopes span ${two(spread(people1))}, the unshrunken ones ${two(spread(itemAt(personal, 0).subjects))} mph per kgf.`
    : "";
  return {
    picture: {
      height: 400,
      panels: [golfersPanel(first, people1, between), slopesPanel(slopes, betweenSlopes, 0)],
    },
    sentence: `${people} golfers with ${visits} visits each. Between golfers, one whose grip is 1 kgf higher swings ${pace(between.slope)}. Within a golfer, a grip 1 kgf above the golfer's own mean goes with a swing ${pace(itemAt(slopes, 0))}, on average. In ${odd} of ${studies} such studies the two slopes have opposite signs.${how}`,
    alt: "On the left, short lines of golfers among their visits and a long dashed line between golfers. On the right, studies by the two slopes, with lines at zero.",
    results: {
      between: between.slope,
      within: itemAt(slopes, 0),
      odd,
      spread: spread(people1),
      ownSpread: spread(itemAt(personal, 0).subjects),
    },
  };
}

export const withinModel: Model<Dial, "lines"> = {
  name: "within",
  controls: [
    dial("people", "Golfers", "", [3, 8, 16, 1]),
    dial("visits", "Visits per golfer", "", [3, 5, 8, 1]),
    dial("error", "Error of a visit's speed", "mph", [0.2, 2, 5, 0.1]),
    dial("within", "True slope within golfers", "mph per kgf", [-1, 0.5, 1, 0.05]),
    dial("between", "True slope between golfers", "mph per kgf", [-1, -0.6, 1, 0.05]),
    lines,
  ],
  run,
};

/**
 * Two hundred simulated studies of golfers visited several times: the slope between golfers beside
 * the slopes within them.
 *
 * Mean grip is normal about 42 kgf (SD 7) and mean speed about the true line between golfers (SD 4 mph);
 * around a golfer's means visits vary by 3 kgf along the golfer's own true line, whose slope is
 * normal about `within` (SD 0.25). The slope between golfers is fitted through their means.
 * @param settings `people` 3 to 16, `visits` 3 to 8, `error` mph, `within` and `between` mph per kgf,
 *   `lines` "own" or "shrunken" (a random-slope mixed model of the first study)
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results` in mph per kgf, and `odd`, studies of 200 whose two
 *   slopes differ in sign
 * @throws InputError for an unknown setting or one out of its range
 * @see Bland & Altman (1994) BMJ 308:896 on correlation within and between subjects (from memory)
 * @example playWithin({}, { seed: 1 }).model // "within"
 */
export function playWithin(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playWithin");
  return play(withinModel, settings, options?.seed);
}

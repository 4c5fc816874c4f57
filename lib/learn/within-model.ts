import { itemAt, present } from "../entry.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import type { Settings } from "../show/lesson-outputs.js";
import { fitMixed } from "../stats/mixed/mixed.js";
import { fitLine } from "../stats/regression.js";
import { subjectSlopes } from "../stats/slopes.js";
import { learnerLanguage } from "./learner-language.js";
import {
  choice,
  dial,
  type Model,
  type Played,
  type PlayedOutcome,
  play,
  shownControl,
  studies,
} from "./model.js";
import { golfersPanel, type PersonLine, slopesPanel, type Visits } from "./within-pictures.js";
import type { ModelWords } from "./words/model-words.js";

type Dial = "people" | "visits" | "error" | "within" | "between";

/** The invented golfers: means over people, and how far visits and the golfers' slopes vary. */
const invented = { grip: 42, gripSd: 7, speed: 92, speedSd: 4, visitSd: 3, withinSd: 0.25 };

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

/** Lines of a mixed model: each golfer's own, drawn towards the slope all have in common. */
function shrunken({ subject, grip, speed }: Visits): PersonLine[] {
  const fit = fitMixed({ subject, y: speed, terms: { grip } }, { slope: "grip" });
  return fit.perSubject.map((one) => ({
    subject: one.subject,
    slope: present(one.slope),
    intercept: one.intercept,
  }));
}

function run(
  dials: Readonly<Record<Dial, number>>,
  words: Readonly<Record<"lines" | "shown", string>>,
  seed: number,
  { within: says }: ModelWords,
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
  const isOne = words.shown === "one";
  const ownSpread = spread(itemAt(personal, 0).subjects);
  return {
    picture: {
      height: 400,
      panels: [
        golfersPanel(first, people1, between, says),
        ...(isOne ? [] : [slopesPanel(slopes, betweenSlopes, says)]),
      ],
    },
    sentence: says.sentence({
      one: isOne,
      people,
      visits,
      studies,
      between: between.slope,
      within: itemAt(slopes, 0),
      odd,
      ...(mixed && { spans: { shrunken: spread(people1), own: ownSpread } }),
    }),
    alt: says.alt(isOne),
    results: {
      between: between.slope,
      within: itemAt(slopes, 0),
      odd,
      spread: spread(people1),
      ownSpread,
    },
  };
}

export const withinModel: Model<Dial, "lines" | "shown"> = {
  name: "within",
  controls: ({ within: { labels, shown, lines } }) => [
    shownControl(labels.shown, shown),
    dial("people", labels.people, "", [3, 8, 16, 1]),
    dial("visits", labels.visits, "", [3, 5, 8, 1]),
    dial("error", labels.error, "mph", [0.2, 2, 5, 0.1]),
    dial("within", labels.within, "mph per kgf", [-1, 0.5, 1, 0.05]),
    dial("between", labels.between, "mph per kgf", [-1, -0.6, 1, 0.05]),
    choice("lines", labels.lines, lines, "own"),
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
 *   `lines` "own" or "shrunken" (a random-slope mixed model of the first study),
 *   `shown` "one" study or "all"
 * @param options `seed`: whole number from 0
 * @returns what `simulation` shows; `results` in mph per kgf, and `odd`, studies of 200 whose two
 *   slopes differ in sign
 * @throws InputError for an unknown setting or one out of its range
 * @see Bland & Altman (1994) BMJ 308:896 on correlation within and between subjects (from memory)
 * @example playWithin({}, { seed: 1 }).model // "within"
 */
export function playWithin(settings: Settings, options: { seed: number }): Played {
  knownOptions(options, ["seed"], "playWithin");
  return play(withinModel, settings, options?.seed, learnerLanguage());
}

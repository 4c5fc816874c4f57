import type { GolferAmongNorms, NormsAnswer } from "../analysis/among-norms.js";
import type { DemandAnswer } from "../analysis/demand-of.js";
import type { DoseAnswer } from "../analysis/dose-of.js";
import type { PublishedGains } from "../analysis/pool-gains.js";
import type { PublishedPool } from "../analysis/pool-published.js";
import type { PoolAnswer } from "../analysis/pool-studies.js";
import type { RelationAnswer } from "../analysis/relate.js";
import type { GroupedRelation } from "../analysis/relate-in-groups.js";
import type { WithinRelation } from "../analysis/relate-within.js";
import type { ReliabilityAnswer } from "../analysis/reliability-of.js";
import type { SpecificationsAnswer } from "../analysis/specifications.js";
import type { Answer } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import { answerRole } from "./answer-words.js";
import type { Drawing } from "./figure-record.js";
import { forestPlot } from "./forest.js";
import { golferStrips } from "./golfer-strips.js";
import { forceSpeedPlane } from "./plane.js";
import { rangeRows } from "./ranges.js";
import { doseFigure, groupsFigure, relationFigure, withinFigure } from "./relation-figures.js";
import { slopePlot } from "./slope-plot.js";
import { specificationPlot } from "./specification.js";

/** The answers that have a drawing of their own, by the question that was asked. */
interface DrawnAnswers {
  readonly relate: RelationAnswer;
  readonly relateInGroups: GroupedRelation;
  readonly relateWithin: WithinRelation;
  readonly doseOf: DoseAnswer;
  readonly reliabilityOf: ReliabilityAnswer;
  readonly specifications: SpecificationsAnswer;
  readonly poolStudies: PoolAnswer;
  readonly poolPublished: PublishedPool;
  readonly poolGains: PublishedGains;
  readonly demandOf: DemandAnswer;
  readonly amongNorms: NormsAnswer;
}

/**
 * The drawing of an answer whose question has one of its own: golfers and line, a specification
 * curve, studies and their pool.
 * @returns undefined for other answers, and where there is nothing to draw
 */
export function questionFigure(answer: Answer): Drawing | undefined {
  if (is(answer, "relate", "band")) return drawnIf(answer.points, () => relationFigure(answer));
  if (is(answer, "relateInGroups", "groups"))
    return drawnIf(answer.groups, () => groupsFigure(answer));
  if (is(answer, "relateWithin", "golfers"))
    return drawnIf(answer.golfers, () => withinFigure(answer));
  if (is(answer, "doseOf", "points")) return drawnIf(answer.points, () => doseFigure(answer));
  if (is(answer, "reliabilityOf", "repeated"))
    return drawnIf(answer.repeated.values, () =>
      answer.visits?.before === undefined ? stripsFigure(answer) : visitsFigure(answer),
    );
  if (is(answer, "specifications", "specifications"))
    return drawnIf(answer.specifications, () => specificationFigure(answer));
  if (is(answer, "poolStudies", "rows")) return drawnIf(answer.rows, () => poolFigure(answer));
  if (is(answer, "poolPublished", "rows")) return drawnIf(answer.rows, () => poolFigure(answer));
  if (is(answer, "poolGains", "rows")) return drawnIf(answer.rows, () => poolFigure(answer));
  if (is(answer, "demandOf", "curve")) return planeFigure(answer);
  if (is(answer, "amongNorms", "golfers"))
    return drawnIf(answer.golfers, () => normsFigure(answer.golfers, answer));
  return undefined;
}

/** Whether an answer is that of a question; its side answers have the kind but not the field. */
function is<Kind extends keyof DrawnAnswers>(
  answer: Answer,
  kind: Kind,
  field: string,
): answer is DrawnAnswers[Kind] {
  return answer.kind === kind && field in answer;
}

function drawnIf(rows: readonly unknown[], draw: () => Drawing): Drawing | undefined {
  return rows.length === 0 ? undefined : draw();
}

/** Every golfer's visits in their order. */
function visitsFigure({ repeated, measure, unit }: ReliabilityAnswer): Drawing {
  const place = new Map(repeated.trials.map((trial, i) => [trial, i + 1]));
  const golfers = new Map<string, { x: number[]; y: number[] }>();
  for (const { person, trial, value } of repeated.values) {
    const series = golfers.get(person) ?? { x: [], y: [] };
    golfers.set(person, series);
    series.x.push(place.get(trial) ?? 0);
    series.y.push(value);
  }
  const drawn = slopePlot({
    people: [...golfers].map(([participant, values]) => ({ participant, ...values })),
    x: { quantity: "Visit", unit: "number" },
    y: { quantity: measure.name, unit },
    role: answerRole({ measure }),
  });
  return {
    ...drawn,
    caption: `${measure.name}: every golfer's visits in their order, one line per golfer.`,
    alt: `One line per golfer (${golfers.size}) over ${repeated.trials.length} visits.`,
  };
}

/** Every golfer's trials or swings of one visit, a row for each golfer. */
function stripsFigure({ repeated, measure, unit }: ReliabilityAnswer): Drawing {
  const golfers = new Map<string, number[]>();
  for (const { person, value } of repeated.values) {
    golfers.set(person, [...(golfers.get(person) ?? []), value]);
  }
  const one = measure.outcome === "grip" ? "trial" : "swing";
  const drawn = golferStrips({
    golfers: [...golfers].map(([participant, values]) => ({ participant, values })),
    role: answerRole({ measure }),
    quantity: measure.name,
    unit,
  });
  return {
    ...drawn,
    caption: `${measure.name}: every ${one} of each golfer, golfers in the order of their means; the tick is the mean.`,
    alt: `One row per golfer (${golfers.size}), the highest mean at the top, with a mark for each ${one} and a tick at the mean.`,
  };
}

function specificationFigure({
  specifications,
  labels,
  measure,
  arms,
}: SpecificationsAnswer): Drawing {
  const count = specifications.length;
  const between = arms ? `: ${lowerFirst(arms.first)} − ${lowerFirst(arms.second ?? "")}` : "";
  const drawn = specificationPlot({
    specifications,
    labels,
    quantity: "Difference between arms",
    unit: "%",
  });
  return {
    ...drawn,
    caption: `${measure.name}${between}, under ${count} specifications in order of size, each with its bootstrap interval; below, what each one chose. The ring is the planned one.`,
    alt: `Above, ${count} differences in rising order with intervals and a line at zero. Below, one row of strokes for each option of each choice, long where the interval excludes zero.`,
  };
}

function poolFigure(answer: PoolAnswer | PublishedPool | PublishedGains): Drawing {
  const { rows, axis, prediction, estimate } = answer;
  const level = estimate?.interval?.level ?? 0.95;
  const drawn = forestPlot({
    rows: rows.map(({ label, n, value, low, high, weight }) => ({
      label: `${label}, n = ${n}`,
      estimate: { value, interval: { low, high, level, method: "normal" } },
      weight,
    })),
    ...(estimate && { pooled: { label: "pooled, random effects", estimate } }),
    ...(prediction && { prediction }),
    ...axis,
  });
  const next = prediction ? ", and the range for the true value of a new study" : "";
  return {
    ...drawn,
    caption: `${axis.quantity}: each study with its interval and its weight, and the pooled value below the rule${next}.`,
    alt: `${rows.length} rows, one per study, each with a tick on a line between its limits, and the pooled value below a rule.`,
  };
}

function planeFigure({ golfers, curve }: DemandAnswer): Drawing {
  const drawn = forceSpeedPlane({
    groups: [
      {
        name: "golfers, both hands",
        force: golfers.map(({ force }) => force),
        speed: golfers.map(({ speed }) => speed),
        participant: golfers.map(({ participant }) => participant),
        role: "dot",
      },
    ],
    curve,
    curveSays: "pull of the club",
    force: { quantity: "Force, both hands", unit: "kgf" },
    speed: { quantity: "Club speed", unit: "mph" },
  });
  return {
    ...drawn,
    caption:
      "Golfers by the sum of the highest grip of each hand and club speed, with the estimated pull of the club and its range. A grip and a pull are forces of different kinds: no required grip follows.",
    alt: `${golfers.length} golfers by force and speed, and a narrow rising band that shows the pull of the club at each speed.`,
  };
}

function normsFigure(golfers: readonly GolferAmongNorms[], { measure }: NormsAnswer): Drawing {
  const drawn = rangeRows({
    rows: golfers.map(({ participant, age, low, high, grip }) => ({
      label: `${participant} (${age})`,
      low,
      high,
      value: grip,
    })),
    ranges: "11 kgf either way of the median of sex and age",
    values: measure.name,
    role: "dot",
    quantity: "Grip force",
    unit: "kgf",
  });
  return {
    ...drawn,
    caption: `${measure.name} of each golfer, with a range of 11 kgf either way of the median of the golfer's sex and age; the age is given after the code.`,
    alt: `One row per golfer (${golfers.length}): a bar around the median of sex and age, and a dot for the golfer.`,
  };
}

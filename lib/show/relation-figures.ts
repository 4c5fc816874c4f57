import type { DoseAnswer } from "../analysis/dose-of.js";
import type { RelationAnswer } from "../analysis/relate.js";
import type { GroupedRelation } from "../analysis/relate-in-groups.js";
import type { WithinRelation } from "../analysis/relate-within.js";
import type { RelationUnits } from "../analysis/relation-tables.js";
import { itemAt } from "../entry.js";
import { lowerFirst } from "../first-letter.js";
import { answerRole } from "./answer-words.js";
import type { Drawing } from "./figure-record.js";
import { groupLines } from "./group-lines.js";
import type { Role } from "./look.js";
import { fittedScatter } from "./relation.js";
import { slopePlot } from "./slope-plot.js";

/** "Club-head speed on lead-hand grip at address" */
function onWords({ y, x }: RelationUnits): string {
  return `${y.quantity} on ${lowerFirst(x.quantity)}`;
}

/** Every golfer with both values, the unadjusted line, and its two bands. */
export function relationFigure(relation: RelationAnswer): Drawing {
  const { points, band, axes, measure } = relation;
  const level = relation.correlation.estimate?.interval?.level ?? 0.95;
  const limits = (range: { readonly low: number; readonly high: number }) => ({
    ...range,
    level,
    method: "t",
  });
  const drawn = fittedScatter({
    groups: [
      {
        name: "golfers",
        x: points.map(({ x }) => x),
        y: points.map(({ y }) => y),
        participant: points.map(({ participant }) => participant),
        role: answerRole({ measure }),
      },
    ],
    x: axes.x,
    y: axes.y,
    ...(band.length > 0 && {
      line: band.map(({ x, y, mean, single }) => ({
        x,
        y,
        mean: limits(mean),
        single: limits(single),
      })),
    }),
  });
  return {
    ...drawn,
    caption: `${onWords(axes)}, one dot per golfer, with the fitted line, the confidence band of the mean and the prediction band of a single golfer.`,
    alt: `A scatter of ${points.length} golfers: ${lowerFirst(axes.x.quantity)} from left to right, ${lowerFirst(axes.y.quantity)} upwards, with a straight line and two bands around it.`,
  };
}

/** Neutral marks of groups in their order; a direct label names each group. */
const groupRoles: readonly Role[] = ["dot", "ring", "tick"];

/** Arms in the marks of arms where these tell them apart; other groups in neutral marks. */
function rolesOf(groups: GroupedRelation["groups"]): Role[] {
  const arms = groups.map(({ control }) =>
    control === undefined ? undefined : control ? "control" : "trained",
  );
  const areApart = new Set(arms).size === groups.length && !arms.includes(undefined);
  return groups.map((_, i) => (areApart && arms[i]) || groupRoles[i % groupRoles.length] || "dot");
}

/** Golfers by group, each group with a line of its own, and the line over everybody. */
export function groupsFigure({ groups, everybody }: GroupedRelation): Drawing {
  const { axes, band } = everybody;
  const [first, last] = [band[0], band.at(-1)];
  const slope = first && last ? (last.y - first.y) / (last.x - first.x) : undefined;
  const overall =
    first && last && slope !== undefined
      ? { slope, intercept: first.y - slope * first.x, from: first.x, to: last.x }
      : undefined;
  const roles = rolesOf(groups);
  const drawn = groupLines({
    groups: groups.map(({ name, points, line }, i) => ({
      name,
      x: points.map(({ x }) => x),
      y: points.map(({ y }) => y),
      participant: points.map(({ participant }) => participant),
      role: itemAt(roles, i),
      ...(line && { line }),
    })),
    ...(overall && { overall }),
    x: axes.x,
    y: axes.y,
  });
  const names = groups.map(({ name }) => name).join(", ");
  return {
    ...drawn,
    caption: `${onWords(axes)} in groups of golfers (${names}), each with its own line over its own range, and the line over everybody in ink.`,
    alt: `A scatter of golfers in ${groups.length} groups: ${names}. Each group has a straight line of its own; a heavy line goes through all golfers.`,
  };
}

/** Every golfer's visits with the golfer's own line. */
export function withinFigure({ golfers, axes, measure }: WithinRelation): Drawing {
  const drawn = slopePlot({
    people: golfers.map(({ participant, x, y, slope, intercept }) => ({
      participant,
      x,
      y,
      ...(slope !== undefined && { slope }),
      ...(intercept !== undefined && { intercept }),
    })),
    x: axes.x,
    y: axes.y,
    role: answerRole({ measure }),
  });
  return {
    ...drawn,
    caption: `${onWords(axes)} within golfers: every golfer's visits with the golfer's own line.`,
    alt: `Short lines, one per golfer (${golfers.length}), over the golfer's own range of ${lowerFirst(axes.x.quantity)}.`,
  };
}

/** Change against dose, arm by arm. */
export function doseFigure(answer: DoseAnswer): Drawing {
  const { points, dose, measure, unit } = answer;
  const arms = [...new Set(points.map(({ arm }) => arm))];
  const outcomeUnit = unit.split(" per ")[0] ?? "";
  const scale = { quantity: `Change of ${lowerFirst(measure.name)}`, unit: outcomeUnit };
  const drawn = fittedScatter({
    groups: arms.map((arm) => {
      const inArm = points.filter((point) => point.arm === arm);
      return {
        name: arm,
        x: inArm.map(({ x }) => x),
        y: inArm.map(({ y }) => y),
        participant: inArm.map(({ participant }) => participant),
        role: inArm[0]?.control ? "control" : "trained",
      };
    }),
    x: { quantity: dose.quantity, unit: dose.unit },
    y: scale,
  });
  return {
    ...drawn,
    caption: `${scale.quantity} against ${lowerFirst(dose.quantity)} between the visits, one mark per golfer. The dose was not allocated.`,
    alt: `A scatter of ${points.length} golfers: ${lowerFirst(dose.quantity)} from left to right, ${lowerFirst(scale.quantity)} upwards.`,
  };
}

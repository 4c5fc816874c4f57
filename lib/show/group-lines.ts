import { knownOptions } from "../options.js";
import { colours, type Plain, type Role } from "./look.js";
import { groupPoints, type Plot, type PointGroup, roleMark, type Scale, titled } from "./plot.js";

/** A straight line over a range of x. */
export interface LineSpan {
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: number;
  /** Height at x = 0, in units of y. */
  readonly intercept: number;
  /** Where the line begins, on x. */
  readonly from: number;
  /** Where the line ends, on x. */
  readonly to: number;
}

/** Some people in a mark of their own, with their own line if they have one. */
export interface LinedGroup extends PointGroup {
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role: Role;
  /** The group's own line; left out where it has none. */
  readonly line?: LineSpan | undefined;
}

/** Groups of points with their lines, and the line over everyone. */
export interface GroupLinesInput {
  /** The groups, each in a mark of its own. */
  readonly groups: readonly LinedGroup[];
  /** The line over everyone, groups ignored, in ink. */
  readonly overall?: LineSpan | undefined;
  /** Quantity and unit of the x axis. */
  readonly x: Scale;
  /** Quantity and unit of the y axis. */
  readonly y: Scale;
}

function lineTrace(name: string, line: LineSpan, style: Plain): Plain {
  const x = [line.from, line.to];
  return {
    type: "scatter",
    mode: "lines",
    name,
    x,
    y: x.map((at) => line.intercept + line.slope * at),
    line: style,
    hoverinfo: "skip",
  };
}

function groupTraces(group: LinedGroup): Plain[] {
  const points = groupPoints(group, "groupLines");
  const { colour, dash } = roleMark(group.role);
  const style = { color: colour, width: 2, dash };
  return group.line ? [points, lineTrace(`${group.name}, own line`, group.line, style)] : [points];
}

/**
 * Groups of persons, each in a mark of its own with its own line over its own range, and the line of
 * the whole overall in ink.
 * @example groupLines({ groups: [{ name: "women", x: [30, 35], y: [80, 84], role: "lead" }], x: { quantity: "Grip force", unit: "kgf" }, y: { quantity: "Club speed", unit: "mph" } }).data.length // 1
 */
export function groupLines(input: GroupLinesInput): Plot {
  knownOptions(input, ["groups", "overall", "x", "y"], "groupLines");
  const { groups, overall, x, y } = input;
  const ink = { color: colours.ink, width: 3 };
  return {
    data: [
      ...groups.flatMap(groupTraces),
      ...(overall ? [lineTrace("everyone in one line", overall, ink)] : []),
    ],
    layout: { xaxis: titled(x), yaxis: titled(y) },
  };
}

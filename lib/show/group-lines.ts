import { knownOptions } from "../options.js";
import type { Labels, Numbers } from "../stats/estimate.js";
import { colours, type Plain, type Role } from "./look.js";
import { dots, list, names, type Plot, roleMark, type Scale, sameRows, titled } from "./plot.js";

/** A straight line over a range of x. */
export interface LineSpan {
  readonly slope: number;
  readonly intercept: number;
  readonly from: number;
  readonly to: number;
}

/** Some people in a mark of their own, with their own line if they have one. */
export interface LinedGroup {
  readonly name: string;
  readonly x: Numbers;
  readonly y: Numbers;
  readonly participant?: Labels | undefined;
  readonly role: Role;
  readonly line?: LineSpan | undefined;
}

export interface GroupLinesInput {
  readonly groups: readonly LinedGroup[];
  /** The line over everyone, groups ignored, in ink. */
  readonly crowd?: LineSpan | undefined;
  readonly x: Scale;
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
  const n = sameRows(`groupLines, group ${group.name}`, group.x, group.y);
  const { colour, dash } = roleMark(group.role);
  const points: Plain = {
    type: "scatter",
    mode: "markers",
    name: group.name,
    x: list(group.x),
    y: list(group.y),
    text: names(group.participant, n),
    hovertemplate: "%{text}: %{x}, %{y}<extra></extra>",
    marker: dots(group.role),
  };
  const style = { color: colour, width: 2, dash };
  return group.line ? [points, lineTrace(`${group.name}, own line`, group.line, style)] : [points];
}

/**
 * Groups of persons, each in a mark of its own with its own line over its own range, and the line of
 * the whole crowd in ink.
 * @example groupLines({ groups: [{ name: "women", x: [30, 35], y: [80, 84], role: "lead" }], x: { quantity: "Grip force", unit: "kgf" }, y: { quantity: "Club speed", unit: "mph" } }).data.length // 1
 */
export function groupLines(input: GroupLinesInput): Plot {
  knownOptions(input, ["groups", "crowd", "x", "y"], "groupLines");
  const { groups, crowd, x, y } = input;
  const ink = { color: colours.ink, width: 3 };
  return {
    data: [
      ...groups.flatMap(groupTraces),
      ...(crowd ? [lineTrace("everyone in one line", crowd, ink)] : []),
    ],
    layout: { xaxis: titled(x), yaxis: titled(y) },
  };
}

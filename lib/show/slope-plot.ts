import { knownOptions } from "../options.js";
import type { Numbers } from "../stats/estimate.js";
import { colours, type Plain, type Role, tint } from "./look.js";
import { dots, list, type Plot, roleMark, type Scale, sameRows, titled } from "./plot.js";

/** One person's points and, if fitted, their own line. */
export interface PersonLine {
  /** Code of the golfer. */
  readonly participant: string;
  /** Values on the x axis, in its unit. */
  readonly x: Numbers;
  /** Values on the y axis, in its unit. */
  readonly y: Numbers;
  /** Rise of the golfer's line, in units of y per unit of x; left out without a fit. */
  readonly slope?: number | undefined;
  /** Height of that line at x = 0, in units of y. */
  readonly intercept?: number | undefined;
}

/** Golfers with their own lines. */
export interface SlopePlotInput {
  /** The golfers. */
  readonly people: readonly PersonLine[];
  /** Quantity and unit of the x axis. */
  readonly x: Scale;
  /** Quantity and unit of the y axis. */
  readonly y: Scale;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
  /** A line for the whole group, drawn heavier. */
  readonly group?: { readonly slope: number; readonly intercept: number } | undefined;
}

function span(values: Numbers): [number, number] {
  return [Math.min(...list(values)), Math.max(...list(values))];
}

function lineOver(range: readonly number[], line: { slope: number; intercept: number }): Plain {
  return { x: [...range], y: range.map((x) => line.intercept + line.slope * x) };
}

function personTraces(person: PersonLine, role: Role): Plain[] {
  sameRows(`slopePlot, participant ${person.participant}`, person.x, person.y);
  const { slope, intercept, participant } = person;
  const points: Plain = {
    type: "scatter",
    mode: slope === undefined ? "lines+markers" : "markers",
    name: participant,
    x: list(person.x),
    y: list(person.y),
    hovertemplate: `%{fullData.name}: %{x}, %{y}<extra></extra>`,
    marker: dots(role, 6),
    line: { color: tint(roleMark(role).colour, 0.5), width: 1.2 },
    showlegend: false,
    meta: { columns: { name: "golfer", x: "", y: "" } },
  };
  if (slope === undefined || intercept === undefined) return [points];
  const personalLine: Plain = {
    type: "scatter",
    mode: "lines",
    name: `${participant}, own line`,
    ...lineOver(span(person.x), { slope, intercept }),
    line: { color: roleMark(role).colour, width: 1.5, dash: roleMark(role).dash },
    hoverinfo: "skip",
    showlegend: false,
  };
  return [points, personalLine];
}

/**
 * Every person's points with their own line; people without a line have their points joined. A
 * group line, if given, lies on top in ink.
 * @example slopePlot({ people: [{ participant: "G01", x: [1, 2], y: [2, 4], slope: 2, intercept: 0 }], x: { quantity: "Grip force", unit: "kgf" }, y: { quantity: "Club speed", unit: "mph" } }).data[1].y // [2,4]
 */
export function slopePlot(input: SlopePlotInput): Plot {
  knownOptions(input, ["people", "x", "y", "role", "group"], "slopePlot");
  const { people, x, y, role = "dot", group } = input;
  const all = people.flatMap((person) => list(person.x));
  const whole: Plain[] = group
    ? [
        {
          type: "scatter",
          mode: "lines",
          name: "group",
          ...lineOver(span(all), group),
          line: { color: colours.ink, width: 3 },
        },
      ]
    : [];
  return {
    data: [...people.flatMap((person) => personTraces(person, role)), ...whole],
    layout: { xaxis: titled(x), yaxis: titled(y), showlegend: group !== undefined },
  };
}

import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import type { Estimate, Interval, Labels, Numbers } from "../stats/estimate.js";
import { axisTitle, colours, type Mark, marks, type Plain, type Role } from "./look.js";
import { valueText } from "./wording.js";

/** What `figure` takes beside id, caption and alternative text. */
export interface Plot {
  /** Plotly traces. */
  readonly data: Plain[];
  /** Plotly layout. */
  readonly layout: Plain;
}

/** A measured quantity on an axis. */
export interface Scale {
  /** Name of the quantity, such as "Grip force". */
  readonly quantity: string;
  /** Its unit; "" for a pure number. */
  readonly unit: string;
}

/** An axis with its title: the quantity, and the unit in brackets. */
export function titled(scale: Scale): Plain {
  return { title: { text: axisTitle(scale.quantity, scale.unit) } };
}

/** The mark of a role; an unknown role is refused by name. */
export function roleMark(role: Role): Mark {
  const mark = marks[role];
  if (!mark) {
    throw new InputError({
      expected: `one of ${Object.keys(marks).join(", ")}`,
      got: String(role),
      where: "role",
    });
  }
  return mark;
}

/** Dots, one per person, in the mark of their role. */
export function dots(role: Role, size = 8): Plain {
  const { colour, symbol } = roleMark(role);
  return { color: colour, symbol, size, line: { width: 1.5, color: colour } };
}

/** Some people as points in a mark of their own. */
export interface PointGroup {
  /** Name in the legend. */
  readonly name: string;
  /** Values on the x axis, in its unit. */
  readonly x: Numbers;
  /** Values on the y axis, in its unit. */
  readonly y: Numbers;
  /** Code of each golfer, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark (default). */
  readonly role?: Role | undefined;
}

/** The points of a group; columns of different length are refused under the drawing's name. */
export function groupPoints(
  { name, x, y, participant, role = "dot" }: PointGroup,
  drawing: string,
): Plain {
  const n = sameRows(`${drawing}, group ${name}`, x, y);
  return {
    type: "scatter",
    mode: "markers",
    name,
    x: list(x),
    y: list(y),
    text: names(participant, n),
    hovertemplate: "%{text}: %{x}, %{y}<extra></extra>",
    marker: dots(role),
    meta: { columns: { name: "group", text: "golfer", x: "", y: "" } },
  };
}

/** The common length of columns; columns of different length are refused. */
export function sameRows(where: string, ...columns: { length: number }[]): number {
  const [first, ...rest] = columns.map((column) => column.length);
  const odd = rest.find((length) => length !== first);
  if (odd !== undefined)
    throw new InputError({ expected: `${first} values`, got: `${odd}`, where });
  return first ?? 0;
}

/** A column as an ordinary array, which is plain JSON. */
export function list(column: Numbers): number[] {
  return Array.from(column);
}

/** The labels of the rows; row numbers from 1 where there are none. */
export function names(column: Labels | undefined, count: number): string[] {
  return column ? Array.from(column) : Array.from({ length: count }, (_, i) => `${i + 1}`);
}

/**
 * Places dots side by side in a narrow lane without chance: the same data give the same picture.
 * Neighbours in value step outwards from the centre in turn.
 */
export function lanes(values: Numbers, middle: number, width: number): number[] {
  const order = list(values)
    .map((value, i) => ({ value, i }))
    .sort((a, b) => a.value - b.value || a.i - b.i);
  const steps = [0, 1, -1, 2, -2, 3, -3];
  const placed = new Array<number>(order.length);
  order.forEach(({ i }, rank) => {
    placed[i] = middle + (itemAt(steps, rank % steps.length) * width) / 3;
  });
  return placed;
}

/** An error bar that reaches both limits of an interval, on the axis asked for. */
export function bars(
  axis: "x" | "y",
  estimates: readonly { value: number; interval?: Interval | undefined }[],
  colour: string,
): Plain {
  const up = estimates.map(({ value, interval }) => (interval ? interval.high - value : 0));
  const down = estimates.map(({ value, interval }) => (interval ? value - interval.low : 0));
  return {
    [`error_${axis}`]: {
      type: "data",
      symmetric: false,
      array: up,
      arrayminus: down,
      color: colour,
      thickness: 2,
      width: 5,
    },
  };
}

/** A reference line across the plot: zero, a smallest worthwhile change, a measurement error. */
export interface ReferenceLine {
  /** Name beside the line. */
  readonly says: string;
  /** Where the line stands, in the unit of the axis. */
  readonly value: number;
}

/** Reference lines across the plot, at values of one axis, with their names. */
export function referenceShapes(
  lines: readonly ReferenceLine[],
  axis: "x" | "y",
  layer: "below" | "above" = "below",
): Plain {
  const along = axis === "x" ? "y" : "x";
  // under the grid a line at zero would fade: there the axis draws its own zero
  const drawn = layer === "above" ? lines : lines.filter(({ value }) => value !== 0);
  return {
    shapes: drawn.map(({ value }, i) => ({
      type: "line",
      [`${axis}0`]: value,
      [`${axis}1`]: value,
      [`${along}0`]: 0,
      [`${along}1`]: 1,
      [`${along}ref`]: "paper",
      layer,
      line: {
        color: colours.ink,
        width: 1,
        dash: (["dash", "dot", "dashdot"] as const)[i % 3],
      },
    })),
    annotations: lines.map(({ says, value }, i) => ({
      text: says,
      [axis]: value,
      [along]: 1,
      [`${along}ref`]: "paper",
      [`${along}anchor`]: axis === "x" ? "bottom" : "right",
      ...(axis === "y" && { yanchor: "bottom" }),
      ...(axis === "x" && i > 0 && { yshift: 13 * i }),
      showarrow: false,
      font: { size: 11 },
    })),
  };
}

/** A line at zero over the grid, for an axis of changes or differences. */
export const zeroLine: Plain = { zeroline: true, zerolinecolor: colours.ink, zerolinewidth: 1 };

/** Hover text of an estimate: label, value, limits. */
export function estimateText(
  label: string,
  estimate: Pick<Estimate, "value" | "interval">,
  unit: string,
): string {
  const { value, interval } = estimate;
  const measured = { value, low: interval?.low, high: interval?.high };
  if (!interval) return `${label}: ${valueText(measured, unit)}`;
  const low = valueText({ ...measured, value: interval.low }, "");
  return `${label}: ${valueText(measured, unit)} (${low} to ${valueText({ ...measured, value: interval.high }, unit)})`;
}

import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import { colours, type Plain, type Role } from "./look.js";
import { dots, type Plot, roleMark, type Scale, titled } from "./plot.js";

/** One golfer's trials or swings. */
export interface GolferStrip {
  /** Code of the golfer. */
  readonly participant: string;
  /** The trials or swings in their order, in the unit of the scale. */
  readonly values: readonly number[];
}

/** Golfers to draw one below another. */
export interface GolferStripsInput extends Scale {
  /** The golfers, in any order. */
  readonly golfers: readonly GolferStrip[];
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/**
 * Every trial or swing as one mark in its golfer's row, the golfers sorted by their mean, which is a
 * tick; the highest stands at the top.
 */
export function golferStrips(input: GolferStripsInput): Plot {
  knownOptions(input, ["golfers", "role", "quantity", "unit"], "golferStrips");
  const { role = "dot", quantity, unit } = input;
  const rows = input.golfers
    .filter(({ values }) => values.length > 0)
    .map((golfer) => ({ ...golfer, mean: meanOf(golfer.values) }))
    .sort((a, b) => a.mean - b.mean || a.participant.localeCompare(b.participant, "en"));
  const points = rows.flatMap(({ participant, values }, at) =>
    values.map((value, i) => ({ participant, value, at, order: i + 1 })),
  );
  const means: Plain = {
    type: "scatter",
    mode: "markers",
    name: "mean",
    x: rows.map(({ mean }) => mean),
    y: rows.map((_, at) => at),
    hovertemplate: "%{y}, mean: %{x}<extra></extra>",
    marker: {
      symbol: "line-ns-open",
      size: 12,
      color: colours.ink,
      line: { width: 2, color: colours.ink },
    },
    showlegend: false,
    meta: { columns: {} },
  };
  return {
    data: [
      {
        type: "scatter",
        mode: "markers",
        x: points.map(({ value }) => value),
        y: points.map(({ at }) => at),
        text: points.map(({ participant }) => participant),
        customdata: points.map(({ order }) => order),
        hovertemplate: "%{text}: %{x}<extra></extra>",
        marker: { ...dots(role, 6), color: roleMark(role).colour, opacity: 0.7 },
        showlegend: false,
        meta: { columns: { text: "golfer", customdata: "order", x: "value" } },
      },
      means,
    ],
    layout: {
      xaxis: titled({ quantity, unit }),
      yaxis: {
        tickvals: rows.map((_, at) => at),
        ticktext: rows.map((_, at) => itemAt(rows, at).participant),
        range: [-0.8, rows.length - 0.2],
        tickfont: { size: 12 },
      },
      height: 120 + 19 * rows.length,
    },
  };
}

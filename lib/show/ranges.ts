import { knownOptions } from "../options.js";
import { colours, type Plain, type Role, tint } from "./look.js";
import { dots, type Plot, roleMark, type Scale, titled } from "./plot.js";

/** One person's range, with a dot if something was measured. */
export interface RangeRow {
  /** Name of the golfer or row. */
  readonly label: string;
  /** Lower end of the range, in the unit of the scale. */
  readonly low: number;
  /** Upper end of the range, in the unit of the scale. */
  readonly high: number;
  /** The measured value, in the unit of the scale; left out where nothing was measured. */
  readonly value?: number | undefined;
}

/** Ranges to draw one below another. */
export interface RangeRowsInput extends Scale {
  /** The rows from top to bottom. */
  readonly rows: readonly RangeRow[];
  /** What the bars are, for the legend. */
  readonly ranges: string;
  /** What the dots are, for the legend. */
  readonly values?: string | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
  /** A range that holds for everyone, shaded. */
  readonly band?:
    | { readonly says: string; readonly low: number; readonly high: number }
    | undefined;
  /** "log" where the ranges span factors. */
  readonly scale?: "linear" | "log" | undefined;
}

/** A range behind all rows. Drawn as a trace, so that it has a place in the legend. */
function shadedColumn(
  { says, low, high }: NonNullable<RangeRowsInput["band"]>,
  rows: number,
): Plain {
  const [bottom, top] = [-0.8, rows - 0.2];
  return {
    type: "scatter",
    mode: "lines",
    name: says,
    x: [low, high, high, low, low],
    y: [bottom, bottom, top, top, bottom],
    fill: "toself",
    fillcolor: tint(colours.speed, 0.1),
    line: { width: 1, color: tint(colours.speed, 0.5), dash: "dot" },
    hoverinfo: "skip",
  };
}

/**
 * One row per person: a bar from low to high, a dot at what was measured, and behind them a range that
 * holds for everyone. A bar is a range: no place in it is likelier.
 * @example rangeRows({ rows: [{ label: "G01", low: 30, high: 52, value: 40 }], ranges: "usual", quantity: "Grip force", unit: "kgf" }).data[0].x // [30,52,null]
 */
export function rangeRows(input: RangeRowsInput): Plot {
  knownOptions(
    input,
    ["rows", "ranges", "values", "role", "band", "scale", "quantity", "unit"],
    "rangeRows",
  );
  const { rows, ranges, values = "measured", role = "dot", band, scale, quantity, unit } = input;
  const place = (i: number) => rows.length - 1 - i;
  const { colour } = roleMark(role);
  const measured = rows
    .map((row, i) => ({ ...row, y: place(i) }))
    .filter((r) => r.value !== undefined);
  const bars: Plain = {
    type: "scatter",
    mode: "lines",
    name: ranges,
    x: rows.flatMap(({ low, high }) => [low, high, null]),
    y: rows.flatMap((_, i) => [place(i), place(i), null]),
    line: { color: colours.control, width: 5 },
    hoverinfo: "skip",
  };
  const points: Plain = {
    type: "scatter",
    mode: "markers",
    name: values,
    x: measured.map(({ value }) => value),
    y: measured.map(({ y }) => y),
    text: measured.map(({ label }) => label),
    hovertemplate: "%{text}: %{x}<extra></extra>",
    marker: { ...dots(role), color: colour },
    meta: { columns: { text: "row", x: "value" } },
  };
  return {
    data: [
      ...(band ? [shadedColumn(band, rows.length)] : []),
      bars,
      ...(measured.length > 0 ? [points] : []),
    ],
    layout: {
      xaxis: { ...titled({ quantity, unit }), ...(scale === "log" && { type: "log" }) },
      yaxis: {
        tickvals: rows.map((_, i) => place(i)),
        ticktext: rows.map(({ label }) => label),
        range: [-0.8, rows.length - 0.2],
        showgrid: false,
      },
      margin: { t: 46 },
      height: 130 + 19 * rows.length,
    },
  };
}

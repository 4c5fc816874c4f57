import { knownOptions } from "../options.js";
import type { Estimate, Interval } from "../stats/estimate.js";
import { colours, type Plain, type Role } from "./look.js";
import {
  bars,
  dots,
  estimateText,
  type Plot,
  type ReferenceLine,
  referenceShapes,
  type Scale,
  titled,
  zeroLine,
} from "./plot.js";

/** One row: a label and an estimate with its interval. */
export interface ForestRow {
  /** Name of the study or group. */
  readonly label: string;
  /** Its estimate with the interval, in the unit of the scale. */
  readonly estimate: Pick<Estimate, "value" | "interval">;
  /** Share of the pooled result; the area of the mark follows it. */
  readonly weight?: number | undefined;
  /** Hand or outcome that colour and mark stand for. */
  readonly role?: Role | undefined;
}

/** Studies or groups to draw one below another. */
export interface ForestPlotInput extends Scale {
  /** The rows from top to bottom. */
  readonly rows: readonly ForestRow[];
  /** The pooled estimate, drawn as a diamond from limit to limit. */
  readonly pooled?: ForestRow | undefined;
  /** Where a new study would fall. */
  readonly prediction?: Interval | undefined;
  /** Lines to read the values against. */
  readonly references?: readonly ReferenceLine[] | undefined;
}

function rowTraces(rows: readonly ForestRow[], role: Role, top: number, unit: string): Plain[] {
  const mine = rows
    .map((row, i) => ({ row, y: top - i }))
    .filter(({ row }) => (row.role ?? "lead") === role);
  if (mine.length === 0) return [];
  const largest = Math.max(...rows.map((row) => row.weight ?? 0)) || 1;
  const size = (row: ForestRow) =>
    row.weight === undefined ? 9 : 6 + 10 * Math.sqrt(row.weight / largest);
  const mark = dots(role);
  return [
    {
      type: "scatter",
      mode: "markers",
      name: role,
      x: mine.map(({ row }) => row.estimate.value),
      y: mine.map(({ y }) => y),
      ...bars(
        "x",
        mine.map(({ row }) => row.estimate),
        mark.color as string,
      ),
      text: mine.map(({ row }) => estimateText(row.label, row.estimate, unit)),
      hovertemplate: "%{text}<extra></extra>",
      marker: { ...mark, size: mine.map(({ row }) => size(row)), opacity: 1 },
      showlegend: false,
    },
  ];
}

function diamond(pooled: ForestRow, at: number, unit: string): Plain {
  const { value, interval } = pooled.estimate;
  const low = interval?.low ?? value;
  const high = interval?.high ?? value;
  return {
    type: "scatter",
    mode: "lines",
    x: [low, value, high, value, low],
    y: [at, at + 0.25, at, at - 0.25, at],
    fill: "toself",
    fillcolor: colours.ink,
    line: { color: colours.ink, width: 1 },
    text: estimateText(pooled.label, pooled.estimate, unit),
    hoverinfo: "text",
    showlegend: false,
  };
}

function predictionTrace(prediction: Interval, at: number): Plain {
  return {
    type: "scatter",
    mode: "lines",
    name: "prediction",
    x: [prediction.low, prediction.high],
    y: [at, at],
    line: { color: colours.ink, width: 2, dash: "dot" },
    showlegend: false,
  };
}

/**
 * Estimates under one another with their intervals; below them, if given, the pooled estimate as a
 * diamond and the prediction interval as a dotted line.
 * @example forestPlot({ rows: [{ label: "study A", estimate: { value: 0.4 } }], quantity: "Correlation", unit: "r" }).data[0].x // [0.4]
 */
export function forestPlot(input: ForestPlotInput): Plot {
  knownOptions(
    input,
    ["rows", "pooled", "prediction", "references", "quantity", "unit"],
    "forestPlot",
  );
  const { rows, pooled, prediction, references = [], quantity, unit } = input;
  const labels = [
    ...rows.map((row) => row.label),
    ...(pooled ? [pooled.label] : []),
    ...(prediction ? ["a new study"] : []),
  ];
  const place = (row: number) => labels.length - 1 - row;
  const roles: Role[] = ["lead", "trail", "speed", "control"];
  return {
    data: [
      ...roles.flatMap((role) => rowTraces(rows, role, place(0), unit)),
      ...(pooled ? [diamond(pooled, place(rows.length), unit)] : []),
      ...(prediction ? [predictionTrace(prediction, 0)] : []),
    ],
    layout: {
      ...referenceShapes([{ says: "zero", value: 0 }, ...references], "x"),
      xaxis: { ...titled({ quantity, unit }), ...zeroLine },
      yaxis: {
        tickvals: labels.map((_, i) => place(i)),
        ticktext: labels,
        range: [-0.6, labels.length - 0.4],
        showgrid: false,
      },
      margin: { t: 32 + 13 * references.length },
      height: 110 + 13 * references.length + 46 * labels.length,
    },
  };
}

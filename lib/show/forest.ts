import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Estimate, Interval } from "../stats/estimate.js";
import { type Cord, cordShapes, type Frame, hangAt, limit, point, stroke } from "./cord-shapes.js";
import { colours, type Plain, type Role } from "./look.js";
import {
  dots,
  estimateText,
  type Plot,
  type ReferenceLine,
  referenceShapes,
  type Scale,
  titled,
  zeroLine,
} from "./plot.js";
import { fixedText } from "./wording.js";

/** One row: a label and an estimate with its interval. */
export interface ForestRow {
  /** Name of the study or group. */
  readonly label: string;
  /** Its estimate with the interval, in the unit of the scale. */
  readonly estimate: Pick<Estimate, "value" | "interval">;
  /** Share of the pooled result, on any scale; written in per cent beside the label. */
  readonly weight?: number | undefined;
  /** Hand or outcome that colour and mark stand for; a tick unless given, and for pooled studies. */
  readonly role?: Role | undefined;
}

/** Studies or groups to draw one below another. */
export interface ForestPlotInput extends Scale {
  /** The rows from top to bottom. */
  readonly rows: readonly ForestRow[];
  /** The pooled estimate, drawn below a rule. */
  readonly pooled?: ForestRow | undefined;
  /** Where a new study would fall. */
  readonly prediction?: Interval | undefined;
  /** Lines to read the values against. */
  readonly references?: readonly ReferenceLine[] | undefined;
}

/** How many times the middle half width a limit may lie from its value before it leaves the frame. */
const reach = 4;

function cordOf({ label, estimate, role, weight }: ForestRow, at: number): Cord {
  const { value, interval } = estimate;
  return {
    label,
    value,
    low: interval?.low ?? value,
    high: interval?.high ?? value,
    interval,
    role: weight === undefined ? (role ?? "tick") : "tick",
    at,
  };
}

function lowerMedian(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? 0 : itemAt(sorted, Math.floor((sorted.length - 1) / 2));
}

/**
 * The span of the axis: every value, zero, and the limits, except a limit so far away that it would
 * flatten all the rest; its line ends in an arrow.
 */
function frameOf(cords: readonly Cord[], others: readonly number[]): [number, number] {
  const middle = lowerMedian(cords.map(({ low, high }) => (high - low) / 2));
  const ends = cords.flatMap(({ value, low, high }) =>
    middle === 0
      ? [low, high]
      : [Math.max(low, value - reach * middle), Math.min(high, value + reach * middle)],
  );
  const all = [0, ...others, ...ends];
  const [from, to] = [Math.min(...all), Math.max(...all)];
  const edge = 0.05 * (to - from || 1);
  return [from - edge, to + edge];
}

function markTrace(role: Role, cords: readonly Cord[], frame: Frame, unit: string): Plain[] {
  const ofRole = cords.filter((cord) => cord.role === role);
  if (ofRole.length === 0) return [];
  return [
    {
      type: "scatter",
      mode: "markers",
      x: ofRole.map(({ value }) => value),
      y: ofRole.map((cord) => cord.at - hangAt(cord, cord.value, frame)),
      error_x: {
        type: "data",
        symmetric: false,
        visible: false,
        array: ofRole.map(({ high, value }) => high - value),
        arrayminus: ofRole.map(({ low, value }) => value - low),
      },
      text: ofRole.map(({ label, value, interval }) =>
        estimateText(label, { value, ...(interval && { interval }) }, unit),
      ),
      customdata: ofRole.map(({ label }) => label.replaceAll("<br>", ", ")),
      hovertemplate: "%{text}<extra></extra>",
      marker: {
        ...dots(role, role === "tick" ? 15 : 9),
        ...(role === "tick" && { line: { width: 3, color: colours.ink } }),
      },
      meta: { columns: { customdata: "row", x: "value" } },
      showlegend: false,
    },
  ];
}

/** "Study A, n = 24" and on a second line "weight 23 %". */
function weighted(rows: readonly ForestRow[]): ForestRow[] {
  const total = rows.reduce((sum, { weight = 0 }) => sum + weight, 0);
  return rows.map((row) =>
    row.weight === undefined || total === 0
      ? row
      : { ...row, label: `${row.label}<br>weight ${fixedText((100 * row.weight) / total, 0)} %` },
  );
}

/**
 * Estimates under one another, each a tick or mark on a line held between its limits: straight where
 * the interval excludes zero, curved where it includes zero. Below a rule, if given, the pooled
 * estimate and, dotted, where a new study would fall. Weights are numbers beside the labels. A line
 * too long for the frame ends in an arrow.
 * @example forestPlot({ rows: [{ label: "study A", estimate: { value: 0.4 } }], quantity: "Correlation", unit: "r" }).data[0].x // [0.4]
 */
export function forestPlot(input: ForestPlotInput): Plot {
  knownOptions(
    input,
    ["rows", "pooled", "prediction", "references", "quantity", "unit"],
    "forestPlot",
  );
  const { pooled, prediction, references = [], quantity, unit } = input;
  const rows = weighted(input.rows);
  const drawn = [...rows, ...(pooled ? [{ ...pooled, role: pooled.role ?? "tick" }] : [])];
  const labels = [...drawn.map(({ label }) => label), ...(prediction ? ["a new study"] : [])];
  const place = (row: number) => labels.length - 1 - row;
  const cords = drawn.map((row, i) => cordOf(row, place(i)));
  const frame = frameOf(cords, [
    ...references.map(({ value }) => value),
    ...(prediction ? [prediction.low, prediction.high] : []),
  ]);
  const { shapes, annotations } = referenceShapes([{ says: "zero", value: 0 }, ...references], "x");
  return {
    data: (
      ["lead", "trail", "speed", "trained", "control", "dot", "ring", "tick"] as const
    ).flatMap((role) => markTrace(role, cords, frame, unit)),
    layout: {
      shapes: [
        ...(shapes as Plain[]),
        ...cords.flatMap((cord) => cordShapes(cord, frame)),
        ...(pooled || prediction ? [rule(place(rows.length) + 0.5)] : []),
        ...(prediction ? predictionShapes(prediction) : []),
      ],
      annotations,
      xaxis: { ...titled({ quantity, unit }), ...zeroLine, range: frame },
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

/** The rule between the studies and what is made of them. */
function rule(at: number): Plain {
  const line = { color: colours.control, width: 1 };
  return { type: "line", xref: "paper", x0: 0, x1: 1, y0: at, y1: at, line };
}

function predictionShapes({ low, high }: Interval): Plain[] {
  const limits = [low, high].map((x) => `M${point(x, -limit)}L${point(x, limit)}`).join("");
  return [
    stroke(`M${point(low, 0)}L${point(high, 0)}`, colours.ink, "dot"),
    stroke(limits, colours.ink),
  ];
}

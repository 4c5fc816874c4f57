import { present } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Estimate, Interval, Labels, Numbers } from "../stats/estimate.js";
import { colours, type Plain, type Role, tint } from "./look.js";
import {
  dots,
  groupPoints,
  list,
  type Plot,
  type PointGroup,
  roleMark,
  type Scale,
  sameRows,
  titled,
} from "./plot.js";
import { fixedText } from "./wording.js";

/** A point of a fitted line, as `predictLine` gives it. */
export interface LinePoint {
  /** Where the line is read, in the unit of x. */
  readonly x: number;
  /** Height of the line there, in the unit of y. */
  readonly y: number;
  /** Interval of the mean. */
  readonly mean?: Interval | undefined;
  /** Interval of one new person. */
  readonly single?: Interval | undefined;
}

/** Points in groups, with a fitted line and its bands. */
export interface FittedScatterInput {
  /** The groups, each in a mark of its own. */
  readonly groups: readonly PointGroup[];
  /** Quantity and unit of the x axis. */
  readonly x: Scale;
  /** Quantity and unit of the y axis. */
  readonly y: Scale;
  /** Points of the fitted line, at rising x. */
  readonly line?: readonly LinePoint[] | undefined;
}

/** Two edges with the space between them filled; one entry in the legend. */
function band(
  line: readonly LinePoint[],
  which: "mean" | "single",
  name: string,
  opacity: number,
): Plain[] {
  const known = line.filter((point) => point[which]);
  if (known.length < 2) return [];
  const edge: Plain = {
    type: "scatter",
    mode: "lines",
    name,
    legendgroup: which,
    x: known.map((point) => point.x),
    line: { width: which === "single" ? 1 : 0, color: tint(colours.speed, 0.5), dash: "dot" },
    hoverinfo: "skip",
  };
  return [
    { ...edge, y: known.map((point) => present(point[which]).low), showlegend: false },
    {
      ...edge,
      y: known.map((point) => present(point[which]).high),
      fill: "tonexty",
      fillcolor: tint(colours.speed, opacity),
    },
  ];
}

function level(line: readonly LinePoint[], which: "mean" | "single"): string {
  const found = line.find((point) => point[which])?.[which];
  return found ? `${fixedText(found.level * 100, 0)} %` : "";
}

/**
 * A scatter of persons with, if given, a fitted line, the band of its mean, and the wider band of one
 * new person.
 * @example fittedScatter({ groups: [{ name: "golfers", x: [40, 45], y: [90, 96] }], x: { quantity: "Grip force", unit: "kgf" }, y: { quantity: "Club speed", unit: "mph" } }).data[0].y // [90,96]
 */
export function fittedScatter(input: FittedScatterInput): Plot {
  knownOptions(input, ["groups", "x", "y", "line"], "fittedScatter");
  const { groups, x, y, line = [] } = input;
  const fitted: Plain[] = line.length
    ? [
        {
          type: "scatter",
          mode: "lines",
          name: "fitted line",
          x: line.map((point) => point.x),
          y: line.map((point) => point.y),
          line: { color: colours.speed, width: 2.5 },
          hoverinfo: "skip",
        },
      ]
    : [];
  return {
    data: [
      ...band(line, "single", `one new golfer, ${level(line, "single")} band`, 0.08),
      ...band(line, "mean", `mean, ${level(line, "mean")} band`, 0.2),
      ...fitted,
      ...groups.map((group) => groupPoints(group, "fittedScatter")),
    ],
    layout: { xaxis: titled(x), yaxis: titled(y) },
  };
}

/** Differences of two measurements against their means, with limits of agreement. */
export interface AgreementPlotInput {
  /** Mean of the two measurements, one per person. */
  readonly means: Numbers;
  /** First minus second. */
  readonly differences: Numbers;
  /** Code of each golfer, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** Mean difference with its interval, in `unit`. */
  readonly bias: Estimate;
  /** Lower limit of agreement with its interval, in `unit`. */
  readonly lower: Estimate;
  /** Upper limit of agreement with its interval, in `unit`. */
  readonly upper: Estimate;
  /** Name of the quantity, such as "Grip force". */
  readonly quantity: string;
  /** Its unit; "" for a pure number. */
  readonly unit: string;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

function agreementLine(
  name: string,
  estimate: Estimate,
  range: readonly number[],
  dash: string,
): Plain[] {
  const { interval, value } = estimate;
  const line: Plain = {
    type: "scatter",
    mode: "lines",
    name,
    x: [...range],
    y: [value, value],
    line: { color: colours.ink, width: 2, dash },
    hovertemplate: `${name}: %{y}<extra></extra>`,
  };
  if (!interval) return [line];
  const [from, to] = range;
  const shade: Plain = {
    type: "scatter",
    mode: "lines",
    x: [from, to, to, from],
    y: [interval.low, interval.low, interval.high, interval.high],
    fill: "toself",
    fillcolor: tint(colours.control, 0.2),
    line: { width: 0 },
    hoverinfo: "skip",
    showlegend: false,
  };
  return [shade, line];
}

/**
 * Differences of two measurements against their mean, with bias and limits of agreement, each with
 * its interval shaded.
 * @see Bland & Altman (1986) Lancet 327:307–310
 * @example agreementPlot({ means: [40, 45], differences: [1, -1], bias: { value: 0 }, lower: { value: -2 }, upper: { value: 2 }, quantity: "Grip force", unit: "kgf" }).data.length // 4
 */
export function agreementPlot(input: AgreementPlotInput): Plot {
  knownOptions(
    input,
    ["means", "differences", "participant", "bias", "lower", "upper", "quantity", "unit", "role"],
    "agreementPlot",
  );
  const {
    means,
    differences,
    participant,
    bias,
    lower,
    upper,
    quantity,
    unit,
    role = "dot",
  } = input;
  sameRows("agreementPlot", means, differences);
  const values = list(means);
  const range = [Math.min(...values), Math.max(...values)];
  return {
    data: [
      ...agreementLine("upper limit", upper, range, "dash"),
      ...agreementLine("bias", bias, range, "solid"),
      ...agreementLine("lower limit", lower, range, "dash"),
      {
        ...groupPoints(
          { name: "golfers", x: means, y: differences, participant, role },
          "agreementPlot",
        ),
        marker: { ...dots(role), color: roleMark(role).colour },
      },
    ],
    layout: {
      xaxis: titled({ quantity: `Mean of the two: ${quantity.toLowerCase()}`, unit }),
      yaxis: titled({ quantity: "Difference, first − second", unit }),
    },
  };
}

import { knownOptions } from "../options.js";
import type { Labels, Numbers } from "../stats/estimate.js";
import { colours, type Role, tint } from "./look.js";
import {
  dots,
  list,
  names,
  type Plot,
  type ReferenceLine,
  referenceShapes,
  roleMark,
  type Scale,
  titled,
} from "./plot.js";

/** The values of one group. */
export interface ValueGroup {
  /** Name of the group on the axis. */
  readonly name: string;
  /** One value per dot, in the unit of the scale. */
  readonly values: Numbers;
  /** Code of the golfer of each value, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

/**
 * Box plots with every value as a dot beside its box, one box per group.
 * @example boxPlot({ groups: [{ name: "lead", values: [40, 42, 45] }], quantity: "Grip force", unit: "kgf" }).data[0].y // [40,42,45]
 */
export function boxPlot(input: Scale & { readonly groups: readonly ValueGroup[] }): Plot {
  knownOptions(input, ["groups", "quantity", "unit"], "boxPlot");
  const { groups, quantity, unit } = input;
  return {
    data: groups.map(({ name, values, participant, role = "dot" }) => ({
      type: "box",
      name,
      y: list(values),
      text: names(participant, values.length),
      boxpoints: "all",
      pointpos: -1.6,
      jitter: 0.4,
      fillcolor: tint(roleMark(role).colour, 0.12),
      line: { color: roleMark(role).colour, width: 1.5 },
      marker: dots(role, 6),
      hovertemplate: "%{text}: %{y}<extra></extra>",
      showlegend: false,
    })),
    layout: { xaxis: { type: "category", showgrid: false }, yaxis: titled({ quantity, unit }) },
  };
}

/** Values to count in bins. */
export interface HistogramInput extends Scale {
  /** The values, in the unit of the scale. */
  readonly values: Numbers;
  /** What is counted on the other axis: "golfers", "resamples". */
  readonly counted: string;
  /** Width of a bin, in the unit of the scale; chosen from the values unless given. */
  readonly binWidth?: number | undefined;
  /** Bins centred on multiples of their width, so that a bar of counts stands over its number. */
  readonly centred?: boolean | undefined;
  /** Lines to read the values against. */
  readonly references?: readonly ReferenceLine[] | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

/** The span of the values in whole bins. */
function bins(
  values: readonly number[],
  size: number,
  offset: number,
): { start: number; end: number; size: number } {
  const below = (value: number) => Math.floor((value + offset) / size) * size - offset;
  return { start: below(Math.min(...values)), end: below(Math.max(...values)) + size, size };
}

/**
 * How often each value occurs, in bins of equal width, with reference lines if given.
 * @example histogram({ values: [1, 2, 2, 3], quantity: "Change", unit: "kgf", counted: "golfers" }).data[0].type // "histogram"
 */
export function histogram(input: HistogramInput): Plot {
  knownOptions(
    input,
    ["values", "counted", "binWidth", "centred", "references", "role", "quantity", "unit"],
    "histogram",
  );
  const {
    values,
    quantity,
    unit,
    counted,
    binWidth,
    centred,
    references = [],
    role = "dot",
  } = input;
  const column = list(values);
  return {
    data: [
      {
        type: "histogram",
        name: quantity,
        x: column,
        ...(binWidth !== undefined && {
          xbins: bins(column, binWidth, centred ? binWidth / 2 : 0),
        }),
        marker: {
          color: tint(roleMark(role).colour, 0.7),
          line: { color: colours.paper, width: 1 },
        },
        showlegend: false,
      },
    ],
    layout: {
      ...referenceShapes(references, "x", "above"),
      xaxis: titled({ quantity, unit }),
      yaxis: titled({ quantity: "How many", unit: counted }),
      margin: { t: 32 + 13 * references.length },
    },
  };
}

import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Estimate, Labels, Numbers } from "../stats/estimate.js";
import { type Cord, cordShapes, hangAt } from "./cord-shapes.js";
import { colours, type Plain, type Role } from "./look.js";
import {
  dots,
  estimateText,
  lanes,
  list,
  names,
  type Plot,
  type ReferenceLine,
  referenceShapes,
  type Scale,
  sameRows,
  titled,
  zeroLine,
} from "./plot.js";

/** A group of persons with each one's change, and the mean change as the statistics give it. */
export interface ChangeGroup {
  /** Name in the legend. */
  readonly name: string;
  /** Change of each golfer, in the unit of the scale. */
  readonly changes: Numbers;
  /** Code of each golfer, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** Mean change with its interval, drawn beside the dots. */
  readonly estimate?: Pick<Estimate, "value" | "interval"> | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

/** Groups of golfers, each golfer's change a dot. */
export interface ChangeStripInput extends Scale {
  /** The groups from left to right. */
  readonly groups: readonly ChangeGroup[];
  /** Lines to read the changes against; zero is always drawn. */
  readonly references?: readonly ReferenceLine[] | undefined;
}

function changeTraces(group: ChangeGroup, at: number, unit: string): Plain[] {
  const role = group.role ?? "dot";
  const n = group.changes.length;
  if (group.participant)
    sameRows(`changeStrip, group ${group.name}`, group.changes, group.participant);
  const people: Plain = {
    type: "scatter",
    mode: "markers",
    name: group.name,
    x: list(group.changes),
    y: lanes(group.changes, at, 0.16),
    text: names(group.participant, n),
    hovertemplate: "%{text}: %{x}<extra></extra>",
    marker: { ...dots(role, 7), opacity: 0.8 },
    meta: { columns: { name: "arm", text: "golfer", x: "value" } },
  };
  const cord = cordUnder(group, at);
  return cord ? [people, meanTrace(cord, unit)] : [people];
}

/** The mean of a group as a cord below its row; a row here is taller than one of a forest. */
function cordUnder({ name, estimate, role = "dot" }: ChangeGroup, at: number): Cord | undefined {
  if (!estimate) return undefined;
  const { value, interval } = estimate;
  const { low = value, high = value } = interval ?? {};
  return { label: name, value, low, high, interval, role, at: at - 0.36, size: 0.5 };
}

function meanTrace(cord: Cord, unit: string): Plain {
  const { label, value, low, high, interval, role } = cord;
  return {
    type: "scatter",
    mode: "markers",
    name: `${label}, mean with interval`,
    x: [value],
    y: [cord.at - hangAt(cord, value, [low, high])],
    error_x: {
      type: "data",
      symmetric: false,
      visible: false,
      array: [high - value],
      arrayminus: [value - low],
    },
    text: [estimateText("mean", { value, ...(interval && { interval }) }, unit)],
    hovertemplate: "%{text}<extra></extra>",
    marker: { ...dots(role, 11), line: { width: 2, color: colours.ink } },
    showlegend: false,
  };
}

/** From the lowest to the highest of all that is drawn, with zero and a little room. */
function spanOf(values: readonly number[]): [number, number] {
  const [from, to] = [Math.min(0, ...values), Math.max(0, ...values)];
  const edge = 0.05 * (to - from || 1);
  return [from - edge, to + edge];
}

/**
 * Each person's change as a dot, one row per group, and under them the mean change with its interval,
 * against zero and any other reference line.
 * @example changeStrip({ groups: [{ name: "grip", changes: [2.1, 3.4] }], quantity: "Change of grip force", unit: "kgf" }).data[0].x // [2.1,3.4]
 */
export function changeStrip(input: ChangeStripInput): Plot {
  knownOptions(input, ["groups", "references", "quantity", "unit"], "changeStrip");
  const { groups, quantity, unit, references = [] } = input;
  const rows = groups.map((_, i) => groups.length - 1 - i);
  const cords = groups.flatMap((group, i) => cordUnder(group, itemAt(rows, i)) ?? []);
  const range = spanOf([
    ...groups.flatMap(({ changes }) => list(changes)),
    ...cords.flatMap(({ low, high }) => [low, high]),
    ...references.map(({ value }) => value),
  ]);
  const lines = referenceShapes([{ says: "no change", value: 0 }, ...references], "x");
  return {
    data: groups.flatMap((group, i) => changeTraces(group, itemAt(rows, i), unit)),
    layout: {
      ...lines,
      shapes: [...(lines.shapes as Plain[]), ...cords.flatMap((cord) => cordShapes(cord, range))],
      xaxis: { ...titled({ quantity, unit }), ...zeroLine, range },
      yaxis: {
        tickvals: rows,
        ticktext: groups.map((group) => group.name),
        range: [-0.7, groups.length - 0.5],
        showgrid: false,
      },
      margin: { t: 32 + 13 * references.length },
      height: 110 + 110 * groups.length,
      showlegend: false,
    },
  };
}

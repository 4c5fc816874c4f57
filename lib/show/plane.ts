import { knownOptions } from "../options.js";
import type { Labels, Numbers } from "../stats/estimate.js";
import { colours, type Plain, type Role, tint } from "./look.js";
import { dots, list, names, type Plot, type Scale, sameRows, titled } from "./plot.js";

/** Some people on the plane. */
export interface PlaneGroup {
  /** Name in the legend. */
  readonly name: string;
  /** Force on x, speed on y. */
  readonly force: Numbers;
  /** Club speed of each golfer, in the unit of the axis. */
  readonly speed: Numbers;
  /** Code of each golfer, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role: Role;
}

/** A force that belongs to a speed, with the range it may have. */
export interface SpeedForce {
  /** Club speed, in the unit of the axis. */
  readonly speed: number;
  /** Force at that speed, in the unit of the force axis. */
  readonly value: number;
  /** Lower end of the range of the force, same unit. */
  readonly low: number;
  /** Upper end of the range of the force, same unit. */
  readonly high: number;
}

/**
 * Golfers on the plane of grip force and club speed, with a curve of the force that a speed needs.
 */
export interface ForceSpeedPlaneInput {
  /** The groups, each in a mark of its own. */
  readonly groups: readonly PlaneGroup[];
  /** A curve of force against speed with its band, at rising speeds. */
  readonly curve: readonly SpeedForce[];
  /** What the curve is, for the legend. */
  readonly curveSays: string;
  /** Quantity and unit of the force axis. */
  readonly force: Scale;
  /** Quantity and unit of the speed axis. */
  readonly speed: Scale;
}

/** The sideways band between the low and the high force at each speed. */
function bandTrace(curve: readonly SpeedForce[], says: string): Plain {
  const there = curve.map(({ low }) => low);
  const back = [...curve].reverse();
  return {
    type: "scatter",
    mode: "lines",
    name: `${says}, range from its inputs`,
    x: [...there, ...back.map(({ high }) => high)],
    y: [...curve.map(({ speed }) => speed), ...back.map(({ speed }) => speed)],
    fill: "toself",
    fillcolor: tint(colours.control, 0.22),
    line: { width: 0 },
    hoverinfo: "skip",
    meta: { columns: { name: "group", x: "", y: "" } },
  };
}

function curveTrace(curve: readonly SpeedForce[], says: string): Plain {
  return {
    type: "scatter",
    mode: "lines",
    name: says,
    x: curve.map(({ value }) => value),
    y: curve.map(({ speed }) => speed),
    line: { color: colours.ink, width: 2, dash: "dash" },
    hovertemplate: "%{y}: %{x}<extra></extra>",
    meta: { columns: { name: "group", x: "", y: "" } },
  };
}

function groupTrace(group: PlaneGroup): Plain {
  const n = sameRows(`forceSpeedPlane, group ${group.name}`, group.force, group.speed);
  return {
    type: "scatter",
    mode: "markers",
    name: group.name,
    x: list(group.force),
    y: list(group.speed),
    text: names(group.participant, n),
    hovertemplate: "%{text}: %{x}, %{y}<extra></extra>",
    marker: dots(group.role),
    meta: { columns: { name: "group", text: "golfer", x: "", y: "" } },
  };
}

/**
 * Every person by force and speed, with a curve of force against speed and its band. The axes share
 * a unit of force only: say in the caption what each force is.
 * @example forceSpeedPlane({ groups: [{ name: "golfers", force: [40], speed: [100], role: "lead" }], curve: [{ speed: 90, value: 28, low: 26, high: 30 }, { speed: 110, value: 42, low: 39, high: 46 }], curveSays: "pull", force: { quantity: "Force", unit: "kgf" }, speed: { quantity: "Club speed", unit: "mph" } }).data.length // 3
 */
export function forceSpeedPlane(input: ForceSpeedPlaneInput): Plot {
  knownOptions(input, ["groups", "curve", "curveSays", "force", "speed"], "forceSpeedPlane");
  const { groups, curve, curveSays, force, speed } = input;
  return {
    data: [bandTrace(curve, curveSays), curveTrace(curve, curveSays), ...groups.map(groupTrace)],
    layout: {
      xaxis: { ...titled(force), rangemode: "tozero" },
      yaxis: titled(speed),
      // Below the plot, where its long names take no width from the plane.
      legend: { orientation: "h", x: 0, xanchor: "left", y: -0.2, yanchor: "top" },
    },
  };
}

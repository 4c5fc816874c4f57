import type { Interval } from "../stats/estimate.js";
import type { Plain, Role } from "./look.js";
import { roleMark } from "./plot.js";

/** An estimate in its place: what is drawn as one cord. */
export interface Cord {
  /** Name of the row. */
  readonly label: string;
  /** The estimate, in the unit of the axis. */
  readonly value: number;
  /** Lower limit; the value itself without an interval. */
  readonly low: number;
  /** Upper limit; the value itself without an interval. */
  readonly high: number;
  /** The interval; undefined where there is none to draw. */
  readonly interval: Interval | undefined;
  /** What colour and mark stand for. */
  readonly role: Role;
  /** Row on the y axis. */
  readonly at: number;
  /** Size of hang and limits beside those of a forest's row; 1 unless given. */
  readonly size?: number;
}

/** How far a slack cord hangs and how tall its limits are, as shares of a row. */
const hang = 0.17;
export const limit = 0.1;

/** The ends of the axis. */
export type Frame = readonly [number, number];

/** A line of a drawing. */
export function stroke(path: string, colour: string, dash = "solid", width = 2): Plain {
  return { type: "path", path, line: { color: colour, width, dash } };
}

/** A point of a path in nine digits: a path is text, and the last digits differ between machines. */
export function point(x: number, y: number): string {
  return [x, y].map((at) => (Math.abs(at) < 1e-12 ? 0 : Number(at.toPrecision(9)))).join(",");
}

/** How far a cord hangs at a place on it below the ends that are seen, in rows. */
export function hangAt(cord: Cord, place: number, [from, to]: Frame): number {
  if (!cord.interval || cord.low > 0 || cord.high < 0 || cord.high === cord.low) return 0;
  const [low, high] = [Math.max(cord.low, from), Math.min(cord.high, to)];
  const share = Math.min(1, Math.max(0, (place - low) / (high - low)));
  return (cord.size ?? 1) * hang * 4 * share * (1 - share);
}

/** The line from limit to limit, its limits, and an arrow where it leaves the frame. */
export function cordShapes(cord: Cord, frame: Frame): Plain[] {
  const [from, to] = frame;
  const { low, high, at, role, interval, size = 1 } = cord;
  if (!interval) return [];
  const { colour } = roleMark(role);
  const [left, right] = [Math.max(low, from), Math.min(high, to)];
  const steps = Array.from({ length: 25 }, (_, i) => left + ((right - left) * i) / 24);
  const line = steps.map((x) => point(x, at - hangAt(cord, x, frame))).join("L");
  const arrow = 0.012 * (to - from);
  const tall = size * limit;
  const end = (place: number, isOut: boolean, inwards: number) => {
    const y = at - hangAt(cord, place, frame);
    return isOut
      ? `M${point(place + inwards * arrow, y + tall)}L${point(place, y)}L${point(place + inwards * arrow, y - tall)}`
      : `M${point(place, y - tall)}L${point(place, y + tall)}`;
  };
  return [
    stroke(`M${line}`, colour),
    stroke(end(left, low < from, 1), colour),
    stroke(end(right, high > to, -1), colour),
  ];
}

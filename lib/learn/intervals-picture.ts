import type { Panel, StrokesLayer, Tone } from "../show/picture.js";
import type { Interval } from "../stats/estimate.js";
import { roomFor, short } from "./model.js";
import type { IntervalsWords } from "./words/model-words.js";

/** An estimate of one simulated study. */
export interface Estimated {
  /** The estimate, in the unit of the axis. */
  readonly value: number;
  /** Its confidence limits, same unit. */
  readonly interval: Pick<Interval, "low" | "high">;
}

/** Whether the interval includes the true value. */
export function holds({ interval }: Estimated, truth: number): boolean {
  return interval.low <= truth && truth <= interval.high;
}

function strokes(tone: Tone, kept: readonly (readonly [Estimated, number])[]): StrokesLayer {
  return {
    kind: "strokes",
    tone,
    x: kept.map(([{ interval }]) => short(interval.low)),
    y: kept.map(([, place]) => place),
    toX: kept.map(([{ interval }]) => short(interval.high)),
    toY: kept.map(([, place]) => place),
    width: 1.4,
  };
}

/** Left of zero a panel goes this share of how far it goes right. */
const leftShare = 0.6;

/** How far right a panel must go to hold all of these intervals. */
export function sideFor(...lists: readonly (readonly Estimated[])[]): number {
  const reaches = lists.flat().map(({ interval: { low, high } }) => {
    return Math.max(high, -low / leftShare);
  });
  return roomFor(Math.max(...reaches), [4, 6, 8, 10, 13, 16, 20, 25, 30, 40, 60, 100]);
}

/** Studies that are drawn: more would merge into a grey area. */
const shownStudies = 40;

/**
 * Intervals of the first forty studies, sorted by their estimate; those that miss the truth in the
 * other colour and with a mark at the estimate.
 */
export function intervalsPanel(
  studies: readonly Estimated[],
  {
    title,
    quantity,
    side,
    truth,
    says,
  }: { title: string; quantity: string; side: number; truth: number; says: IntervalsWords },
): Panel {
  const shown = studies.slice(0, shownStudies).sort((a, b) => a.value - b.value);
  const placed = shown.map((one, i) => [one, i + 1] as const);
  const right = placed.filter(([one]) => holds(one, truth));
  const wrong = placed.filter(([one]) => !holds(one, truth));
  return {
    title,
    x: { title: quantity, low: -leftShare * side, high: side },
    y: {
      title: says.sorted(shown.length, studies.length),
      low: 0,
      high: shown.length + 1,
      numbered: false,
    },
    layers: [
      { ...strokes("control", right), faint: true },
      strokes("trail", wrong),
      {
        kind: "dots",
        tone: "trail",
        x: wrong.map(([{ value }]) => short(value)),
        y: wrong.map(([, place]) => place),
        radius: 1.8,
      },
      {
        kind: "rule",
        axis: "x",
        tone: "ink",
        value: 0,
        says: truth === 0 ? "" : says.none,
        dashed: true,
      },
      { kind: "rule", axis: "x", tone: "lead", value: short(truth), says: says.truth },
    ],
  };
}

import { itemAt } from "../entry.js";
import type { Layer, Picture, PictureAxis } from "../show/picture.js";

/** One panel of the height that stands above a question. */
function picture(
  title: string,
  axes: { readonly x: PictureAxis; readonly y: PictureAxis },
  layers: readonly Layer[],
): Picture {
  return { height: 250, panels: [{ title, ...axes, layers }] };
}

const gripAxis = { title: "Lead-hand grip (kgf)", low: 25, high: 60 };
const speedAxis = { title: "Driver speed (mph)", low: 75, high: 115 };

/** Two squeezes of one golfer, a month apart. */
export function twoSqueezes(words: {
  readonly title: string;
  readonly tests: string;
  readonly grip: string;
}): Picture {
  const x = [1, 2];
  const y = [42, 44];
  return picture(
    words.title,
    {
      x: { title: words.tests, low: 0.5, high: 2.5, numbered: false },
      y: { title: words.grip, low: 38, high: 48 },
    },
    [
      { kind: "line", tone: "lead", x, y, width: 1.4, dashed: true },
      { kind: "dots", tone: "lead", x, y, radius: 6 },
    ],
  );
}

/** Twelve golfers and their line; the question is about one more, of 50 kgf. */
export const golferToPredict: Picture = picture(
  "Twelve golfers, their line, and a new golfer of 50 kgf",
  { x: gripAxis, y: speedAxis },
  [
    { kind: "rule", axis: "x", tone: "ink", value: 50, says: "the new golfer", dashed: true },
    { kind: "line", tone: "speed", x: [28, 58], y: [86.4, 98.4] },
    {
      kind: "dots",
      tone: "speed",
      x: [29, 32, 34, 37, 39, 41, 43, 45, 47, 51, 54, 57],
      y: [84, 94, 82, 97, 88, 85, 99, 91, 104, 92, 90, 105],
    },
  ],
);

const before = [33.1, 35.4, 37.2, 38.0, 39.9, 41.3, 43.0, 45.6, 48.2];
const after = [35.6, 36.9, 40.1, 37.4, 42.8, 42.9, 46.2, 46.1, 51.3];

/** Nine golfers before and after a block. */
export const nineGolfers: Picture = picture(
  "Nine golfers before and after six weeks of the block",
  {
    x: { title: "Before, and after", low: 0.6, high: 2.4, numbered: false },
    y: { title: "Lead-hand grip (kgf)", low: 30, high: 55 },
  },
  [
    {
      kind: "strokes",
      tone: "lead",
      x: before.map(() => 1),
      y: before,
      toX: after.map(() => 2),
      toY: after,
    },
    { kind: "dots", tone: "lead", x: before.map(() => 1), y: before },
    { kind: "dots", tone: "lead", x: after.map(() => 2), y: after },
  ],
);

/** Changes of nine golfers; their mean is 1.9 kgf. */
export const nineChanges: Picture = picture(
  "Change of each of nine golfers, and their mean",
  {
    x: { title: "Change of grip (kgf)", low: -2, high: 6 },
    y: { title: "", low: 0, high: 2, numbered: false },
  },
  [
    { kind: "rule", axis: "x", tone: "ink", value: 0, says: "no change", dashed: true },
    { kind: "rule", axis: "x", tone: "lead", value: 1.9, says: "mean 1.9 kgf" },
    {
      kind: "dots",
      tone: "lead",
      x: [-0.6, 0.4, 0.9, 1.5, 1.8, 2.2, 2.7, 3.4, 4.8],
      y: [1, 1, 1, 1, 1, 1, 1, 1, 1],
      radius: 6,
    },
  ],
);

const golfers = [
  { grip: 31, speed: 103 },
  { grip: 37, speed: 100 },
  { grip: 43, speed: 95 },
  { grip: 49, speed: 92 },
  { grip: 55, speed: 87 },
];
const visits = [
  { grip: -3, speed: -2.2 },
  { grip: -1, speed: -0.3 },
  { grip: 1, speed: 0.4 },
  { grip: 3, speed: 2.1 },
];

/** Five golfers of four visits: down from golfer to golfer, up within each. */
export const fiveGolfers: Picture = picture(
  "Five golfers, four visits each: a dot is a visit",
  { x: gripAxis, y: speedAxis },
  [
    {
      kind: "dots",
      tone: "ink",
      x: golfers.flatMap(({ grip }) => visits.map((visit) => grip + visit.grip)),
      y: golfers.flatMap(({ speed }, i) =>
        visits.map(
          (visit, k) => speed + visit.speed + 0.3 * itemAt([1, -1, 0, 1, -1], (i + k) % 5),
        ),
      ),
    },
  ],
);

/** Pull of the club at three speeds, in N; the question is about a fourth. */
export const pullAtSpeeds: Picture = picture(
  "Pull of the club on both hands at three speeds",
  {
    x: { title: "Club-head speed (mph)", low: 70, high: 120 },
    y: { title: "Pull (N)", low: 0, high: 500 },
  },
  [
    { kind: "rule", axis: "x", tone: "ink", value: 110, says: "and at 110 mph?", dashed: true },
    { kind: "dots", tone: "lead", x: [80, 90, 100], y: [219.8, 278.2, 343.4], radius: 6 },
  ],
);

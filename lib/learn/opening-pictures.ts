import { itemAt } from "../entry.js";
import type { Layer, Panel, Picture, PictureAxis } from "../show/picture.js";
import { fixedText } from "../show/wording.js";

/** One panel of the height that stands above a question. */
function picture(
  title: string,
  axes: { readonly x: PictureAxis; readonly y: PictureAxis },
  layers: readonly Layer[],
): Picture {
  return { height: 250, panels: [{ title, ...axes, layers }] };
}

const gripRange = { low: 25, high: 60 };
const speedRange = { low: 75, high: 115 };

/** Words of a picture of grip and speed. */
interface GripAndSpeed {
  readonly title: string;
  readonly grip: string;
  readonly speed: string;
}

const axesOf = ({ grip, speed }: GripAndSpeed) => ({
  x: { title: grip, ...gripRange },
  y: { title: speed, ...speedRange },
});

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

const secondMinusFirst = [-2.6, -2.0, -1.7, -1.3, -0.9, -0.5, -0.1, 0.3];

/** Second − first squeeze of eight golfers, before and after their mean, −1.1 kgf, is subtracted. */
export function sharedShift(words: {
  readonly before: string;
  readonly after: string;
  readonly difference: string;
  readonly none: string;
  readonly mean: string;
}): Picture {
  const panel = (title: string, values: readonly number[], mean: number): Panel => ({
    title,
    x: { title: words.difference, low: -3.2, high: 3.2 },
    y: { title: "", low: 0, high: 2, numbered: false },
    layers: [
      { kind: "rule", axis: "x", tone: "ink", value: 0, says: words.none },
      { kind: "rule", axis: "x", tone: "lead", value: mean, says: words.mean, dashed: true },
      { kind: "dots", tone: "lead", x: values, y: values.map(() => 1), radius: 5 },
    ],
  });
  const shift = -1.1;
  const moved = secondMinusFirst.map((value) => Math.round((value - shift) * 10) / 10);
  return {
    height: 210,
    panels: [panel(words.before, secondMinusFirst, shift), panel(words.after, moved, 0)],
  };
}

/** Twelve golfers and their line; the question is about one more, of 50 kgf. */
export function golferToPredict(words: GripAndSpeed & { readonly newcomer: string }): Picture {
  return picture(words.title, axesOf(words), [
    { kind: "rule", axis: "x", tone: "ink", value: 50, says: words.newcomer, dashed: true },
    { kind: "line", tone: "speed", x: [28, 58], y: [86.4, 98.4] },
    {
      kind: "dots",
      tone: "speed",
      x: [29, 32, 34, 37, 39, 41, 43, 45, 47, 51, 54, 57],
      y: [84, 94, 82, 97, 88, 85, 99, 91, 104, 92, 90, 105],
    },
  ]);
}

const before = [33.1, 35.4, 37.2, 38.0, 39.9, 41.3, 43.0, 45.6, 48.2];
const after = [35.6, 36.9, 40.1, 37.4, 42.8, 42.9, 46.2, 46.1, 51.3];

/** Nine golfers before and after a block. */
export function nineGolfers(words: {
  readonly title: string;
  readonly tests: string;
  readonly grip: string;
}): Picture {
  const axes = {
    x: { title: words.tests, low: 0.6, high: 2.4, numbered: false },
    y: { title: words.grip, low: 30, high: 55 },
  };
  return picture(words.title, axes, [
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
  ]);
}

/** Changes of nine golfers; their mean is 1.9 kgf. */
export function nineChanges(words: {
  readonly title: string;
  readonly change: string;
  readonly none: string;
  readonly mean: string;
}): Picture {
  const axes = {
    x: { title: words.change, low: -2, high: 6 },
    y: { title: "", low: 0, high: 2, numbered: false },
  };
  return picture(words.title, axes, [
    { kind: "rule", axis: "x", tone: "ink", value: 0, says: words.none, dashed: true },
    { kind: "rule", axis: "x", tone: "lead", value: 1.9, says: words.mean },
    {
      kind: "dots",
      tone: "lead",
      x: [-0.6, 0.4, 0.9, 1.5, 1.8, 2.2, 2.7, 3.4, 4.8],
      y: [1, 1, 1, 1, 1, 1, 1, 1, 1],
      radius: 6,
    },
  ]);
}

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

/** The visits of each golfer. */
const visitsOfAll = () =>
  golfers.map(({ grip, speed }, i) =>
    visits.map((visit, k) => ({
      grip: grip + visit.grip,
      speed: speed + visit.speed + 0.3 * itemAt([1, -1, 0, 1, -1], (i + k) % 5),
    })),
  );

/** Five golfers of four visits: down from golfer to golfer, up within each. */
export function fiveGolfers(words: GripAndSpeed): Picture {
  const allVisits = visitsOfAll();
  return picture(words.title, axesOf(words), [
    ...allVisits.map(
      (own): Layer => ({
        kind: "line",
        tone: "control",
        x: own.map(({ grip }) => grip),
        y: own.map(({ speed }) => speed),
        width: 1,
      }),
    ),
    {
      kind: "dots",
      tone: "ink",
      x: allVisits.flat().map(({ grip }) => grip),
      y: allVisits.flat().map(({ speed }) => speed),
    },
  ]);
}

/** Pull of the club at three speeds, in N; the question is about a fourth. */
export function pullAtSpeeds(words: {
  readonly title: string;
  readonly speed: string;
  readonly pull: string;
  readonly asked: string;
}): Picture {
  const axes = {
    x: { title: words.speed, low: 70, high: 120 },
    y: { title: words.pull, low: 0, high: 500 },
  };
  return picture(words.title, axes, [
    { kind: "rule", axis: "x", tone: "ink", value: 110, says: words.asked, dashed: true },
    { kind: "dots", tone: "lead", x: [80, 90, 100], y: [219.8, 278.2, 343.4], radius: 6 },
  ]);
}

const arm = 0.65;
const club = 1.05;
/** A part of a circle about a point, as a line; angles from straight down, in degrees. */
function arc(
  [x, y]: readonly [number, number],
  radius: number,
  [from, to]: readonly [number, number],
): Pick<Extract<Layer, { kind: "line" }>, "x" | "y"> {
  const angles = Array.from(
    { length: 49 },
    (_, i) => ((from + ((to - from) * i) / 48) * Math.PI) / 180,
  );
  return {
    x: angles.map((angle) => x + radius * Math.sin(angle)),
    y: angles.map((angle) => y - radius * Math.cos(angle)),
  };
}

/** Arms and club in line at impact: the circle of the hands, and that of the head about the hands. */
export function twoRadii(words: {
  readonly title: string;
  readonly centre: string;
  readonly handsPath: string;
  readonly hands: string;
  readonly head: string;
  readonly headPath: string;
}): Picture {
  const handsAt = -arm;
  const headAt = -arm - club;
  const metres = (radius: number) => `${fixedText(radius, 2)} m`;
  // Beside the lines, where no circle passes.
  const named = [
    { x: 0.1, y: 0.02, says: words.centre },
    { x: 0.1, y: handsAt / 2, says: metres(arm) },
    { x: 0.66, y: 0.2, says: words.handsPath },
    { x: 0.1, y: handsAt - 0.12, says: words.hands },
    { x: 0.1, y: handsAt - club / 2, says: metres(club) },
    { x: 0.74, y: -1.55, says: words.headPath },
    { x: 0.1, y: headAt - 0.12, says: words.head },
  ];
  const path = { kind: "line", dashed: true, width: 1.4 } as const;
  const layers: Layer[] = [
    { ...path, tone: "control", ...arc([0, 0], arm, [-180, 180]) },
    { ...path, tone: "lead", ...arc([0, handsAt], club, [-65, 65]) },
    { kind: "line", tone: "control", x: [0, 0], y: [0, handsAt], width: 3 },
    { kind: "line", tone: "lead", x: [0, 0], y: [handsAt, headAt], width: 3 },
    { kind: "dots", tone: "ink", x: [0, 0], y: [0, handsAt], radius: 4 },
    { kind: "dots", tone: "lead", x: [0], y: [headAt], radius: 7 },
    {
      kind: "labels",
      x: named.map(({ x }) => x),
      y: named.map(({ y }) => y),
      says: named.map(({ says }) => says),
    },
  ];
  const x = { title: "", low: -1.2, high: 1.6 };
  const y = { title: "", low: -1.95, high: 0.75 };
  return { height: 400, panels: [{ title: words.title, x, y, sketch: true, layers }] };
}

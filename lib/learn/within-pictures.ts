import { itemAt, present } from "../entry.js";
import type { Layer, Panel } from "../show/picture.js";
import { axisHolding, short, studies } from "./model.js";
import type { WithinWords } from "./words/model-words.js";

/** The visits of one study. */
export interface Visits {
  /** Name of the golfer of each visit. */
  readonly subject: string[];
  /** Grip at each visit, kgf. */
  readonly grip: number[];
  /** Speed at each visit, mph. */
  readonly speed: number[];
  /** Means by golfer. */
  readonly means: { readonly grip: number[]; readonly speed: number[] };
}

/** The line of one golfer. */
export interface PersonLine {
  /** Name of the golfer. */
  readonly subject: string;
  /** Slope, mph per kgf. */
  readonly slope: number;
  /** Speed at a grip of 0, mph. */
  readonly intercept: number;
}

interface Reach {
  readonly line: PersonLine;
  readonly low: number;
  readonly high: number;
}

/** Each golfer's line with the least and the greatest grip of the golfer's visits. */
function reachesOf({ subject, grip }: Visits, people: readonly PersonLine[]): Reach[] {
  return people.map((line) => {
    const own = grip.filter((_, i) => subject[i] === line.subject);
    return { line, low: Math.min(...own), high: Math.max(...own) };
  });
}

function heightOf(line: PersonLine, grip: number): number {
  return short(line.intercept + line.slope * grip);
}

function linesLayer(reaches: readonly Reach[], tone: "lead" | "trail", width: number): Layer {
  return {
    kind: "strokes",
    tone,
    x: reaches.map(({ low }) => short(low)),
    y: reaches.map(({ line, low }) => heightOf(line, low)),
    toX: reaches.map(({ high }) => short(high)),
    toY: reaches.map(({ line, high }) => heightOf(line, high)),
    width,
  };
}

/** A thin stroke from each visit to the line of its golfer: it shows whose visit it is. */
function visitsLayer({ subject, grip, speed }: Visits, people: readonly PersonLine[]): Layer {
  const lines = new Map(people.map((line) => [line.subject, line]));
  return {
    kind: "strokes",
    tone: "control",
    x: grip.map(short),
    y: speed.map(short),
    toX: grip.map(short),
    toY: grip.map((one, i) => heightOf(present(lines.get(itemAt(subject, i))), one)),
    width: 1,
    faint: true,
  };
}

/** One study: visits joined to the line of their golfer, and the line between golfers. */
export function golfersPanel(
  first: Visits,
  people: readonly PersonLine[],
  between: PersonLine,
  { titles, axes }: WithinWords,
): Panel {
  const { subject } = first;
  const of = (column: readonly number[], isFirst: boolean) =>
    column.filter((_, i) => (subject[i] === subject[0]) === isFirst).map(short);
  const reaches = reachesOf(first, people);
  const isOwn = ({ line }: Reach) => line.subject === subject[0];
  const from = Math.min(...first.means.grip);
  const to = Math.max(...first.means.grip);
  return {
    title: titles.golfers,
    x: { title: axes.grip, ...axisHolding(first.grip, [25, 60], 5) },
    y: { title: axes.speed, ...axisHolding(first.speed, [75, 110], 5) },
    layers: [
      visitsLayer(first, people),
      {
        kind: "dots",
        tone: "ink",
        x: of(first.grip, false),
        y: of(first.speed, false),
        radius: 2.2,
      },
      linesLayer(
        reaches.filter((one) => !isOwn(one)),
        "lead",
        2,
      ),
      {
        kind: "dots",
        tone: "trail",
        x: of(first.grip, true),
        y: of(first.speed, true),
        radius: 4.5,
      },
      linesLayer(reaches.filter(isOwn), "trail", 2.6),
      {
        kind: "line",
        tone: "ink",
        x: [short(from), short(to)],
        y: [heightOf(between, from), heightOf(between, to)],
        dashed: true,
        width: 2.4,
      },
    ],
  };
}

/** All studies by their two slopes; the first is ringed. */
export function slopesPanel(
  own: readonly number[],
  between: readonly number[],
  { titles, axes }: WithinWords,
): Panel {
  const both = axisHolding(
    [...own, ...between, -Math.min(...own), -Math.min(...between)],
    [-1.5, 1.5],
    0.5,
  );
  const odd = (i: number) => itemAt(own, i) * itemAt(between, i) < 0;
  const pick = (column: readonly number[], kept: (i: number) => boolean) =>
    column.filter((_, i) => kept(i)).map(short);
  const dots = (kept: (i: number) => boolean, hollow: boolean): Layer => ({
    kind: "dots",
    tone: "ink",
    x: pick(own, kept),
    y: pick(between, kept),
    radius: 2.2,
    hollow,
  });
  return {
    title: titles.slopes(studies),
    x: { title: axes.within, ...both },
    y: { title: axes.between, ...both },
    layers: [
      { kind: "rule", axis: "x", tone: "ink", value: 0, says: "" },
      { kind: "rule", axis: "y", tone: "ink", value: 0, says: "" },
      dots((i) => !odd(i), true),
      dots(odd, false),
      {
        kind: "dots",
        tone: "trail",
        x: [short(itemAt(own, 0))],
        y: [short(itemAt(between, 0))],
        radius: 5,
        hollow: true,
      },
    ],
  };
}

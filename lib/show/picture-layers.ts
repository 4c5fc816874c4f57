import { itemAt } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { colours, markPath, px } from "./look.js";
import type {
  BandLayer,
  DotsLayer,
  LabelsLayer,
  Layer,
  LineLayer,
  RuleLayer,
  StrokesLayer,
  Tone,
} from "./picture.js";

/** Where a panel's plot is in the drawing, and the places of its values in it. */
export interface Frame {
  /** Left edge, px. */
  readonly left: number;
  /** Upper edge, px. */
  readonly top: number;
  /** Width, px. */
  readonly width: number;
  /** Height, px. */
  readonly height: number;
  /** Place of a value from the left edge, px. */
  readonly x: (value: number) => number;
  /** Place of a value from the upper edge, px. */
  readonly y: (value: number) => number;
}

/** Colour of lines and letters. */
export const ink = `var(--ink,${colours.ink})`;
const paper = `var(--paper,${colours.paper})`;

/** The colour of a tone; a record from a file may hold any text, which never becomes a style. */
function paint(tone: Tone): string {
  return Object.hasOwn(colours, tone) ? `var(--${tone},${colours[tone]})` : ink;
}

/** Words at a place. */
export function label(x: number, y: number, words: string, more: Markup = nothing): Markup {
  return markup`<text x="${px(x)}" y="${px(y)}"${more}>${words}</text>`;
}

function dots({ tone, x, y, radius = 3.4, hollow, handles = [] }: DotsLayer, frame: Frame): Markup {
  const paths = x.map((value, i) => markPath(tone, frame.x(value), frame.y(itemAt(y, i)), radius));
  const fill = hollow ? paper : paint(tone);
  const letters = handles.flatMap(({ mark }, i): Letter[] => {
    if (mark === undefined) return [];
    const [left, height] = [frame.x(itemAt(x, i)) + radius + 4, frame.y(itemAt(y, i)) + 4];
    return [{ mark, left, height }];
  });
  const marks = spreadOut(letters).map(({ mark, left, height }) => label(left, height, mark));
  return markup`<path d="${paths}" style="fill:${fill};stroke:${paint(tone)};stroke-width:1.2"/>${marks}`;
}

/** A letter beside a dot, and where it begins. */
interface Letter {
  readonly mark: string;
  readonly left: number;
  readonly height: number;
}

/** Letters nearer than this overprint, px. */
const letterSize = 13;

/** Letters from above to below, each moved down where it would overprint one above it. */
function spreadOut(letters: readonly Letter[]): Letter[] {
  const spread: Letter[] = [];
  for (const letter of letters.toSorted((a, b) => a.height - b.height)) {
    const near = spread.filter(({ left }) => Math.abs(left - letter.left) < letterSize);
    const lowest = near.reduce(
      (low, { height }) => Math.max(low, height),
      Number.NEGATIVE_INFINITY,
    );
    spread.push({ ...letter, height: Math.max(letter.height, lowest + letterSize) });
  }
  return spread;
}

function strokes(layer: StrokesLayer, frame: Frame): Markup {
  const { tone, x, y, toX, toY, width = 1.2, faint } = layer;
  const paths = x.map(
    (value, i) =>
      `M${px(frame.x(value))} ${px(frame.y(itemAt(y, i)))}L${px(frame.x(itemAt(toX, i)))} ${px(frame.y(itemAt(toY, i)))}`,
  );
  const opacity = faint ? markup`;stroke-opacity:.45` : "";
  return markup`<path d="${paths}" style="fill:none;stroke:${paint(tone)};stroke-width:${px(width)}${opacity}"/>`;
}

function points(x: readonly number[], y: readonly number[], frame: Frame): string {
  return x.map((value, i) => `${px(frame.x(value))} ${px(frame.y(itemAt(y, i)))}`).join("L");
}

function line({ tone, x, y, width = 2, dashed }: LineLayer, frame: Frame): Markup {
  const dash = dashed ? markup`;stroke-dasharray:6 4` : "";
  return markup`<path d="M${points(x, y, frame)}" style="fill:none;stroke:${paint(tone)};stroke-width:${px(width)}${dash}"/>`;
}

function band({ tone, x, low, high }: BandLayer, frame: Frame): Markup {
  const back = points([...x].reverse(), [...low].reverse(), frame);
  return markup`<path d="M${points(x, high, frame)}L${back}Z" style="fill:${paint(tone)};fill-opacity:.14"/>`;
}

function rule({ tone, axis, value, dashed }: RuleLayer, frame: Frame): Markup {
  const path =
    axis === "x"
      ? `M${px(frame.x(value))} 0V${px(frame.height)}`
      : `M0 ${px(frame.y(value))}H${px(frame.width)}`;
  const dash = dashed ? markup`;stroke-dasharray:5 4` : "";
  return markup`<path d="${path}" style="fill:none;stroke:${paint(tone)};stroke-width:1.4${dash}"/>`;
}

function labels({ x, y, says }: LabelsLayer, frame: Frame): Markup {
  const words = says.map((one, i) => label(frame.x(itemAt(x, i)), frame.y(itemAt(y, i)) + 4, one));
  return markup`${words}`;
}

/** One layer of a panel. */
export function layerSvg(layer: Layer, frame: Frame): Markup {
  if (layer.kind === "dots") return dots(layer, frame);
  if (layer.kind === "strokes") return strokes(layer, frame);
  if (layer.kind === "line") return line(layer, frame);
  if (layer.kind === "labels") return labels(layer, frame);
  return layer.kind === "band" ? band(layer, frame) : rule(layer, frame);
}

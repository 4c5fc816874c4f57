import { itemAt, present } from "../entry.js";
import { type Markup, markup } from "../markup.js";
import { colours, figureFont, px } from "./look.js";
import type { Layer, Panel, Picture, PictureAxis, RuleLayer } from "./picture.js";
import { type Frame, ink, label, layerSvg } from "./picture-layers.js";
import { fixedText } from "./wording.js";

/** Below this width of the drawing, panels stand one below another. */
export const narrow = 560;
const gap = 18;
const margin = { left: 62, right: 14, bottom: 50 };
const letter = 6.7;
/** Width of a letter of a title, which is bold, px. */
const titleLetter = 7.4;
const rowHeight = 15;

const soft = `var(--soft,${colours.soft})`;

/** Steps of 1, 2 or 5 times a power of ten, about `wanted` of them over the axis. */
function axisTicks({ low, high }: PictureAxis, wanted: number): number[] {
  const raw = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = present([1, 2, 5, 10].map((n) => n * power).find((size) => size >= raw * 0.999));
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
}

function tickText(ticks: readonly number[]): (value: number) => string {
  const step = ticks.length > 1 ? itemAt(ticks, 1) - itemAt(ticks, 0) : 1;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return (value) => fixedText(value, decimals);
}

/** Words in as many lines as a width needs, with letters of a width. */
function textLines(words: string, width: number, letterWidth: number): string[] {
  const most = Math.max(12, Math.floor(width / letterWidth));
  const lines: string[] = [];
  for (const word of words.split(" ")) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most) {
      lines[lines.length - 1] = `${last} ${word}`;
    } else lines.push(word);
  }
  return lines;
}

function xAxis({ x: axis }: Panel, frame: Frame): Markup {
  const base = frame.top + frame.height;
  const middle = frame.left + frame.width / 2;
  const ticks = axis.numbered === false ? [] : axisTicks(axis, Math.max(3, frame.width / 70));
  const write = tickText(ticks);
  const marks = ticks.map((at) => {
    const x = frame.left + frame.x(at);
    return markup`<path d="M${px(x)} ${px(base)}v5" style="stroke:${ink}"/>${label(x, base + 19, write(at), markup` text-anchor="middle"`)}`;
  });
  return markup`${marks}${label(middle, base + 39, axis.title, markup` text-anchor="middle"`)}`;
}

function yAxis({ y: axis }: Panel, frame: Frame): Markup {
  const middle = frame.top + frame.height / 2;
  const ticks = axis.numbered === false ? [] : axisTicks(axis, Math.max(3, frame.height / 50));
  const write = tickText(ticks);
  const marks = ticks.map((at) => {
    const y = frame.top + frame.y(at);
    return markup`<path d="M${px(frame.left)} ${px(y)}h-5" style="stroke:${ink}"/>${label(frame.left - 9, y + 4, write(at), markup` text-anchor="end"`)}`;
  });
  const lines = textLines(axis.title, frame.height + 40, letter).slice(0, 2);
  const names = lines.map((line, i) => {
    const x = frame.left - (lines.length > 1 ? 52 - 14 * i : 46);
    const turned = markup` text-anchor="middle" transform="rotate(-90 ${px(x)} ${px(middle)})"`;
    return label(x, middle, line, turned);
  });
  return markup`${marks}${names}`;
}

interface PlacedName {
  readonly x: number;
  readonly row: number;
  readonly words: string;
}

function isNamed(layer: Layer, axis: "x" | "y"): layer is RuleLayer {
  return layer.kind === "rule" && layer.axis === axis && layer.says !== "";
}

/** Names of upright rules over the panel, each in the lowest row where it touches no other. */
function placedNames(panel: Panel, left: number, width: number): PlacedName[] {
  const { low, high } = panel.x;
  const ends: number[] = [];
  const named = panel.layers.filter((layer) => isNamed(layer, "x")) as RuleLayer[];
  return [...named]
    .filter(({ value }) => value >= low && value <= high)
    .sort((a, b) => a.value - b.value)
    .map(({ value, says }) => {
      const half = (says.length * letter) / 2;
      const at = left + ((value - low) / (high - low)) * width;
      const x = Math.min(Math.max(at, left - 40 + half), left + width + margin.right - half);
      let row = ends.findIndex((end) => end + 8 <= x - half);
      if (row < 0) row = ends.length;
      ends[row] = x + half;
      return { x, row, words: says };
    });
}

function levelNames(panel: Panel, frame: Frame): Markup[] {
  const named = panel.layers.filter((layer) => isNamed(layer, "y")) as RuleLayer[];
  return named.map(({ value, says }) =>
    label(
      frame.width - 4,
      frame.y(value) - 5,
      says,
      markup` text-anchor="end" style="fill:${soft}"`,
    ),
  );
}

/** A sketch without axes: one scale for both directions, centred in its place. */
function sketchSvg(panel: Panel, left: number, top: number, width: number, height: number): Markup {
  const lines = textLines(panel.title, width, titleLetter);
  const head = 9 + lines.length * rowHeight;
  const [across, up] = [panel.x.high - panel.x.low, panel.y.high - panel.y.low];
  const scale = Math.min(width / across, (height - head - 8) / up);
  const frame: Frame = {
    left: left + (width - scale * across) / 2,
    top: top + head,
    width: scale * across,
    height: scale * up,
    x: (value) => (value - panel.x.low) * scale,
    y: (value) => (panel.y.high - value) * scale,
  };
  const title = lines.map((line, i) =>
    label(left + 4, top + 15 + i * rowHeight, line, markup` font-weight="600"`),
  );
  return markup`${title}<svg x="${px(frame.left)}" y="${px(frame.top)}" width="${px(frame.width)}" height="${px(frame.height)}">${panel.layers.map((layer) => layerSvg(layer, frame))}</svg>`;
}

function panelSvg(panel: Panel, left: number, top: number, width: number, height: number): Markup {
  if (panel.sketch) return sketchSvg(panel, left, top, width, height);
  const inner = width - margin.left - margin.right;
  const names = placedNames(panel, left + margin.left, inner);
  const rows = Math.max(0, ...names.map(({ row }) => row + 1));
  const lines = textLines(panel.title, width, titleLetter);
  const head = 9 + (lines.length + rows) * rowHeight;
  const frame: Frame = {
    left: left + margin.left,
    top: top + head,
    width: inner,
    height: height - head - margin.bottom,
    x: (value) => ((value - panel.x.low) / (panel.x.high - panel.x.low)) * inner,
    y: (value) =>
      (1 - (value - panel.y.low) / (panel.y.high - panel.y.low)) * (height - head - margin.bottom),
  };
  const over = names.map(({ x, row, words }) =>
    label(
      x,
      frame.top - 6 - row * rowHeight,
      words,
      markup` text-anchor="middle" style="fill:${soft}"`,
    ),
  );
  const inside = panel.layers.map((layer) => layerSvg(layer, frame));
  const plot = markup`<svg x="${px(frame.left)}" y="${px(frame.top)}" width="${px(inner)}" height="${px(frame.height)}">${inside}${levelNames(panel, frame)}</svg>`;
  const edge = markup`<path d="M${px(frame.left)} ${px(frame.top)}v${px(frame.height)}h${px(inner)}" style="fill:none;stroke:${ink}"/>`;
  const title = lines.map((line, i) =>
    label(left + 4, top + 15 + i * rowHeight, line, markup` font-weight="600"`),
  );
  return markup`${title}${over}${plot}${edge}${xAxis(panel, frame)}${yAxis(panel, frame)}`;
}

/** Whether a reader may move dots of the picture. */
export function isMovable({ panels }: Picture): boolean {
  return panels.some(({ layers }) => layers.some((one) => one.kind === "dots" && one.handles));
}

/**
 * A picture as SVG text of a given width: the same painter for a notebook's output and for a page
 * that draws again at every touch. Colours follow the page's theme and fall back to the palette.
 * @param alt what is seen, for readers who cannot see it
 * @param width of the drawing, px
 * @example pictureSvg({ height: 200, panels: [] }, "Nothing.").slice(0, 4) // "<svg"
 */
export function pictureSvg({ panels, height }: Picture, alt: string, width = 720): string {
  const columns = width < narrow ? 1 : Math.max(1, panels.length);
  const panelWidth = (width - gap * (columns - 1)) / columns;
  const rows = Math.ceil(panels.length / columns);
  const drawn = panels.map((panel, i) =>
    panelSvg(
      panel,
      (i % columns) * (panelWidth + gap),
      Math.floor(i / columns) * height,
      panelWidth,
      height,
    ),
  );
  return String(
    markup`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${alt}" viewBox="0 0 ${px(width)} ${px(rows * height)}" width="${px(width)}" height="${px(rows * height)}" style="font-family:${figureFont};font-size:12px"><g style="fill:${ink}">${drawn}</g></svg>`,
  );
}

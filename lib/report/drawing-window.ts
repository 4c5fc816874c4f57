import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Script } from "node:vm";
import { type DOMWindow, JSDOM, VirtualConsole } from "jsdom";
import { itemAt } from "../entry.js";
import { markup, trustedMarkup } from "../markup.js";
import { type Box, elementBox, lineWidth, pageBox, tracePoints } from "./drawn-extent.js";
import { Raster } from "./raster.js";

/** A figure as plotly takes it. */
export interface DrawableFigure {
  /** Name under which the drawing is returned. */
  readonly id: string;
  /** Plotly's traces: the points, lines and bars of the figure. */
  readonly data: readonly object[];
  /** Plotly's layout: axes, titles, legend and annotations. */
  readonly layout: object;
}

interface PlotlyLibrary {
  newPlot(div: Element, data: unknown, layout: unknown, config: unknown): Promise<unknown>;
  purge(div: Element): void;
  Snapshot: { toSVG(div: Element, format: string): string };
}

/** A part of the window to which plotly's needs are added. */
type Stubbed = Record<string, unknown>;

/**
 * jsdom declares its window as a browser's, so that what it leaves out, and plotly needs, can be
 * added only past its types.
 */
const stubbed = (part: object) => part as Stubbed;

const require = createRequire(import.meta.url);

/** A rectangle as the DOM hands it out. */
function domRect(box: Box | undefined) {
  const { left, top, right, bottom } = box ?? { left: 0, top: 0, right: 0, bottom: 0 };
  return { x: left, y: top, left, top, right, bottom, width: right - left, height: bottom - top };
}

function pathLength(d: string): number {
  const points = tracePoints(d);
  let total = 0;
  for (let i = 1; i < points.length; i++) {
    total += Math.hypot(
      itemAt(points, i)[0] - itemAt(points, i - 1)[0],
      itemAt(points, i)[1] - itemAt(points, i - 1)[1],
    );
  }
  return total;
}

function pointAt(d: string, distance: number) {
  const points = tracePoints(d);
  let left = distance;
  for (let i = 1; i < points.length; i++) {
    const [from, to] = [itemAt(points, i - 1), itemAt(points, i)];
    const size = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (left <= size && size > 0) {
      const part = Math.max(0, left) / size;
      return { x: from[0] + (to[0] - from[0]) * part, y: from[1] + (to[1] - from[1]) * part };
    }
    left -= size;
  }
  const [x, y] = points.at(-1) ?? [0, 0];
  return { x, y };
}

/** Geometry that jsdom leaves out, from the font's own measures and the written coordinates. */
function giveGeometry(window: DOMWindow): void {
  const shape = stubbed(window.SVGElement.prototype);
  shape.getBBox = function (this: Element) {
    return domRect(elementBox(this));
  };
  shape.getBoundingClientRect = function (this: Element) {
    return domRect(pageBox(this));
  };
  shape.getComputedTextLength = function (this: Element) {
    return lineWidth(this);
  };
  shape.getTotalLength = function (this: Element) {
    return pathLength(this.getAttribute("d") ?? "");
  };
  shape.getPointAtLength = function (this: Element, distance: number) {
    return pointAt(this.getAttribute("d") ?? "", distance);
  };
}

function giveCanvas(window: DOMWindow): void {
  const rasters = new WeakMap<object, Raster>();
  const canvas = stubbed(window.HTMLCanvasElement.prototype);
  const rasterOf = (element: { width: number; height: number }) => {
    const known = rasters.get(element);
    if (known) return known;
    const made = new Raster(element.width, element.height);
    rasters.set(element, made);
    return made;
  };
  canvas.getContext = function (this: { width: number; height: number }, kind: string) {
    return kind === "2d" ? rasterOf(this) : null;
  };
  canvas.toDataURL = function (this: { width: number; height: number }) {
    return rasterOf(this).dataUrl();
  };
}

/** Chance in the window starts at the same place for every figure: the same bytes come out. */
function seeded(window: DOMWindow): void {
  let state = 0x2f6e2b1;
  stubbed(window.Math).random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A window in which plotly draws: no page, no network, no screen. */
export function drawingWindow(): { window: DOMWindow; plotly: PlotlyLibrary } {
  const dom = new JSDOM(String(markup`<!doctype html><html><body></body></html>`), {
    runScripts: "outside-only",
    pretendToBeVisual: false,
    virtualConsole: new VirtualConsole(),
  });
  const { window } = dom;
  const extra = stubbed(window);
  extra.TextDecoder = TextDecoder;
  extra.TextEncoder = TextEncoder;
  stubbed(window.URL).createObjectURL = () => "blob:none";
  extra.matchMedia = () => ({ matches: false, addEventListener() {}, addListener() {} });
  giveGeometry(window);
  giveCanvas(window);
  const file = require.resolve("plotly.js-dist/plotly.js");
  new Script(readFileSync(file, "utf8"), { filename: "plotly.js" }).runInContext(
    dom.getInternalVMContext(),
  );
  return { window, plotly: extra.Plotly as PlotlyLibrary };
}

/** Ids that plotly makes up become ids of the figure: unique in a page, the same in every run. */
function namedAfter(svg: string, uid: string, id: string): string {
  const made = new RegExp(`((?:\\bid="|url\\(#|href="#)[^")]*?)${uid}`, "g");
  return svg.replace(made, `$1-${id}-`);
}

/**
 * What plotly writes, made fit for a page and for print: plain references to its own ids (some
 * painters take a quoted one for nothing), and one wording for unsmoothed pixels.
 */
function tidy(svg: string): string {
  return svg
    .replace(/url\((?:&quot;|')(#[^)'&]*)(?:&quot;|')\)/g, "url($1)")
    .replace(/image-rendering:[^"]*pixelated;?/g, "image-rendering: pixelated;")
    .replace(/ style=""/g, "");
}

/** Two or more points of one look; only opaque ones, which look the same alone and as a group. */
const alikePoints =
  /<path class="point" transform="[^"]*" style="(opacity: 1;[^"]*)" d="[^"]*"\/>(?:<path class="point" transform="[^"]*" style="\1" d="[^"]*"\/>)+/g;

/** Says the look of neighbouring points once, around them: most of a crowded drawing's bytes. */
function withSharedLook(svg: string): string {
  return svg.replace(alikePoints, (run, style: string) => {
    const points = trustedMarkup(run.replaceAll(` style="${style}"`, ""));
    return String(markup`<g style="${trustedMarkup(style)}">${points}</g>`);
  });
}

/** Draws one figure as SVG text; the same figure and size give the same text. */
export async function drawIn(
  { window, plotly }: ReturnType<typeof drawingWindow>,
  figure: DrawableFigure,
  size: { width: number; height: number },
): Promise<string> {
  seeded(window);
  const div = window.document.createElement("div");
  window.document.body.append(div);
  try {
    const layout = { ...figure.layout, ...size, autosize: false };
    await plotly.newPlot(div, figure.data, layout, { staticPlot: true });
    const { _uid } = stubbed(stubbed(div)._fullLayout as object);
    return withSharedLook(
      tidy(namedAfter(plotly.Snapshot.toSVG(div, "svg"), String(_uid), figure.id)),
    );
  } finally {
    plotly.purge(div);
    div.remove();
  }
}

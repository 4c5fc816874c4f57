import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Script } from "node:vm";
import { type DOMWindow, JSDOM, VirtualConsole } from "jsdom";
import { markup } from "../markup.js";
import { giveGeometry } from "./drawing-geometry.js";
import { asDrawing } from "./drawing-markup.js";
import { searchByWalking } from "./element-search.js";
import { fontLetters } from "./font-metrics.js";
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
  giveGeometry(window, fontLetters);
  giveCanvas(window);
  searchByWalking(window);
  const file = require.resolve("plotly.js-dist/plotly.js");
  new Script(readFileSync(file, "utf8"), { filename: "plotly.js" }).runInContext(
    dom.getInternalVMContext(),
  );
  return { window, plotly: extra.Plotly as PlotlyLibrary };
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
    return asDrawing(plotly.Snapshot.toSVG(div, "svg"), String(_uid), figure.id);
  } finally {
    plotly.purge(div);
    div.remove();
  }
}

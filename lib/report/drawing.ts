import { existsSync } from "node:fs";
import { Worker } from "node:worker_threads";
import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { markup, trustedMarkup } from "../markup.js";
import { traceTypes } from "../show/axes.js";
import type { DrawableFigure } from "./drawing-window.js";
import type { DrawingAnswer, DrawingOrder } from "./drawing-worker.js";
import { drawnHtml } from "./drawn-figure.js";
import { drawnSize } from "./drawn-size.js";

export type { DrawableFigure } from "./drawing-window.js";

/** Size of a drawing, and the time allowed for it. */
export interface DrawingSize {
  /** Width in px; a figure's own layout.width comes first. */
  readonly width?: number | undefined;
  /** Height in px; a figure's own layout.height comes first. */
  readonly height?: number | undefined;
  /** How long one figure may take, in ms, before its worker is ended. */
  readonly limit?: number | undefined;
}

// The first figure also waits for plotly to load, which takes a minute on a machine at full load.
const usualLimit = 120_000;

/** The compiled worker, also when this file is read as TypeScript by a test runner. */
function workerFile(): URL {
  const beside = new URL("./drawing-worker.js", import.meta.url);
  return existsSync(beside) ? beside : new URL("../dist/report/drawing-worker.js", import.meta.url);
}

function checkTypes(figure: DrawableFigure): void {
  for (const trace of figure.data as { type?: string }[]) {
    const type = trace.type ?? "scatter";
    if (!(traceTypes as readonly string[]).includes(type)) {
      const expected = `a trace type of ${traceTypes.join(", ")}`;
      throw new InputError({ expected, got: type, where: `figure ${figure.id}` });
    }
  }
}

let kept: Worker | undefined;

/** One worker serves the whole process, because loading plotly takes longer than a figure. */
function drawingWorker(): Worker {
  if (kept) return kept;
  const worker = new Worker(workerFile(), {
    execArgv: [],
    resourceLimits: { maxOldGenerationSizeMb: 1024 },
  });
  worker.once("exit", () => {
    if (kept === worker) kept = undefined;
  });
  worker.unref(); // an idle worker does not hold up the end of the program
  kept = worker;
  return worker;
}

/** Sends one order and waits for its answer; a worker that stays silent is ended. */
function answered(worker: Worker, order: DrawingOrder, limit: number): Promise<DrawingAnswer> {
  return new Promise((resolve, reject) => {
    const { id } = order.figure;
    const timer = setTimeout(() => fail(new Error(`not drawn within ${limit} ms`)), limit);
    const done = () => {
      clearTimeout(timer);
      worker.off("message", take).off("error", fail).off("exit", left);
      worker.unref();
    };
    const take = (answer: DrawingAnswer) => {
      done();
      resolve(answer);
    };
    const fail = (error: Error) => {
      done();
      if (kept === worker) kept = undefined;
      void worker.terminate();
      reject(new Error(`figure ${id}: ${error.message}`));
    };
    const left = (code: number) => fail(new Error(`the drawing worker ended with code ${code}`));
    worker.ref();
    worker.on("message", take).on("error", fail).on("exit", left);
    worker.postMessage(order);
  });
}

let turn: Promise<unknown> = Promise.resolve();

/** Callers wait for one another: the worker draws one figure at a time. */
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const result = turn.then(work);
  turn = result.catch(() => undefined);
  return result;
}

/**
 * Draws plotly figures as SVG text without a browser, one after another in a worker thread of their
 * own. The same figures and size give the same bytes; ids inside the drawings begin with the
 * figure's id, so that several stand in one page.
 * @throws InputError when a figure holds a trace type that cannot be drawn
 * @throws Error when a figure takes longer than the limit, or plotly refuses it
 */
export async function drawFigures(
  figures: readonly (DrawableFigure & { caption?: string; alt?: string })[],
  size: DrawingSize = {},
): Promise<Map<string, string>> {
  figures.forEach(checkTypes);
  return inTurn(async () => {
    const drawn = new Map<string, string>();
    for (const { id, data, layout, caption, alt } of figures) {
      const order = { figure: { id, data, layout }, size: drawnSize(layout, size) };
      const answer = await answered(drawingWorker(), order, size.limit ?? usualLimit);
      if ("problem" in answer) throw new Error(`figure ${id}: ${answer.problem}`);
      drawn.set(id, described(answer.svg, id, caption, alt));
    }
    return drawn;
  });
}

/** Puts the caption and the alternative text inside the drawing as its title and description. */
function described(svg: string, id: string, caption?: string, alt?: string): string {
  if (!caption && !alt) return svg;
  const title = caption ? markup`<title id="${id}-title">${caption}</title>` : "";
  const description = alt ? markup`<desc id="${id}-desc">${alt}</desc>` : "";
  const names = [caption && `${id}-title`, alt && `${id}-desc`].filter(Boolean).join(" ");
  const [start, attributes = ""] = /^<svg ([^>]*)>/.exec(svg) ?? [];
  if (start === undefined) return svg;
  const drawn = {
    attributes: trustedMarkup(attributes),
    rest: trustedMarkup(svg.slice(start.length)),
  };
  return String(
    markup`<svg role="img" aria-labelledby="${names}" ${drawn.attributes}>${title}${description}${drawn.rest}`,
  );
}

interface Output {
  output_type: string;
  data?: Record<string, unknown>;
}

interface NotebookLike {
  cells: { cell_type: string; outputs?: Output[] }[];
}

const figureType = "application/vnd.tautline.figure+json";

type RecordedFigure = DrawableFigure & { caption: string; alt: string };

/**
 * The notebook with a drawing in every figure output: as SVG, and as an image in its HTML form, so
 * that any notebook viewer shows the figure without running anything.
 */
export async function addDrawings<N extends NotebookLike>(
  notebook: N,
  size: DrawingSize = {},
): Promise<N> {
  const copy = structuredClone(notebook);
  const outputs = copy.cells
    .flatMap((cell) => cell.outputs ?? [])
    .filter((o) => o.data?.[figureType]);
  const figures = outputs.map((output) => present(output.data)[figureType] as RecordedFigure);
  const drawings = await drawFigures(figures, size);
  for (const output of outputs) {
    const figure = present(output.data)[figureType] as RecordedFigure;
    const svg = present(drawings.get(figure.id));
    present(output.data)["image/svg+xml"] = svg;
    present(output.data)["text/html"] = String(drawnHtml(figure, svg));
  }
  return copy;
}

import { type Markup, markup, proseHtml, trustedMarkup } from "../markup.js";
import type { Figure } from "../show/figure-record.js";
import { anchorOf, figureDataPath, type SiteContext } from "./context.js";
import { isPlainDrawing } from "./drawing-check.js";
import { inPage } from "./drawing-markup.js";
import { figureData, figureTable } from "./figure-data.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** JSON inside a script element: no tag can begin in it. */
export function scriptJson(value: unknown): Markup {
  const json = JSON.stringify(value)
    .replace(/</g, "\\u003c")
    .replace(/\u2028/g, "\\u2028")
    .replace(/\u2029/g, "\\u2029");
  return trustedMarkup(json);
}

function picture(svg: string, alt: string, prefix: string): Markup {
  if (isPlainDrawing(svg)) {
    return inPage(svg, prefix);
  }
  const bytes = Buffer.from(svg, "utf8").toString("base64");
  return markup`<img src="data:image/svg+xml;base64,${bytes}" alt="${alt}">`;
}

/** A figure with the drawing that its notebook holds, if it holds one. */
export interface RecordedFigure {
  /** The figure. */
  readonly figure: Figure;
  /** Its recorded drawing. */
  readonly svg?: string | undefined;
}

/** The figure that shows a finding: the first from its cell on, else the notebook's first. */
export function figureBeside(
  notebook: RecordedNotebook,
  cell: number | undefined,
): RecordedFigure | undefined {
  const all = shownOf(notebook, "figure");
  const after = all.find((one) => cell !== undefined && one.cell.number >= cell);
  return (after ?? all[0])?.shown;
}

/** The wide and the narrow drawing of a figure; the page shows the one that fits its width. */
function drawings(
  context: Pick<SiteContext, "drawings">,
  notebook: Pick<RecordedNotebook, "slug">,
  { figure, svg }: RecordedFigure,
  prefix: string,
): Markup {
  const key = drawingKey(notebook, figure.id);
  const wide = picture(svg ?? context.drawings.get(key) ?? "", figure.alt, prefix);
  const narrow = context.drawings.get(narrowKey(key));
  if (narrow === undefined) return markup`<div class="drawing">${wide}</div>`;
  return markup`<div class="drawing wide-drawing">${wide}</div><div class="drawing narrow-drawing">${picture(narrow, figure.alt, `${prefix}-n`)}</div>`;
}

/** The name under which a figure without a recorded drawing is drawn for the page. */
export function drawingKey(notebook: Pick<RecordedNotebook, "slug">, id: string): string {
  return `${notebook.slug}--${id}`;
}

/** The name of a figure's narrow drawing. */
export function narrowKey(key: string): string {
  return `${key}--narrow`;
}

/** A figure as a picture with its caption, on a page that is not its notebook's. */
export function drawnFigure(
  context: SiteContext,
  notebook: RecordedNotebook,
  shown: RecordedFigure,
  after: Markup,
): Markup {
  const { figure } = shown;
  const drawing = drawings(context, notebook, shown, `key-${notebook.slug}`);
  return markup`<figure class="plot"><div class="canvas" role="img" aria-label="${figure.alt}">${drawing}</div><figcaption>${proseHtml(figure.caption)}${after}</figcaption></figure>`;
}

/** A figure as a picture with its caption, on a page of its own. */
export function plainFigure(
  context: Pick<SiteContext, "drawings">,
  notebook: Pick<RecordedNotebook, "slug">,
  shown: RecordedFigure,
): Markup {
  const { figure } = shown;
  const drawing = drawings(context, notebook, shown, "figure");
  return markup`<figure class="plot"><div class="canvas" role="img" aria-label="${figure.alt}">${drawing}</div><figcaption>${proseHtml(figure.caption)}</figcaption></figure>`;
}

/** A figure: its drawing first, its live form on demand, its caption, and its numbers as a table. */
export function figureSection(
  context: SiteContext,
  notebook: RecordedNotebook,
  shown: RecordedFigure,
): Markup {
  const { figure } = shown;
  const id = anchorOf(notebook, "figure", figure.id);
  const drawing = drawings(context, notebook, shown, notebook.slug);
  const words = markup`role="img" aria-label="${figure.alt}"`;
  const json = markup`<script type="application/json" class="spec">${scriptJson(figure)}</script>`;
  const table = figureTable(figureData(figure), `Numbers behind the figure: ${figure.caption}`);
  const numbers = markup`<details class="numbers"><summary>Numbers behind this figure</summary><div class="wide" role="region" tabindex="0" aria-label="Numbers behind the figure: ${figure.caption}">${table}</div></details>`;
  const file = context.oneFile
    ? ""
    : markup` <a class="download" href="${figureDataPath(notebook, figure.id)}" download>All numbers as CSV</a>`;
  return markup`<figure class="plot" id="${id}"><div class="canvas" ${words}>${drawing}</div>${json}<figcaption>${proseHtml(figure.caption)}${file}</figcaption>${numbers}</figure>`;
}

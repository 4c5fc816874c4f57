import { type Markup, markup, proseHtml, trustedMarkup } from "../markup.js";
import type { Figure } from "../show/figure.js";
import { colours } from "../show/look.js";
import { anchorOf, figureDataPath, type SiteContext } from "./context.js";
import { isPlainDrawing } from "./drawing-check.js";
import { figureData, figureTable } from "./figure-data.js";
import type { RecordedNotebook } from "./recorded.js";

/** JSON inside a script element: no tag can begin in it. */
export function scriptJson(value: unknown): Markup {
  const json = JSON.stringify(value)
    .replace(/</g, "\\u003c")
    .replace(/\u2028/g, "\\u2028")
    .replace(/\u2029/g, "\\u2029");
  return trustedMarkup(json);
}

function channels(hex: string): string {
  return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(", ");
}

const painted = Object.entries(colours).map(([name, hex]) => ({
  name,
  written: [`rgb(${channels(hex)})`, hex],
}));

/** Palette colours become the page's variables, so that a drawing follows the theme. */
function themed(svg: string): string {
  let result = svg;
  for (const { name, written } of painted) {
    for (const colour of written) {
      result = result.replaceAll(`: ${colour};`, `: var(--${name}, ${colour});`);
    }
  }
  return result;
}

/** A drawing that scales with the page: its size becomes a view box. */
function scaling(svg: string): string {
  return svg.replace(
    /^<svg ([^>]*?)width="([\d.]+)" height="([\d.]+)"/,
    (_, before: string, width: string, height: string) => {
      const rest = trustedMarkup(before);
      return String(
        markup`<svg ${rest}viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"`,
      );
    },
  );
}

/** Ids inside a drawing get the page's prefix, so that several notebooks can share one page. */
function prefixed(svg: string, prefix: string): string {
  return svg
    .replace(/(\bid=")/g, `$1${prefix}-`)
    .replace(/url\(#/g, `url(#${prefix}-`)
    .replace(/aria-labelledby="([^"]*)"/g, (_, ids: string) => {
      const named = ids.split(" ").map((id) => `${prefix}-${id}`);
      return String(markup`aria-labelledby="${trustedMarkup(named.join(" "))}"`);
    });
}

function picture(svg: string, figure: Figure, prefix: string): Markup {
  if (isPlainDrawing(svg)) {
    const inside = svg
      .replace(/^(<svg )role="img" aria-labelledby="[^"]*" /, "$1")
      .replace(/<title[^>]*>[^<]*<\/title>|<desc[^>]*>[^<]*<\/desc>/g, "");
    return trustedMarkup(scaling(themed(prefixed(inside, prefix))));
  }
  const bytes = Buffer.from(svg, "utf8").toString("base64");
  return markup`<img src="data:image/svg+xml;base64,${bytes}" alt="${figure.alt}">`;
}

/** A figure: its drawing first, its live form on demand, its caption, and its numbers as a table. */
export function figureSection(
  context: SiteContext,
  notebook: RecordedNotebook,
  figure: Figure,
  svg: string,
): Markup {
  const id = anchorOf(notebook, "figure", figure.id);
  const drawing = picture(svg, figure, notebook.slug);
  const words = markup`role="img" aria-label="${figure.alt}"`;
  const json = markup`<script type="application/json" class="spec">${scriptJson(figure)}</script>`;
  const table = figureTable(figureData(figure), `Numbers behind the figure: ${figure.caption}`);
  const numbers = markup`<details class="numbers"><summary>Numbers behind this figure</summary><div class="wide" role="region" tabindex="0" aria-label="Numbers behind ${figure.id}">${table}</div></details>`;
  const file = context.oneFile
    ? ""
    : markup` <a class="download" href="${figureDataPath(notebook, figure.id)}" download>All numbers as CSV</a>`;
  return markup`<figure class="plot" id="${id}"><div class="canvas" ${words}>${drawing}</div>${json}<figcaption>${proseHtml(figure.caption)}${file}</figcaption>${numbers}</figure>`;
}

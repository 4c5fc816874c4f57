import { type Markup, markup } from "../markup.js";
import { figureHtml } from "../show/figure.js";

/** A figure's markup with its drawing in it, as it is recorded. */
export function drawnHtml(
  figure: { readonly id: string; readonly caption: string; readonly alt: string },
  svg: string,
): Markup {
  const bytes = Buffer.from(svg, "utf8").toString("base64");
  return figureHtml(
    figure,
    markup`<img src="data:image/svg+xml;base64,${bytes}" alt="${figure.alt}" style="max-width:100%">`,
  );
}

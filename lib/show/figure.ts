import type { Answer } from "../analysis/study-answer.js";
import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import { answerFigure } from "./answer-figure.js";
import { axesOf, checkAxes, checkTraces } from "./axes.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import type { Figure, FigureInput } from "./figure-record.js";
import { type Plain, withLook } from "./look.js";
import { figureSchema } from "./output-schemas.js";
import { identifier, plainJson, refuse, sentence } from "./record.js";
import { outputRecord } from "./schema.js";

/** The caption and description as markup; an image of the figure goes before the caption. */
export function figureHtml(
  figure: Pick<Figure, "id" | "caption" | "alt">,
  image: Markup = nothing,
): Markup {
  const picture = image === nothing ? markup`<p>${proseHtml(figure.alt)}</p>` : image;
  const caption = markup`<figcaption>${proseHtml(figure.caption)}</figcaption>`;
  return markup`<figure data-figure="${figure.id}">${picture}${caption}</figure>`;
}

/** How a reader meets a figure that is not drawn yet, from the record alone. */
export function figureForms(record: Figure): ReadableForms & { readonly chart: object } {
  const { data, layout, caption, alt } = record;
  return {
    html: String(figureHtml(record)),
    plain: `${caption} ${alt}`,
    chart: { data, layout, config: { responsive: true, displaylogo: false } },
  };
}

/**
 * Shows a figure: plotly traces and layout under the house look, with a caption and a text for
 * readers who cannot see it. Returns the frozen record, plain JSON.
 *
 * Give an id and an answer to draw its numbers, or an id and a drawing such as `everyPerson(change)`.
 * @throws InputError when the caption or the alternative text is missing or no sentence, when a
 *   numeric axis has no title with its unit in brackets, when a trace type cannot be drawn in print,
 *   or when a number is not finite
 * @example figure({ id: "f", data: [{ x: [1, 2], y: [3, 4] }], layout: { xaxis: { title: "Time (week)" }, yaxis: { title: "Grip force (kgf)" } }, caption: "Grip rises.", alt: "A line that rises." }).kind // "figure"
 */
export function figure(input: FigureInput): Figure;
/** A drawing made from an answer or an outcome, under an id. */
export function figure(id: string, content: Answer | Omit<FigureInput, "id">): Figure;
export function figure(
  input: FigureInput | string,
  content?: Answer | Omit<FigureInput, "id">,
): Figure {
  if (typeof input === "string") {
    if (content === undefined)
      return refuse("a figure to show, such as everyPerson(change)", content, "figure");
    const drawing = "parts" in content ? answerFigure(content) : content;
    const { data, layout, caption, alt } = drawing;
    return figure({ id: input, data, layout, caption, alt });
  }
  if (input === null || typeof input !== "object") refuse("a record", input, "figure");
  knownOptions(input, ["id", "data", "layout", "caption", "alt"], "figure");
  const id = identifier(input.id, "figure, id");
  const where = `figure ${id}`;
  checkTraces(input.data, `${where}, data`);
  if (input.layout === null || typeof input.layout !== "object") {
    refuse("a layout record", input.layout, `${where}, layout`);
  }
  const caption = sentence(input.caption, `${where}, caption`);
  const alt = sentence(input.alt, `${where}, alt`);
  const data = plainJson(input.data, `${where}, data`) as Plain[];
  const given = plainJson(input.layout, `${where}, layout`) as Plain;
  checkAxes(data, given, where);
  const layout = withLook(given, axesOf(data));
  const figureRecord = { kind: "figure", id, data, layout, caption, alt };
  const record = outputRecord(figureSchema, figureRecord, where);
  const forms = figureForms(record);
  display({
    [mimeTypes.figure]: record,
    [mimeTypes.plotly]: forms.chart,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}

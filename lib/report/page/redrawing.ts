import type { Figure } from "../../show/figure-record.js";
import { giveGeometry } from "../drawing-geometry.js";
import { asDrawing, inPage } from "../drawing-markup.js";
import { drawnSize } from "../drawn-size.js";
import { type CarriedLetters, lettersFrom } from "../letter-widths.js";
import { type FigureParts, narrowFigure } from "../narrow-figure.js";
import { sentDrawings } from "./live-figures.js";
import { elementFrom, firstApart } from "./page-reading.js";
import { freshPlotly, type Plotly } from "./programs.js";

/** What is wrong with the drawings of one figure, or that they were not compared. */
export interface DrawingVerdict {
  /** Drawings that are as the new run draws them. */
  readonly same: number;
  /** Where a drawing is another, in words. */
  readonly wrong?: string;
  /** Why the drawings were not compared. */
  readonly problem?: string;
}

/** The letter widths that the page was made with. */
function carried(): CarriedLetters | undefined {
  const text = document.querySelector("script.letters")?.textContent;
  return text ? (JSON.parse(text) as CarriedLetters) : undefined;
}

async function drawn(plotly: Plotly, figure: FigureParts): Promise<string> {
  const place = document.createElement("div");
  // out of sight but shown: what is hidden has no texts to write
  place.style.cssText = "position:fixed;left:-4000px;top:0";
  place.setAttribute("aria-hidden", "true");
  document.body.append(place);
  try {
    const layout = { ...figure.layout, ...drawnSize(figure.layout), autosize: false };
    await plotly.newPlot(place, structuredClone(figure.data), structuredClone(layout), {
      staticPlot: true,
    });
    const { _fullLayout } = place as HTMLElement & { _fullLayout?: { _uid?: string } };
    return asDrawing(plotly.Snapshot.toSVG(place, "svg"), String(_fullLayout?._uid), "figure");
  } finally {
    plotly.purge(place);
    place.remove();
  }
}

function compared(shown: Element, svg: string): string | undefined {
  const drawing = shown.querySelector("svg");
  const expected = elementFrom(inPage(svg, "page"));
  if (!drawing || !expected) return "the page holds no drawing that can be read";
  const apart = firstApart(drawing, expected);
  return apart && `the drawing has “${apart[0]}”, the new run draws “${apart[1]}”`;
}

/**
 * Draws figures of a new run again and compares them with the drawings that the page was sent with,
 * mark by mark and text by text.
 */
export async function judgeDrawings(
  figures: readonly { readonly place: Element; readonly figure: Figure }[],
): Promise<DrawingVerdict[]> {
  const letters = carried();
  if (figures.length === 0) return [];
  if (!letters) return figures.map(() => ({ same: 0, problem: "the page holds no letter widths" }));
  const verdicts: DrawingVerdict[] = [];
  const plotly = await freshPlotly();
  const restore = giveGeometry(window, lettersFrom(letters));
  try {
    for (const { place, figure } of figures) verdicts.push(await judged(plotly, place, figure));
  } finally {
    restore();
  }
  return verdicts;
}

async function judged(plotly: Plotly, place: Element, figure: Figure): Promise<DrawingVerdict> {
  const sent = sentDrawings(place);
  if (sent.length === 0) return { same: 0, wrong: "the page holds no drawing" };
  try {
    for (const drawing of sent) {
      const narrow = drawing.matches(".narrow-drawing");
      const svg = await drawn(plotly, narrow ? narrowFigure(figure) : figure);
      if (/<image\b/.test(svg)) return { same: 0, problem: "it is made of pixels" };
      const wrong = compared(drawing, svg);
      if (wrong) return { same: 0, wrong: narrow ? `for a narrow screen: ${wrong}` : wrong };
    }
  } catch (error) {
    return { same: 0, problem: error instanceof Error ? error.message : String(error) };
  }
  return { same: sent.length };
}

/** Which drawings were compared, and which were not and why. */
export function drawingWords(article: ParentNode, verdicts: readonly DrawingVerdict[]): string {
  const same = verdicts.reduce((sum, one) => sum + one.same, 0);
  const drawings = same === 1 ? "drawing was" : "drawings were";
  const drawn = same === 0 ? "" : ` ${same} ${drawings} drawn again and found the same.`;
  const problems = [...new Set(verdicts.flatMap(({ problem }) => problem ?? []))];
  const left = article.querySelectorAll("figure.plot").length - verdicts.length;
  if (left > 0) problems.push("see the page of the notebook");
  const count = left + verdicts.filter(({ problem }) => problem !== undefined).length;
  if (count === 0) return drawn;
  const said =
    count === 1 ? "The drawing of 1 figure was" : `The drawings of ${count} figures were`;
  return `${drawn} ${said} not compared: ${problems.join("; ")}.`;
}

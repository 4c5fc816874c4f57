import { itemAt } from "../entry.js";
import { markup, trustedMarkup } from "../markup.js";
import type { AnalysisDone } from "../show/analysis-done.js";
import type { StudyAccount } from "../study/study-account.js";
import { drawFigures } from "./drawing.js";
import { figureCsv, figureData } from "./figure-data.js";
import { fileNames } from "./file-name.js";
import { flowData, flowDrawing } from "./flow-drawing.js";
import { placeFile } from "./folder.js";
import { fontLetters } from "./font-metrics.js";
import { heightForNames, heightShare, narrowFigure } from "./narrow-figure.js";
import { paintedPng } from "./png.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** How wide a figure is set: as a journal's column, two columns, or in millimetres. */
export interface FigureWidth {
  /** Part of the file name. */
  readonly name: string;
  /** Width in print, mm. */
  readonly mm: number;
}

/** Column widths of printed journals: common practice, about 85 mm and 175 mm; no source. */
export const journalWidths: Readonly<Record<"one" | "two", FigureWidth>> = {
  one: { name: "one-column", mm: 85 },
  two: { name: "two-columns", mm: 175 },
};

/** File formats in which figures are written. */
export type FigureFormat = "svg" | "png" | "csv";

/** Which figures are written, where and how. */
export interface FigureFilesInput {
  /** The recorded notebooks. */
  readonly notebooks: readonly RecordedNotebook[];
  /** Folder that the files go to. */
  readonly out: string;
  /** Width in print. */
  readonly width: FigureWidth;
  /** Resolution of the pictures in dots per inch. */
  readonly dpi: number;
  /** Colour behind the figure, white unless given; "rgba(0,0,0,0)" for none. */
  readonly background?: string;
  /** File formats to make. */
  readonly formats: readonly FigureFormat[];
}

const pxPerMm = 96 / 25.4;
const page = { width: 720, height: 440 };

type Layout = Record<string, unknown> & { font?: object; height?: number; margin?: object };

/**
 * The layout for a width in print: letters of 8.5 points in one column and 9 in two, the height
 * following the width, and rows of a fixed height kept as they are.
 */
function printLayout(layout: Layout, mm: number): Layout {
  const width = Math.round(mm * pxPerMm);
  const narrow = mm < 120;
  const size = (narrow ? 8.5 : 9) * (96 / 72);
  const ratio = Math.min(1, width / page.width);
  const usual = layout.height
    ? Math.round(layout.height * Math.max(ratio, 0.8))
    : Math.round(Math.max(page.height * ratio, width * (narrow ? 0.85 : 0.72)));
  const height = narrow ? Math.max(usual, heightForNames(layout)) : usual;
  const set = narrow
    ? (narrowFigure({ data: [], layout: { ...layout, height: height / heightShare } }, 0)
        .layout as Layout)
    : layout;
  const margin: { readonly b?: number } = set.margin ?? {};
  return {
    ...withLetters(set, size),
    width,
    height,
    margin: { ...margin, l: narrow ? 44 : 56, r: 10, b: narrow ? (margin.b ?? 40) : 48 },
  };
}

/** Every axis title and annotation in the size of print. */
function withLetters(layout: Layout, size: number): Layout {
  const legend = {
    ...(layout.legend as object | undefined),
    tracegroupgap: 0,
    font: { size: Math.max(11, size - 1) },
  };
  const result: Layout = { ...layout, legend, font: { ...(layout.font ?? {}), size } };
  for (const [key, axis] of Object.entries(layout)) {
    if (!/^[xy]axis\d*$/.test(key)) continue;
    const { title } = axis as { title?: object };
    result[key] = { ...(axis as object), title: { ...title, font: { size } } };
  }
  const notes = layout.annotations as { font?: object }[] | undefined;
  if (notes)
    result.annotations = notes.map((note) => ({
      ...note,
      font: { ...note.font, size: Math.max(11, size - 1) },
    }));
  return result;
}

/** Size in millimetres on the outside, the drawing's own units inside. */
function inMillimetres(svg: string, mm: number): string {
  return svg.replace(
    /^<svg ([^>]*?)width="([\d.]+)" height="([\d.]+)"/,
    (_, before: string, width: string, height: string) => {
      const tall = Number(((Number(height) / Number(width)) * mm).toFixed(3));
      const rest = trustedMarkup(before);
      return String(
        markup`<svg ${rest}viewBox="0 0 ${width} ${height}" width="${mm}mm" height="${tall}mm"`,
      );
    },
  );
}

function smaller(trace: Record<string, unknown>, mm: number): Record<string, unknown> {
  const marker = trace.marker as { size?: unknown } | undefined;
  if (mm >= 120 || typeof marker?.size !== "number") return trace;
  return { ...trace, marker: { ...marker, size: marker.size * 0.7 } };
}

/**
 * Writes every figure of the notebooks as files: SVG with its words inside, PNG at a resolution, and
 * its numbers as CSV. The same record gives the same bytes.
 * @returns the paths that were written
 */
export async function writeFigureFiles(input: FigureFilesInput): Promise<string[]> {
  const { notebooks, out, width, dpi, background = "#ffffff", formats } = input;
  const written: string[] = [];
  for (const notebook of notebooks) {
    const figures = shownOf(notebook, "figure").map(({ shown }) => shown.figure);
    const names = fileNames(figures.map(({ id }) => id));
    const sized = figures.map((figure, i) => ({
      ...figure,
      id: itemAt(names, i),
      data: figure.data.map((trace) => smaller(trace, width.mm)),
      layout: {
        ...printLayout(figure.layout, width.mm),
        paper_bgcolor: background,
        plot_bgcolor: background,
      },
    }));
    const drawings = formats.some((format) => format !== "csv")
      ? await drawFigures(sized)
      : new Map();
    for (const [i, figure] of figures.entries()) {
      const figureName = itemAt(names, i);
      const files = filesOf(figure, drawings.get(figureName), width, dpi);
      for (const [format, content] of files.filter(([format]) => formats.includes(format))) {
        const name = format === "csv" ? figureName : `${figureName}-${width.name}`;
        written.push(placeFile(out, `${notebook.slug}/${name}.${format}`, content));
      }
    }
  }
  return written;
}

/** A study whose flow of participants is written. */
export interface StudyFlow {
  /** The study. */
  readonly study: StudyAccount;
  /** What was done, by the findings of its notebooks. */
  readonly done: AnalysisDone;
}

/**
 * Writes the flow of participants of each study as files, like its figures.
 * @returns the paths that were written
 */
export function writeFlowFiles(
  flows: readonly StudyFlow[],
  { out, width, dpi, background = "#ffffff", formats }: Omit<FigureFilesInput, "notebooks">,
): string[] {
  const paper = { width: Math.round(width.mm * pxPerMm), background, letters: fontLetters };
  return flows.flatMap(({ study, done }) => {
    const { flow, title, name } = study;
    const svg = flowDrawing({ flow, done, title }, paper);
    return filesFrom(svg, figureCsv(flowData(flow, done)), { width, dpi })
      .filter(([format]) => formats.includes(format))
      .map(([format, content]) => {
        const file = format === "csv" ? "flow" : `flow-${width.name}`;
        return placeFile(out, `${name}/${file}.${format}`, content);
      });
  });
}

function filesOf(
  figure: { data: readonly object[]; layout: object },
  svg: string | undefined,
  width: FigureWidth,
  dpi: number,
): [FigureFormat, string | Uint8Array][] {
  return filesFrom(svg, figureCsv(figureData(figure)), { width, dpi });
}

function filesFrom(
  svg: string | undefined,
  csv: string,
  { width, dpi }: { width: FigureWidth; dpi: number },
): [FigureFormat, string | Uint8Array][] {
  const numbers: [FigureFormat, string] = ["csv", csv];
  if (svg === undefined) return [numbers];
  const pixels = Math.round((width.mm / 25.4) * dpi);
  return [
    numbers,
    ["svg", inMillimetres(svg, width.mm)],
    ["png", paintedPng(svg, { width: pixels, dpi })],
  ];
}

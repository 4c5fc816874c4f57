import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { itemAt } from "../entry.js";
import { buildFolder } from "../notebook/build.js";
import { type Cell, type Notebook, type Output, sorted } from "../notebook/nbformat.js";

/** The recorded output of a figure, in all its forms. */
export type FigureOutput = Extract<Output, { output_type: "display_data" }>;

const figureType = "application/vnd.tautline.figure+json";
const svgType = "image/svg+xml";
const htmlType = "text/html";

/** Whether an output is a figure. */
export function isFigure(output: Output): output is FigureOutput {
  return output.output_type === "display_data" && output.data[figureType] !== undefined;
}

function figuresOf(notebook: Notebook): FigureOutput[] {
  return notebook.cells.flatMap((cell) =>
    cell.cell_type === "code" ? cell.outputs.filter(isFigure) : [],
  );
}

function fingerprint(figure: FigureOutput): string {
  return hashOfJson(sorted(figure.data[figureType]));
}

function drawnForms({ data }: FigureOutput): string {
  return hashOfJson([data[svgType], data[htmlType]]);
}

function hashOfJson(value: unknown): string {
  return createHash("sha256").update(JSON.stringify(value)).digest("hex");
}

/** A figure's output without its drawing and the markup around it. */
export function figureNumbers(figure: FigureOutput): FigureOutput {
  const { [svgType]: _, [htmlType]: __, ...data } = figure.data;
  return { ...figure, data };
}

/** The same notebook with other forms for some of its figures. */
function withFigures(notebook: Notebook, change: (figure: FigureOutput) => FigureOutput): Notebook {
  const cells = notebook.cells.map((cell): Cell => {
    if (cell.cell_type !== "code") return cell;
    const outputs = cell.outputs.map((output) => (isFigure(output) ? change(output) : output));
    return { ...cell, outputs };
  });
  return { ...notebook, cells };
}

/** Hash of each figure's numbers, and of the drawing and markup that stand beside them. */
export function drawingHashes(notebook: Notebook): Record<string, string> {
  const drawn = figuresOf(notebook).filter(({ data }) => data[svgType] !== undefined);
  return Object.fromEntries(drawn.map((figure) => [fingerprint(figure), drawnForms(figure)]));
}

/**
 * Keeps the recorded drawing of every figure whose numbers are all as recorded, if this machine drew
 * it from the same numbers; any other drawing is made again.
 * @param drawnHere what `drawingHashes` gave when this machine recorded the notebook
 */
export function carryDrawings(
  record: Notebook,
  rerun: Notebook,
  drawnHere: Readonly<Record<string, string>>,
): Notebook {
  const drawn = new Map(
    figuresOf(record)
      .filter((figure) => drawnHere[fingerprint(figure)] === drawnForms(figure))
      .map((figure) => [fingerprint(figure), figure]),
  );
  return withFigures(rerun, (figure) => {
    const earlier = drawn.get(fingerprint(figure));
    if (!earlier) return figure;
    const { [svgType]: svg, [htmlType]: html } = earlier.data;
    return { ...figure, data: { ...figure.data, [svgType]: svg, [htmlType]: html } };
  });
}

/** The same notebook without the forms that a drawing gives a figure, so that all are made again. */
export function withoutDrawings(notebook: Notebook): Notebook {
  return withFigures(notebook, (figure) => {
    return figure.data[svgType] === undefined ? figure : figureNumbers(figure);
  });
}

/** Makes the missing drawings; `draw` receives the outputs of one notebook's figures. */
export async function completeDrawings(
  notebook: Notebook,
  draw: (figures: FigureOutput[]) => Promise<FigureOutput[]>,
): Promise<Notebook> {
  const missing = figuresOf(notebook).filter(({ data }) => data[svgType] === undefined);
  if (missing.length === 0) return notebook;
  const drawn = await draw(missing);
  const byFigure = new Map(missing.map((figure, i) => [figure, itemAt(drawn, i)]));
  return withFigures(notebook, (figure) => byFigure.get(figure) ?? figure);
}

/** Hash of the programs that draw figures: a drawing made by other versions is made again. */
export function drawingBuild(): string {
  const folder = join(buildFolder, "report");
  const hash = createHash("sha256");
  const files = existsSync(folder) ? readdirSync(folder) : [];
  for (const name of files
    .filter((name) => /^(?:drawing|painting|font|box).*\.js$/.test(name))
    .sort()) {
    hash.update(name).update(readFileSync(join(folder, name)));
  }
  return hash.digest("hex");
}

import { existsSync } from "node:fs";
import { join, relative } from "node:path";
import { itemAt } from "../entry.js";
import type { FigureOutput } from "../workspace/drawings.js";
import { rememberedReportKey, rememberReportKey, reportKey } from "../workspace/report-key.js";
import type { ProgressLines } from "./progress.js";

/** Where the report goes in a workspace. */
export const reportFolder = "out";

/** Draws the figures of one notebook; the drawing program is loaded when first needed. */
export async function drawFigures(figures: FigureOutput[]): Promise<FigureOutput[]> {
  const { addDrawings } = await import("../report/drawing.js");
  const cell = { cell_type: "code", outputs: structuredClone(figures) };
  const { cells } = await addDrawings({ cells: [cell] });
  return itemAt(cells, 0).outputs;
}

/**
 * Makes the report, unless it exists and was made from the same record by the same programs.
 * @returns the page to open, relative to the root
 */
export async function makeReport(root: string, lines: ProgressLines): Promise<string> {
  const page = join(root, reportFolder, "index.html");
  const key = reportKey(root);
  if (!existsSync(page) || rememberedReportKey(root) !== key) {
    lines.begin("report", "the record changed");
    const start = performance.now();
    const { report } = await import("./report.js");
    await report(root, join(root, reportFolder));
    rememberReportKey(root, key);
    lines.end("report", `made in ${((performance.now() - start) / 1000).toFixed(1)} s`);
  }
  return relative(root, page);
}

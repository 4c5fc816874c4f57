import { existsSync } from "node:fs";
import { join, relative } from "node:path";
import { completeDrawings } from "../notebook/drawings.js";
import type { Notebook } from "../notebook/nbformat.js";
import type { ProgressLines } from "./progress.js";

/** Where the report goes in a study repository. */
export const reportFolder = "out/report";

let drawing: Promise<unknown> = Promise.resolve();

/** Adds a drawing to every figure that has none, one notebook after the other. */
export function addDrawings(notebook: Notebook): Promise<Notebook> {
  const drawn = drawing.then(() =>
    completeDrawings(notebook, async (outputs) => {
      const report = await import("../report/drawing.js");
      const cell = { cell_type: "code", outputs: structuredClone(outputs) as never[] };
      const { cells } = await report.addDrawings({ cells: [cell] });
      return cells[0]!.outputs as typeof outputs;
    }),
  );
  drawing = drawn.catch(() => {});
  return drawn;
}

/**
 * Makes the report, unless nothing ran and it is there.
 * @returns the page to open, relative to the root
 */
export async function makeReport(
  root: string,
  changed: boolean,
  lines: ProgressLines,
): Promise<string> {
  const page = join(root, reportFolder, "index.html");
  if (changed || !existsSync(page)) {
    lines.begin("report", "the record changed");
    const start = performance.now();
    const { writeReport } = await import("../report/site.js");
    await writeReport({ root, out: join(root, reportFolder) });
    lines.end("report", `made in ${((performance.now() - start) / 1000).toFixed(1)} s`);
  }
  return relative(root, page);
}

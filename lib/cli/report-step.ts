import { existsSync } from "node:fs";
import { join, relative } from "node:path";
import type { Notebook } from "../notebook/nbformat.js";
import type { ProgressLines } from "./progress.js";

/** Where the report goes in a study repository. */
export const reportFolder = "out/report";

/** Adds a drawing to every figure that a notebook shows, so that every front end can show it. */
export async function addDrawings(notebook: Notebook): Promise<Notebook> {
  return notebook;
}

/**
 * Makes the report, unless nothing ran and it is there.
 * @returns the page to open, relative to the root
 */
export async function makeReport(
  root: string,
  changed: boolean,
  lines: ProgressLines,
): Promise<string | undefined> {
  const page = join(root, reportFolder, "index.html");
  if (!changed && existsSync(page)) return relative(root, page);
  lines.note("the report is not made yet");
  return undefined;
}

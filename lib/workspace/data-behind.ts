import type { Notebook } from "../notebook/nbformat.js";

/** The folder of the study that a notebook's metadata names. */
export function statedStudy(notebook: Notebook): string[] {
  const { tautline } = notebook.metadata as { tautline?: { study?: unknown } };
  return typeof tautline?.study === "string" ? [`data/${tautline.study}`] : [];
}

/** Folders of data that contain these files, such as data/winter-block. */
export function dataFolders(files: Iterable<string>): string[] {
  return [...files].flatMap((path) => /^data\/[^/]+(?=\/)/.exec(path)?.[0] ?? []);
}

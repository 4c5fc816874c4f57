import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";

/** Paths of the notebooks below the root: those of notebooks/, then those of each study in data/. */
export function notebookPaths(root: string): string[] {
  const inOrder = new Intl.Collator("en", { numeric: true }).compare;
  const own = notebooksUnder(root, "notebooks").sort(inOrder);
  const ofStudies = notebooksUnder(root, "data").filter((path) => path.split("/").length >= 3);
  return [...own, ...ofStudies.sort(inOrder)];
}

function notebooksUnder(root: string, folder: string): string[] {
  if (!existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .map((path) => `${folder}/${path.replaceAll("\\", "/")}`)
    .filter((path) => path.endsWith(".ipynb") && !/(^|\/)\./.test(path));
}

import { existsSync, readdirSync, statSync } from "node:fs";
import { basename, isAbsolute, join, posix, relative, resolve, sep } from "node:path";
import { nearestName } from "../options.js";
import { RequestError } from "./request-error.js";

/** Paths of the notebooks below the root: those of notebooks/, then those of each study in data/. */
export function notebookPaths(root: string): string[] {
  const ofStudies = notebooksUnder(root, "data").filter((path) => path.split("/").length >= 3);
  return inNotebookOrder([...notebooksUnder(root, "notebooks"), ...ofStudies]);
}

/** Folders of notebooks/ that no study owns, in the order in which they follow the studies. */
const afterStudies = ["notebooks/series/", "notebooks/checks/", "notebooks/learn/"];

/**
 * Notebooks in the order of every list: those of the studies by name, then those in data/, those
 * that pool several studies, checks and lessons. Numbers in names are compared by their size.
 */
export function inNotebookOrder(paths: readonly string[]): string[] {
  const { compare } = new Intl.Collator("en", { numeric: true });
  const place = (path: string) =>
    path.startsWith("data/") ? 0.5 : 1 + afterStudies.findIndex((start) => path.startsWith(start));
  return [...paths].sort((a, b) => place(a) - place(b) || compare(a, b));
}

function notebooksUnder(root: string, folder: string): string[] {
  if (!existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .map((path) => `${folder}/${path.replaceAll("\\", "/")}`)
    .filter((path) => path.endsWith(".ipynb") && !/(^|\/)\./.test(path));
}

/**
 * The notebooks that the words of a command name, as paths relative to the root. Without a word:
 * all those of notebooks/ and of the studies' folders in data/. A word is a file, a folder, a study
 * ("winter-block"), a path below notebooks/ ("winter-block/3-change"), or the name of a notebook
 * that only one folder has.
 * @throws RequestError for a word that names no notebook, or more than one
 */
export function chosenNotebooks(words: readonly string[], root: string, cwd: string): string[] {
  const paths =
    words.length === 0
      ? notebookPaths(root).map((path) => join(root, path))
      : words.flatMap((word) => notebooksFor(word, root, cwd));
  if (paths.length === 0) {
    throw new RequestError("there are no notebooks in notebooks/ or in a study's folder in data/");
  }
  const names = paths.map((path) => relative(root, path).split(sep).join("/"));
  for (const name of names) {
    if (name.startsWith("../") || isAbsolute(name)) {
      throw new RequestError(`${name} is outside the workspace`);
    }
  }
  return [...new Set(names)];
}

function notebooksFor(word: string, root: string, cwd: string): string[] {
  const candidates = [resolve(cwd, word), join(root, word), join(root, "notebooks", word)];
  for (const path of candidates.flatMap((path) => [path, `${path}.ipynb`])) {
    if (!existsSync(path)) continue;
    return statSync(path).isDirectory() ? notebooksOfFolder(path, root) : [path];
  }
  return [join(root, theOneNamed(word, root))];
}

/** The notebook with this name, in whatever folder it is: "first-look" for data/spring/first-look.ipynb. */
function theOneNamed(word: string, root: string): string {
  const all = notebookPaths(root);
  const nameOf = (path: string) => posix.basename(path, ".ipynb");
  const found = all.filter((path) => nameOf(path) === word.replace(/\.ipynb$/, ""));
  const [first, second] = found;
  if (first !== undefined && second === undefined) return first;
  if (first !== undefined) {
    throw new RequestError(`${JSON.stringify(word)} could be ${found.join(" or ")}; give the path`);
  }
  const near = nearestName(word, all.map(nameOf));
  throw new RequestError(
    `there is no notebook ${JSON.stringify(word)}${near ? `; did you mean ${near}?` : ""}`,
  );
}

/** The notebooks in a folder; a study's folder in data/ stands for the notebooks of that study. */
function notebooksOfFolder(folder: string, root: string): string[] {
  const inside = notebooksIn(folder);
  const ofStudy = join(root, "notebooks", basename(folder));
  const isStudy = resolve(folder, "..") === join(root, "data") && existsSync(ofStudy);
  return isStudy ? [...inside, ...notebooksIn(ofStudy)] : inside;
}

function notebooksIn(folder: string): string[] {
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
    (name) => name.endsWith(".ipynb") && !/(?:^|[\\/])\./.test(name),
  );
  return inNotebookOrder(names).map((name) => join(folder, name));
}

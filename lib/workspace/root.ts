import { existsSync, readdirSync, statSync } from "node:fs";
import { dirname, isAbsolute, join, posix, relative, resolve, sep } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import { nearestName } from "../options.js";
import { notebookPaths } from "./notebook-files.js";
import { RequestError } from "./request-error.js";

/** How a folder outside of the library's own repository gets the library. */
export function installing(): string {
  return `npm install ${JSON.stringify(libraryFolder())}`;
}

/** The workspace that a folder belongs to: the nearest one above with package.json and data/. */
export function studyRoot(from: string): string {
  for (let folder = resolve(from); ; folder = dirname(folder)) {
    if (existsSync(join(folder, "package.json")) && existsSync(join(folder, "data"))) return folder;
    if (dirname(folder) === folder) {
      throw new RequestError(
        `${from} is not in a workspace of studies: no folder above it has a package.json and a data folder. In the folder that contains data/, run ${installing()} once`,
      );
    }
  }
}

/**
 * The notebooks that the words of a command name, as paths relative to the root. Without a word:
 * all those of notebooks/ and of the studies' folders in data/. A word is a file, a folder, or the
 * name of a notebook in any of these folders ("grip" for notebooks/grip.ipynb).
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
    return statSync(path).isDirectory() ? notebooksIn(path) : [path];
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

function notebooksIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ipynb") && !/(?:^|[\\/])\./.test(name))
    .sort()
    .map((name) => join(folder, name));
}

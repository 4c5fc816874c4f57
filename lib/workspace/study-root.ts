import { existsSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import { RequestError } from "./request-error.js";

/** How a folder outside of the library's own repository gets the library. */
export function installing(): string {
  return `npm install ${JSON.stringify(libraryFolder())}`;
}

/** The workspace that a folder belongs to: the nearest one above with package.json and data/. */
export function studyRoot(from: string): string {
  const root = rootAbove(from);
  if (root !== undefined) return root;
  throw new RequestError(
    `${from} is not in a workspace of studies: no folder above it has a package.json and a data folder. In the folder that contains data/, run ${installing()} once`,
  );
}

/** The same, or nothing where no folder above is a workspace. */
export function rootAbove(from: string): string | undefined {
  for (let folder = resolve(from); ; folder = dirname(folder)) {
    if (existsSync(join(folder, "package.json")) && existsSync(join(folder, "data"))) return folder;
    if (dirname(folder) === folder) return undefined;
  }
}

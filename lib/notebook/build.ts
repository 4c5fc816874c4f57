import { realpathSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/**
 * The folder of the compiled library. Node runs the compiled files only, so that a program that is
 * started from the sources, as the tests are, takes them from there too.
 */
export const buildFolder = fileURLToPath(
  new URL(import.meta.url.endsWith(".ts") ? "../dist/" : "../", import.meta.url),
);

/** The library's own folder, with its package.json: what npm installs into a study's folder. */
export function libraryFolder(): string {
  return realpathSync(dirname(buildFolder));
}

/** The build ends by writing this file: the SHA-256 of every source that it compiled, by path. */
export const buildRecord = join(buildFolder, ".built");

import { fileURLToPath } from "node:url";

/**
 * The folder of the compiled library. Node runs the compiled files only, so that a program that is
 * started from the sources, as the tests are, takes them from there too.
 */
export const buildFolder = fileURLToPath(
  new URL(import.meta.url.endsWith(".ts") ? "../dist/" : "../", import.meta.url),
);

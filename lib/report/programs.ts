import { createHash } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import { build, type Plugin, transform } from "esbuild";
import { itemAt } from "../entry.js";

const require = createRequire(import.meta.url);

/** A compiled file of the library, also when this one is read as TypeScript by a test runner. */
export function libraryFile(path: string): string {
  const beside = new URL(`../${path}`, import.meta.url);
  const built = existsSync(beside) ? beside : new URL(`../dist/${path}`, import.meta.url);
  return fileURLToPath(built);
}

/** How every program of a page is bundled. */
export const bundling = {
  bundle: true,
  write: false,
  format: "iife",
  platform: "browser",
  target: "es2022",
  minify: true,
  legalComments: "none",
  charset: "utf8",
  logLevel: "silent",
} as const;

/** A module is strict; said here, so that no tsconfig.json around the library counts. */
const strictModule = { compilerOptions: { strict: true } };

/** Programs that this process bundled, by what they were made from; the latest last. */
const bundled = new Map<string, Promise<string>>();
const mostBundled = 8;

/**
 * Bundles a program, or takes it from an earlier time: a process that makes many reports, as watch
 * does, makes the same programs again and again. A new build of the library makes them anew.
 * @param entry the path of a compiled file of the library, or the text of the program's first file
 */
export async function bundle(
  entry: { readonly path: string } | { readonly text: string; readonly plugins: Plugin[] },
): Promise<string> {
  const first = "path" in entry ? entry.path : entry.text;
  const key = createHash("sha256").update(buildRecord()).update(first).digest("hex");
  const made = bundled.get(key) ?? bundledNow(entry);
  bundled.delete(key);
  bundled.set(key, made);
  for (const old of [...bundled.keys()].slice(0, -mostBundled)) bundled.delete(old);
  try {
    return await made;
  } catch (error) {
    bundled.delete(key);
    throw error;
  }
}

/** The sources that the library was built from, with their hashes. */
function buildRecord(): string {
  const path = libraryFile(".built");
  return existsSync(path) ? readFileSync(path, "utf8") : "";
}

async function bundledNow(entry: Parameters<typeof bundle>[0]): Promise<string> {
  const made = await build({
    ...bundling,
    ...("path" in entry
      ? { entryPoints: [libraryFile(entry.path)], tsconfigRaw: strictModule }
      : {
          stdin: { contents: entry.text, resolveDir: dirname(libraryFile("page-library.js")) },
          plugins: entry.plugins,
        }),
  });
  return itemAt(made.outputFiles, 0).text;
}

/** The page's own script as one classic program: pages opened as files cannot load modules. */
export function siteScript(): Promise<string> {
  return bundle({ path: "report/page/site.js" });
}

/** The first line of the site's plotly.js: it names the version. */
export function plotlyHead(): string {
  const { version } = require("plotly.js-dist/package.json") as { version: string };
  return `/* plotly.js ${version}, Copyright Plotly, Inc., MIT license */\n`;
}

let smaller: Promise<string> | undefined;

/** plotly.js as shipped, without its spaces and comments; made once in a process. */
export function plotlyScript(): Promise<string> {
  smaller ??= smallerPlotly();
  return smaller;
}

async function smallerPlotly(): Promise<string> {
  const source = readFileSync(require.resolve("plotly.js-dist/plotly.js"), "utf8");
  const { code } = await transform(source, {
    minify: true,
    legalComments: "none",
    charset: "utf8",
  });
  return plotlyHead() + code;
}

/** The worker's program as a script that only hands out its text: a file page cannot start a worker file. */
export function workerScript(text: string): string {
  return `self.tautlineWorker=${JSON.stringify(text)};`;
}

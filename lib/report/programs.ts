import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { build, transform } from "esbuild";
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

/** The page's own script as one classic program: pages opened as files cannot load modules. */
export async function siteScript(): Promise<string> {
  const made = await build({ ...bundling, entryPoints: [libraryFile("report/page/site.js")] });
  return itemAt(made.outputFiles, 0).text;
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

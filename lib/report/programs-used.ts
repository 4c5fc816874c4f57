import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Part } from "./context.js";

const require = createRequire(import.meta.url);

const packages: readonly { name: string; what: string }[] = [
  { name: "tslab", what: "kernel that ran the cells" },
  { name: "arquero", what: "tables" },
  { name: "danfojs-node", what: "data frames" },
  { name: "simple-statistics", what: "second opinion on statistics" },
  { name: "plotly.js-dist", what: "figures" },
  { name: "jsdom", what: "drawing without a browser" },
  { name: "opentype.js", what: "text widths in drawings" },
  { name: "dejavu-fonts-ttf", what: "font of the figures" },
  { name: "@fontsource/source-sans-3", what: "text face of the pages" },
  { name: "@fontsource/source-serif-4", what: "face of the headings" },
  { name: "@resvg/resvg-js", what: "pictures from drawings" },
  { name: "zeromq", what: "messages to the kernel" },
  { name: "markdown-it", what: "prose of the notebooks" },
  { name: "esbuild", what: "programs in the pages" },
];

/** The nearest package.json above a module that carries this name. */
function versionOf(name: string): string | undefined {
  const paths = require.resolve.paths(name) ?? [];
  for (const folder of paths) {
    try {
      const text = readFileSync(join(folder, name, "package.json"), "utf8");
      return (JSON.parse(text) as { version?: string }).version;
    } catch {
      // not in this folder
    }
  }
  return undefined;
}

function ownVersion(): string {
  for (let folder = dirname(fileURLToPath(import.meta.url)); ; folder = dirname(folder)) {
    try {
      const { name, version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
      if (name === "tautline") return String(version);
    } catch {
      // further up
    }
    if (folder === dirname(folder)) return "";
  }
}

/** Programs and packages that this report rests on, with their installed versions. */
export function partsUsed(): Part[] {
  const found = packages
    .map(({ name, what }) => ({ name, what, version: versionOf(name) ?? "" }))
    .filter(({ version }) => version !== "");
  return [
    {
      name: "tautline",
      version: ownVersion(),
      what: "statistics, checks of raw files, notebooks, this report",
    },
    { name: "Node.js", version: process.version.replace(/^v/, ""), what: "runtime" },
    ...found,
  ];
}

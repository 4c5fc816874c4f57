import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Part } from "./context.js";

const require = createRequire(import.meta.url);

interface Package {
  readonly name: string;
  readonly what: string;
  /** A study may do without it, so that it is named only where it is installed. */
  readonly optional?: boolean;
}

const packages: readonly Package[] = [
  { name: "tslab", what: "kernel that ran the cells" },
  { name: "arquero", what: "tables" },
  { name: "danfojs-node", what: "data frames", optional: true },
  { name: "simple-statistics", what: "second opinion on statistics", optional: true },
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

/**
 * Programs and packages that a report rests on, in their installed versions.
 * @param named versions of the programs that made a report elsewhere, by name, in place of those here
 */
export function partsUsed(named?: ReadonlyMap<string, string>): Part[] {
  const parts = "statistics, checks of raw files, notebooks, this report";
  const here: (Package & { readonly version: string | undefined })[] = [
    { name: "tautline", version: ownVersion(), what: parts },
    { name: "Node.js", version: process.version.replace(/^v/, ""), what: "runtime" },
    ...packages.map((one) => ({ ...one, version: versionOf(one.name) })),
  ];
  return here.flatMap(({ name, what, optional, version: installed }) => {
    const version = named?.get(name) ?? (named && optional ? undefined : installed);
    return version ? [{ name, what, version }] : [];
  });
}

import { createRequire } from "node:module";
import type { Part } from "../report/context.js";
import { partsUsed } from "../report/programs-used.js";
import type { CrateProgram } from "./crate-parts.js";

const require = createRequire(import.meta.url);

/** Where an archive says which packages it needs, and from where. */
export const lockfileName = "package-lock.json";

/** Programs and packages that make a record and its pages, in the versions that run now. */
export function programsNow(libraryVersion: string): CrateProgram[] {
  const main = mainPrograms(libraryVersion);
  const named = new Set(main.map(({ name }) => name));
  const packages = partsUsed()
    .filter(({ name }) => !named.has(name))
    .map((part): CrateProgram => ({ ...part, url: lockfileName }));
  return [...main, ...packages];
}

/** The programs of an archive as its pages list them. */
export function partsOf(programs: readonly CrateProgram[]): Part[] {
  const versions = new Map(programs.map(({ name, version }) => [name, version]));
  return partsUsed().map((part) => ({ ...part, version: versions.get(part.name) ?? part.version }));
}

function mainPrograms(libraryVersion: string): CrateProgram[] {
  return [
    {
      name: "tautline",
      version: libraryVersion,
      url: "lib/",
      what: "statistics, checks of the raw files, notebooks and report; its source is in lib/",
    },
    {
      name: "Node.js",
      version: process.version.replace(/^v/, ""),
      url: "https://nodejs.org/",
      what: "runtime of the library and of the kernel",
    },
    {
      name: "tslab",
      version: versionOf("tslab"),
      url: "https://github.com/yunabe/tslab",
      what: "kernel that ran the cells",
    },
    {
      name: "plotly.js",
      version: versionOf("plotly.js-dist"),
      url: "https://plotly.com/javascript/",
      what: "drew the figures",
    },
  ];
}

function versionOf(name: string): string {
  return String((require(`${name}/package.json`) as { version: string }).version);
}

/** Programs that take part in making the pages. */
export function pagePrograms(): string[] {
  const others = partsUsed().map(({ name }) => name);
  return [...new Set(["tautline", "Node.js", "plotly.js", ...others])].filter(
    (name) => name !== "tslab",
  );
}

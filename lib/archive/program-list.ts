import { createRequire } from "node:module";
import type { Part } from "../report/context.js";
import { partsUsed } from "../report/programs-used.js";
import type { CrateProgram } from "./crate-parts.js";

const require = createRequire(import.meta.url);

/** A program whose version differs from the one that the archive was made with. */
export interface OtherProgram {
  /** Name of the program. */
  readonly name: string;
  /** Version that made the archive. */
  readonly archived: string;
  /** Version that is installed here. */
  readonly here: string;
}

/** Where an archive says which packages it needs, and from where. */
export const lockfileName = "package-lock.json";

/**
 * Programs and packages that make a record and its pages, in the versions that run now.
 * @param named versions of the programs that made an archive, by name, in place of those here
 */
export function programsNow(
  libraryVersion: string,
  named?: ReadonlyMap<string, string>,
): CrateProgram[] {
  const main = mainPrograms(libraryVersion).map((program) => ({
    ...program,
    version: named?.get(program.name) ?? program.version,
  }));
  const mainNames = new Set(main.map(({ name }) => name));
  const packages = partsUsed(named)
    .filter(({ name }) => !mainNames.has(name))
    .map((part): CrateProgram => ({ ...part, url: lockfileName }));
  return [...main, ...packages];
}

/** The programs of an archive as its pages list them. */
export function partsOf(programs: readonly CrateProgram[]): Part[] {
  return partsUsed(new Map(programs.map(({ name, version }) => [name, version])));
}

function mainPrograms(libraryVersion: string): CrateProgram[] {
  return [
    {
      name: "tautline",
      version: libraryVersion,
      url: "lib/",
      what: "statistics, checks of the raw files, notebooks and report; it is in lib/",
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

/** Those of an archive's programs that take part in making the pages. */
export function pagePrograms(programs: readonly CrateProgram[]): string[] {
  const others = partsOf(programs).map(({ name }) => name);
  return [...new Set(["tautline", "Node.js", "plotly.js", ...others])].filter(
    (name) => name !== "tslab",
  );
}

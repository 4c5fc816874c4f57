import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import { unbuiltSources } from "../workspace/library-build.js";
import { RequestError } from "../workspace/request-error.js";
import { type Lockfile, lockedFor, type Manifest } from "./lockfile.js";

/** The library as it goes into an archive. */
export interface ArchivedLibrary {
  /** Version of the library. */
  readonly version: string;
  /** Bytes of each file, by path in the package. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Sources that were changed after the library was built. */
  readonly unbuilt: readonly string[];
}

const carried =
  /^(?:(?:bin|build)\/[^/]+\.js|package\.json|tsconfig\.json|(?!dist\/|node_modules\/).*\.ts)$/;

/** The sources of the library by their path in it. */
export function librarySources(): Map<string, Uint8Array> {
  const folder = libraryFolder();
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => carried.test(path) && !/(?:^|\/)(?:\.|node_modules\/)/.test(path));
  return new Map(paths.sort().map((path) => [path, readFileSync(join(folder, path))]));
}

/**
 * The library's sources with the files of npm that install and build them, so that the unpacked
 * archive is a workspace of its own.
 * @param name of the study, from which the package.json takes its own
 * @throws RequestError where the library was installed without its lockfile
 */
export function libraryFiles(name: string): ArchivedLibrary {
  const home = dirname(libraryFolder());
  for (const file of ["package.json", "package-lock.json", "tsconfig.json", "LICENSE"]) {
    if (!existsSync(join(home, file))) {
      throw new RequestError(
        `an archive includes the library's sources and lockfile, but the installed package has none (${join(home, file)} is missing): in this folder, call the program of the library's repository, node <repository>/lib/bin/tautline.js archive`,
      );
    }
  }
  const sources = librarySources();
  const manifest = manifestFor(name, json(join(home, "package.json")) as Manifest);
  const lockfile = lockedFor(manifest, json(join(home, "package-lock.json")) as Lockfile);
  const files = new Map([...sources].map(([path, content]) => [`lib/${path}`, content]));
  files.set("lib/LICENSE", readFileSync(join(home, "LICENSE")));
  files.set("tsconfig.json", readFileSync(join(home, "tsconfig.json")));
  files.set("package.json", jsonFile(manifest));
  files.set("package-lock.json", jsonFile(lockfile));
  return { version: libraryVersion(), files, unbuilt: unbuiltSources() };
}

/** Version of the installed library, from its package.json. */
export function libraryVersion(): string {
  return String((json(join(libraryFolder(), "package.json")) as Manifest).version);
}

function json(path: string): unknown {
  return JSON.parse(readFileSync(path, "utf8"));
}

function jsonFile(value: unknown): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
}

/** What is needed to build and run, without the tools for testing the library. */
function manifestFor(study: string, workspaceManifest: Manifest): Manifest {
  const tools = Object.entries(workspaceManifest.devDependencies ?? {});
  return {
    name: `${
      study
        .toLowerCase()
        .replace(/[^a-z0-9-]+/g, "-")
        .replace(/^-+|-+$/g, "") || "study"
    }-archive`,
    version: workspaceManifest.version,
    private: true,
    type: "module",
    engines: workspaceManifest.engines,
    workspaces: ["lib"],
    scripts: {
      build: "npm run build --workspace tautline --silent",
      start: "npm run build --silent && node lib/bin/tautline.js rebuild",
      verify: "npm run build --silent && node lib/bin/tautline.js verify",
    },
    overrides: workspaceManifest.overrides,
    allowScripts: workspaceManifest.allowScripts,
    dependencies: workspaceManifest.dependencies ?? {},
    devDependencies: Object.fromEntries(
      tools.filter(([name]) => name === "typescript" || name.startsWith("@types/")),
    ),
  };
}

import { existsSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import { unbuiltSources } from "../workspace/library-build.js";
import { RequestError } from "../workspace/request-error.js";
import { formHere, type LibraryForm, libraryInForm, licenceTexts } from "./library-form.js";
import {
  asWorkspace,
  jsonFile,
  type Lockfile,
  lockedFor,
  type Manifest,
  publicPackages,
} from "./lockfile.js";

/** The library as it goes into an archive. */
export interface ArchivedLibrary {
  /** Version of the library. */
  readonly version: string;
  /** Bytes of each file, by path in the archive. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** What a person should know of it before the archive is shared. */
  readonly notes: readonly string[];
}

/** What an archive's package.json needs for each form of the library. */
interface Workspace {
  /** Commands of the archive. */
  readonly scripts: Readonly<Record<string, string>>;
  /** Packages for development that the commands need. */
  readonly tools: RegExp;
  /** Further files beside package.json that the commands need. */
  readonly beside: readonly string[];
}

const workspaces: Readonly<Record<LibraryForm, Workspace>> = {
  source: {
    scripts: {
      build: "npm run build --workspace tautline --silent",
      start: "npm run build --silent && node lib/bin/tautline.js rebuild",
      verify: "npm run build --silent && node lib/bin/tautline.js verify",
    },
    tools: /^typescript$|^@types\//,
    beside: ["tsconfig.json"],
  },
  built: {
    scripts: {
      start: "node lib/bin/tautline.js rebuild",
      verify: "node lib/bin/tautline.js verify",
    },
    tools: /^$/,
    beside: [],
  },
};

/**
 * The library, as sources or built as npm installed it, with the files of npm that install it, so
 * that the unpacked archive is a workspace of its own.
 * @param study name of the study, from which the package.json takes its own
 * @throws RequestError where npm's lockfile is missing, or names a package that is not public
 */
export function libraryFiles(study: string): ArchivedLibrary {
  const folder = libraryFolder();
  const form = formHere(folder);
  const home = homeOf(folder);
  const library = json(join(folder, "package.json")) as Manifest;
  const manifest = manifestFor(study, json(found(join(home, "package.json"))), library, form);
  const { lockfile, notes } = lockfileOf(home, relative(home, folder).replaceAll("\\", "/"));
  const files = new Map([...libraryInForm(form)].map(([path, file]) => [`lib/${path}`, file]));
  for (const name of licenceTexts) {
    files.set(`lib/${name}`, readFileSync(found(join(folder, name), join(home, name))));
  }
  for (const name of workspaces[form].beside) {
    files.set(name, readFileSync(found(join(home, name))));
  }
  files.set("package.json", jsonFile(manifest));
  files.set("package-lock.json", jsonFile(publicPackages(lockedFor(manifest, lockfile))));
  return { version: libraryVersion(), files, notes: [...notes, ...buildNotes()] };
}

/** The folder whose lockfile names the library: it holds it as a workspace or in node_modules. */
function homeOf(folder: string): string {
  return folder.replaceAll("\\", "/").endsWith("/node_modules/tautline")
    ? dirname(dirname(folder))
    : dirname(folder);
}

/** The first of these files that exists. */
function found(...paths: string[]): string {
  const path = paths.find((one) => existsSync(one));
  if (path !== undefined) return path;
  throw incomplete(`${paths[0]} is missing`);
}

function incomplete(what: string): RequestError {
  return new RequestError(
    `an archive includes the library with its licence and npm's lockfile, but ${what}: install the library's package with npm install, in the folder of the studies, and make the archive again`,
  );
}

/** npm's lockfile with the library as lib/; without one, npm's account of what it installed. */
function lockfileOf(home: string, place: string) {
  const hidden = join("node_modules", ".package-lock.json");
  for (const name of ["package-lock.json", hidden]) {
    const path = join(home, name);
    const lockfile = existsSync(path) ? (json(path) as Partial<Lockfile>) : {};
    const { packages } = lockfile;
    if (!packages?.[place]) continue;
    const notes =
      name === hidden ? [`${thisSystem} (run npm install without --no-package-lock)`] : [];
    return { lockfile: asWorkspace({ ...lockfile, packages }, place), notes };
  }
  throw incomplete(`no package-lock.json in ${home} names it`);
}

const thisSystem =
  "there is no package-lock.json that names the library, so the archive's lists the packages of this operating system only";

/** Version of the installed library, from its package.json. */
export function libraryVersion(): string {
  return String((json(join(libraryFolder(), "package.json")) as Manifest).version);
}

function json(path: string): unknown {
  return JSON.parse(readFileSync(path, "utf8"));
}

function buildNotes(): string[] {
  const unbuilt = unbuiltSources();
  if (unbuilt.length === 0) return [];
  const first = unbuilt.slice(0, 3).join(", ");
  return [`the library was changed after it was built (${first}): run npm run build, then rebuild`];
}

/** What is needed to run, and for sources to build, without the tools for testing the library. */
function manifestFor(study: string, home: unknown, library: Manifest, form: LibraryForm): Manifest {
  const { dependencies = {}, devDependencies = {}, overrides, allowScripts } = home as Manifest;
  const { scripts, tools } = workspaces[form];
  const only = (packages: Readonly<Record<string, string>>, wanted: (name: string) => boolean) =>
    Object.fromEntries(Object.entries(packages).filter(([name]) => wanted(name)));
  return {
    name: `${
      study
        .toLowerCase()
        .replace(/[^a-z0-9-]+/g, "-")
        .replace(/^-+|-+$/g, "") || "study"
    }-archive`,
    version: library.version,
    private: true,
    type: "module",
    engines: library.engines,
    workspaces: ["lib"],
    scripts,
    overrides,
    allowScripts,
    dependencies: only(dependencies, (name) => name !== library.name),
    devDependencies: only(devDependencies, (name) => tools.test(name)),
  };
}

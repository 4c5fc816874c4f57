import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import { recordedSources } from "../workspace/library-build.js";
import { sha256 } from "./hashes.js";
import { jsonFile, type Manifest } from "./lockfile.js";
import type { OtherProgram } from "./program-list.js";
import type { ArchiveFiles } from "./zip.js";

/** How an archive carries the library: its sources, or built, as npm installed it. */
export type LibraryForm = "source" | "built";

/** Names the library that an archive carries. */
export interface LibraryIdentity {
  /** Sources or built files. */
  readonly form: LibraryForm;
  /** Version of the library. */
  readonly version: string;
  /** SHA-256 of the list of its files with their own SHA-256, hexadecimal. */
  readonly digest: string;
}

/** Files of each form, by path in the library's folder. */
const carried: Readonly<Record<LibraryForm, RegExp>> = {
  source:
    /^(?:(?:bin|build)\/[^/]+\.js|package\.json|tsconfig\.json|(?!dist\/|node_modules\/).*\.ts)$/,
  built: /^(?:bin\/[^/]+\.js|package\.json|dist\/\.built|dist\/.*\.(?:js|d\.c?ts))$/,
};
const elsewhere = /(?:^|\/)(?:\.(?!built$)|node_modules\/)/;

/** Texts of the licence, which both forms have and no digest includes. */
export const licenceTexts: readonly string[] = ["LICENSE", "NOTICE"];

function formOf(has: (path: string) => boolean): LibraryForm {
  return has("index.ts") || !has("dist/.built") ? "source" : "built";
}

/** The form that the library's folder allows: npm installs no sources. */
export function formHere(folder = libraryFolder()): LibraryForm {
  return formOf((path) => existsSync(join(folder, path)));
}

/** The library's files in one form, by path in it. */
export function libraryInForm(
  form: LibraryForm,
  folder = libraryFolder(),
): Map<string, Uint8Array> {
  const sources = sourcesOfBuild(folder);
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => carried[form].test(path) && !elsewhere.test(path))
    .filter((path) => isBuiltFrom(path, sources));
  return new Map(
    paths.sort().map((path) => {
      const content = readFileSync(join(folder, path));
      const isManifest = path === "package.json" && form === "built";
      return [path, isManifest ? withoutScripts(content) : content];
    }),
  );
}

function sourcesOfBuild(folder: string): Map<string, unknown> {
  return recordedSources(join(folder, "dist/.built"));
}

/**
 * A workspace's dist/ may also have files of sources that were removed since; the build clears the
 * folder of its bundles itself.
 */
function isBuiltFrom(path: string, sources: ReadonlyMap<string, unknown>): boolean {
  if (path.startsWith("dist/bundled/")) return true;
  const compiled = /^dist\/(.*)\.(?:js|d\.c?ts)$/.exec(path)?.[1];
  return compiled === undefined || sources.has(`${compiled}.ts`);
}

/** Scripts build and pack the sources, which the built form does not have. */
function withoutScripts(content: Uint8Array): Uint8Array {
  const { scripts: _, ...rest } = JSON.parse(new TextDecoder().decode(content)) as Manifest;
  return jsonFile(rest);
}

/** The library that an archive carries, by path in lib/, without the texts of its licence. */
function libraryOf(files: ArchiveFiles): Map<string, Uint8Array> {
  return new Map(
    [...files]
      .filter(([path]) => path.startsWith("lib/"))
      .map(([path, content]) => [path.slice("lib/".length), content] as const)
      .filter(([path]) => !licenceTexts.includes(path)),
  );
}

/** Which library an archive carries, as a reader can compare it. */
export function libraryIdentity(files: ArchiveFiles): LibraryIdentity {
  const library = libraryOf(files);
  const manifest = new TextDecoder().decode(library.get("package.json"));
  return {
    form: formOf((path) => library.has(path)),
    version: String(JSON.parse(manifest || "{}").version ?? ""),
    digest: digestOf(hashesOf(library)),
  };
}

/**
 * Compares the library of an archive with the one here, whose version may be the same although its
 * files differ: built files with built files, sources with sources. Where npm installed no sources,
 * the archive's are compared with those that the build here was made from.
 * @param folder of the library here
 */
export function libraryDifference(files: ArchiveFiles, folder = libraryFolder()): OtherProgram[] {
  const library = libraryOf(files);
  if (library.size === 0) return [];
  const form = formOf((path) => library.has(path));
  const { name, archived, here } =
    form === "source" && formHere(folder) === "built"
      ? {
          name: "source of tautline (compared with the record of the build here)",
          archived: hashesOf([...library].filter(([path]) => /\.ts$|^tsconfig\.json$/.test(path))),
          here: sourcesOfBuild(folder),
        }
      : {
          name: form === "built" ? "build of tautline" : "source of tautline",
          archived: hashesOf(library),
          here: hashesOf(libraryInForm(form, folder)),
        };
  const [before, now] = [digestOf(archived), digestOf(here)];
  return before === now ? [] : [{ name, archived: before.slice(0, 12), here: now.slice(0, 12) }];
}

function hashesOf(files: Iterable<readonly [string, Uint8Array]>): Map<string, string> {
  return new Map([...files].map(([path, content]) => [path, sha256(content)]));
}

function digestOf(hashes: ReadonlyMap<string, unknown>): string {
  const lines = [...hashes].map(([path, hash]) => `${path} ${hash}\n`);
  return sha256(lines.sort().join(""));
}

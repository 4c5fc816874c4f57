import { present } from "../entry.js";

/** A package as npm's lockfile, version 3, describes it. */
interface Locked {
  readonly resolved?: string;
  readonly link?: boolean;
  readonly [part: string]: unknown;
}

/** A package.json of npm. */
export interface Manifest {
  /** Name of the package. */
  readonly name: string;
  /** Version of the package. */
  readonly version: string;
  /** Packages it needs, with the versions it accepts. */
  readonly dependencies?: Readonly<Record<string, string>>;
  /** Packages that its development needs. */
  readonly devDependencies?: Readonly<Record<string, string>>;
  /** Any other part of the file, kept as it is. */
  readonly [part: string]: unknown;
}

/** A package-lock.json of npm, version 3. */
export interface Lockfile {
  /** What is installed, by its place in node_modules. */
  readonly packages: Readonly<Record<string, Locked>>;
  /** Any other part of the file, kept as it is. */
  readonly [part: string]: unknown;
}

const kinds = [
  "dependencies",
  "devDependencies",
  "optionalDependencies",
  "peerDependencies",
] as const;

/**
 * The part of a lockfile that a smaller package.json needs: what it names, what that needs, and so
 * on, each in the version it is locked to.
 * @see https://docs.npmjs.com/cli/v10/configuring-npm/package-lock-json
 */
export function lockedFor(manifest: Manifest, lockfile: Lockfile): Lockfile {
  const { packages } = lockfile;
  const workspaces = manifest.workspaces as readonly unknown[];
  const needed = new Set<string>();
  for (const [path, { link, resolved }] of Object.entries(packages)) {
    if (workspaces.includes(link === true ? resolved : path)) needed.add(path);
  }
  const rootPackage = rootEntry(manifest, packages[""] ?? {});
  for (const name of namesIn(rootPackage, true)) follow("", name);
  for (const path of [...needed]) visit(path);
  return {
    ...lockfile,
    name: manifest.name,
    version: manifest.version,
    packages: {
      "": rootPackage,
      ...Object.fromEntries(Object.entries(packages).filter(([path]) => needed.has(path))),
    },
  };

  function visit(path: string): void {
    for (const name of namesIn(present(packages[path]), false)) follow(path, name);
  }

  function follow(from: string, name: string): void {
    const path = placeOf(from, name, packages);
    if (path === undefined || needed.has(path)) return;
    needed.add(path);
    visit(path);
  }
}

/** The lockfile repeats package.json's own words for its root. */
function rootEntry(manifest: Manifest, before: Locked): Locked {
  const parts = [
    "name",
    "version",
    "license",
    "workspaces",
    "dependencies",
    "devDependencies",
    "engines",
  ];
  const kept = parts.filter((part) => manifest[part] !== undefined);
  return {
    ...(before.hasInstallScript === true && { hasInstallScript: true }),
    ...Object.fromEntries(kept.map((part) => [part, manifest[part]])),
  };
}

function namesIn(entry: Locked, root: boolean): string[] {
  return kinds
    .filter((kind) => root || kind !== "devDependencies")
    .flatMap((kind) => Object.keys((entry[kind] ?? {}) as object));
}

/** Node's own search: the nearest node_modules at or above the package that imports. */
function placeOf(from: string, name: string, packages: Lockfile["packages"]): string | undefined {
  for (let folder = from; ; folder = above(folder)) {
    const path = `${folder ? `${folder}/` : ""}node_modules/${name}`;
    if (packages[path]) return path;
    if (folder === "") return undefined;
  }
}

function above(folder: string): string {
  const parts = folder.split("/");
  const last = parts.lastIndexOf("node_modules");
  return parts.slice(0, Math.max(0, last)).join("/");
}

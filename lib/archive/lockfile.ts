import { present } from "../entry.js";
import { RequestError } from "../workspace/request-error.js";

/** A package as npm's lockfile, version 3, describes it. */
interface Locked {
  readonly name?: string;
  readonly version?: string;
  readonly resolved?: string;
  readonly integrity?: string;
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

/** The bytes of a file of npm. */
export function jsonFile(value: unknown): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
}

/**
 * The lockfile with the library as the workspace lib/, wherever npm put it.
 * @param place of the library in the lockfile
 */
export function asWorkspace(lockfile: Lockfile, place: string): Lockfile {
  const linked = "node_modules/tautline";
  const { resolved: _, integrity: __, ...library } = present(lockfile.packages[place]);
  const rest = Object.entries(lockfile.packages)
    .filter(([path]) => path !== place && path !== linked)
    .map(([path, locked]) => {
      const inside = path.startsWith(`${place}/`);
      return [inside ? `lib${path.slice(place.length)}` : path, locked] as const;
    });
  const packages = [
    ...rest,
    ["lib", { name: "tautline", ...library }] as const,
    [linked, { resolved: "lib", link: true }] as const,
  ];
  // npm's own order
  packages.sort(([a], [b]) => a.localeCompare(b, "en"));
  return { ...lockfile, packages: Object.fromEntries(packages) };
}

const registry = "https://registry.npmjs.org/";

/**
 * The lockfile with every package at its address in the public registry, whatever mirror npm asked;
 * npm checks what it downloads against the hash of the installed one.
 * @throws RequestError that names the packages that come from no registry
 */
export function publicPackages(lockfile: Lockfile): Lockfile {
  const packages = Object.entries(lockfile.packages).map(
    ([path, locked]) => [path, publicPackage(path, locked)] as const,
  );
  const foreign = packages.filter(([, locked]) => locked === undefined).map(([path]) => path);
  if (foreign.length > 0) {
    const names = foreign.map((path) => path.replace(/^.*node_modules\//, "")).join(", ");
    throw new RequestError(
      `an archive includes packages of the public npm registry only, and npm took these from elsewhere: ${names}. Remove them from the dependencies in package.json, or install them from the registry`,
    );
  }
  return { ...lockfile, packages: Object.fromEntries(packages) as Lockfile["packages"] };
}

function publicPackage(path: string, locked: Locked): Locked | undefined {
  const { version, integrity, resolved, link, inBundle } = locked;
  if (link === true) return resolved === "lib" ? locked : undefined;
  const inside = /node_modules\/((?:@[^/]+\/)?[^/]+)$/.exec(path)?.[1];
  if (inside === undefined || inBundle === true || resolved?.startsWith(registry)) return locked;
  if (version === undefined || integrity === undefined) return undefined;
  const name = locked.name ?? inside;
  const file = `/-/${name.replace(/^.*\//, "")}-${version}.tgz`;
  if (resolved !== undefined && !(/^https?:/.test(resolved) && resolved.endsWith(file))) {
    return undefined;
  }
  return { ...locked, resolved: `${registry}${name}${file}` };
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
  const root = rootEntry(manifest, packages[""] ?? {});
  const needed = reached(root, packages);
  const { devDependencies: _, ...running } = root;
  const toRun = reached(running, packages);
  const kept = Object.entries(packages)
    .filter(([path]) => needed.has(path))
    .map(([path, locked]) => [path, toRun.has(path) ? neededToRun(locked) : locked]);
  return {
    ...lockfile,
    name: manifest.name,
    version: manifest.version,
    packages: { "": root, ...Object.fromEntries(kept) },
  };
}

/** Places of everything that a root and its workspaces need. */
function reached(root: Locked, packages: Lockfile["packages"]): Set<string> {
  const workspaces = root.workspaces as readonly unknown[];
  const needed = new Set<string>();
  for (const [path, { link, resolved }] of Object.entries(packages)) {
    if (workspaces.includes(link === true ? resolved : path)) needed.add(path);
  }
  for (const name of namesIn(root, true)) follow("", name);
  for (const path of [...needed]) visit(path);
  return needed;

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

/** A study's folder may have the library among its tools; the archive needs it to run. */
function neededToRun({ dev: _, devOptional, ...locked }: Locked): Locked {
  return devOptional === true ? { ...locked, optional: true } : locked;
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

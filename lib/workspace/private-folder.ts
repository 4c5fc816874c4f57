import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { libraryFolder } from "../notebook/build.js";

/** A temporary folder that only this user can read; it is removed when this process ends. */
export interface PrivateFolder {
  /** Absolute path of the folder. */
  readonly path: string;
  /** Removes the folder with everything in it. */
  remove(): void;
}

/**
 * Makes the folder. It is also removed when the process exits. After a SIGKILL the next run removes
 * it, because its name contains the process number.
 */
export function privateFolder(): PrivateFolder {
  const path = realpathSync(mkdtempSync(join(tmpdir(), `tautline-${process.pid}-`)));
  const remove = () => {
    process.off("exit", remove);
    rmSync(path, { recursive: true, force: true });
  };
  process.on("exit", remove);
  return { path, remove };
}

/** Writes files into a folder, each new: nothing is followed and nothing is replaced. */
export function writeNewFiles(folder: string, files: ReadonlyMap<string, Uint8Array>): void {
  for (const [path, content] of files) {
    const whole = join(folder, path);
    mkdirSync(dirname(whole), { recursive: true });
    writeFileSync(whole, content, { flag: "wx", mode: 0o600 });
  }
}

/** Lets notebooks in the folder import the library that runs now, and its dependencies. */
export function linkLibrary(folder: string): void {
  const library = libraryFolder();
  link(folder, "tautline", library);
  const manifest = JSON.parse(readFileSync(join(library, "package.json"), "utf8"));
  const { dependencies, peerDependencies } = manifest as Record<string, object>;
  for (const name of Object.keys({ ...dependencies, ...peerDependencies })) {
    const installed = installedBeside(library, name);
    if (installed) link(folder, name, installed);
  }
}

function link(folder: string, name: string, target: string): void {
  const path = join(folder, "node_modules", name);
  mkdirSync(dirname(path), { recursive: true });
  symlinkSync(target, path, "junction");
}

/** The folder of a package as the library finds it: in the nearest node_modules above. */
function installedBeside(library: string, name: string): string | undefined {
  const places = createRequire(join(library, "package.json")).resolve.paths(name) ?? [];
  return places.map((place) => join(place, name)).find((path) => existsSync(path));
}

import { spawnSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const root = resolve(fileURLToPath(import.meta.url), "../../..");

/** What npm and the shell that started the tests say about this repository is not for a user's folder. */
const env = Object.fromEntries(
  Object.entries(process.env).filter(
    ([name]) =>
      !/^(?:npm_(?!config_(?:registry|cache|userconfig)$)|INIT_CWD$|VITEST|NODE_ENV$)/.test(name),
  ),
);

export interface Ran {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export function run(folder: string, command: string, ...args: string[]): Ran {
  const { status, stdout, stderr, error } = spawnSync(command, args, {
    cwd: folder,
    env,
    encoding: "utf8",
  });
  if (error) throw error;
  return { status, stdout, stderr };
}

/** A program of this repository's tools, such as the compiler. */
export function tool(folder: string, program: string, ...args: string[]): Ran {
  return run(folder, process.execPath, join(root, program), ...args);
}

/** The library packed from a clean clone, and an empty folder for a user's project. */
export class PackedLibrary {
  readonly folder = realpathSync(mkdtempSync(join(tmpdir(), "tautline-packed-")));
  readonly project = join(this.folder, "project");
  readonly tarball: string;
  /** Paths of the files in the tarball. */
  readonly files: readonly string[];

  constructor() {
    const clone = join(this.folder, "clone");
    for (const name of ["lib", "package.json", "tsconfig.json", "LICENSE", "NOTICE"]) {
      cpSync(join(root, name), join(clone, name), {
        recursive: true,
        filter: (path) => !["dist", "node_modules"].includes(basename(path)),
      });
    }
    symlinkSync(join(root, "node_modules"), join(clone, "node_modules"), "junction");
    const packed = run(join(clone, "lib"), "npm", "pack", "--json");
    if (packed.status !== 0) throw new Error(packed.stderr);
    const [{ filename, files }] = JSON.parse(packed.stdout.slice(packed.stdout.indexOf("[\n")));
    this.tarball = join(clone, "lib", filename);
    this.files = files.map(({ path }: { path: string }) => path);
    mkdirSync(this.project);
    this.write("package.json", '{ "name": "a-project", "private": true }\n');
  }

  install(): Ran {
    return run(
      this.project,
      "npm",
      "install",
      "--prefer-offline",
      "--fetch-retries=0",
      this.tarball,
    );
  }

  write(path: string, text: string): void {
    writeFileSync(join(this.project, path), text);
  }

  json(path: string) {
    return JSON.parse(readFileSync(join(this.project, path), "utf8"));
  }

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

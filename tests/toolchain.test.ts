import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const json = (path: string) => JSON.parse(readFileSync(join(root, path), "utf8"));

/** The version of a package as the library would load it. */
function installed(name: string): string {
  const require = createRequire(join(root, "lib/package.json"));
  const folder = require.resolve.paths(name)!.map((path) => join(path, name, "package.json"));
  for (const path of folder) {
    try {
      return JSON.parse(readFileSync(path, "utf8")).version;
    } catch {
      // not in this node_modules folder
    }
  }
  return "absent";
}

describe("the toolchain", () => {
  it("builds with the compiler that package.json names, not with one a dependency brings", () => {
    const said = execFileSync(process.execPath, [
      join(root, "node_modules/typescript/bin/tsc"),
      "--version",
    ]);
    expect(String(said).trim()).toBe(`Version ${json("package.json").devDependencies.typescript}`);
  });

  it("has the kernel and the sheet reader at the versions that the code was written against", () => {
    // The display bridge looks into files of this tslab; an upgrade needs tests/notebook/bridge.test.ts.
    expect(installed("tslab")).toBe("1.0.22");
    expect(json("node_modules/xlsx/package.json").name).toBe("@e965/xlsx");
  });

  it("pins every dependency", () => {
    const loose = ["package.json", "lib/package.json"].flatMap((path) => {
      const { dependencies = {}, devDependencies = {} } = json(path);
      return Object.entries<string>({ ...dependencies, ...devDependencies })
        .filter(([, version]) => !/^(npm:[^@]*@?[^@]+@)?\d+\.\d+\.\d+$/.test(version))
        .map(([name, version]) => `${path}: ${name} ${version}`);
    });
    expect(loose).toEqual([]);
  });

  it("keeps the addresses of registries out of the lockfile", () => {
    const resolved = Object.values<{ resolved?: string; link?: boolean }>(
      json("package-lock.json").packages,
    )
      .map((entry) => entry.resolved ?? "")
      .filter((address) => /^https?:/.test(address));
    expect(resolved).toEqual([]);
  });
});

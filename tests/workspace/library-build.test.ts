import { spawnSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { unbuiltSources } from "../../lib/workspace/library-build.js";

const repository = fileURLToPath(new URL("../..", import.meta.url));

/** A copy of the library with its build, in a folder of studies without a notebook. */
describe("a library whose sources changed after its build", () => {
  let root: string;
  const source = () => join(root, "lib/stats/describe.ts");
  const unbuilt = () => unbuiltSources(join(root, "lib"), join(root, "lib/dist/.built"));
  const tautline = (...words: string[]) =>
    spawnSync(process.execPath, [join(root, "lib/bin/tautline.js"), ...words], {
      cwd: root,
      encoding: "utf8",
    });

  beforeAll(() => {
    root = mkdtempSync(join(tmpdir(), "tautline-build-"));
    cpSync(join(repository, "lib"), join(root, "lib"), {
      recursive: true,
      filter: (path) => !path.includes("node_modules"),
      preserveTimestamps: true,
    });
    symlinkSync(join(repository, "node_modules"), join(root, "node_modules"));
    writeFileSync(join(root, "package.json"), '{"type":"module"}');
    for (const folder of ["data", "notebooks"]) mkdirSync(join(root, folder));
    const empty = { cells: [], metadata: {}, nbformat: 4, nbformat_minor: 5 };
    writeFileSync(join(root, "notebooks/empty.ipynb"), JSON.stringify(empty));
  });
  afterAll(() => rmSync(root, { recursive: true }));

  it("is built from the sources beside it, in this repository", () => {
    expect(unbuiltSources()).toEqual([]);
    expect(unbuilt()).toEqual([]);
  });

  it.each(["verify", "rebuild"])("stops %s, which names the source and writes nothing", (word) => {
    const text = readFileSync(source(), "utf8");
    const changed = text.replace("madScale = 1.4826", "madScale = 1.482601");
    expect(changed).not.toBe(text);
    writeFileSync(source(), changed);
    const run = tautline(word);
    writeFileSync(source(), text);
    expect(run.status).toBe(2);
    expect(run.stderr).toContain(
      `tautline ${word}: the built library is older than its sources (lib/stats/describe.ts). Run npm run build first.`,
    );
    expect(run.stdout).toBe("");
    expect(unbuilt()).toEqual([]);
  });

  it("counts a source that was added or removed, whatever its time", () => {
    writeFileSync(join(root, "lib/stats/added.ts"), "export {};\n");
    rmSync(join(root, "lib/swing/pull.ts"));
    expect(unbuilt()).toEqual(["stats/added.ts", "swing/pull.ts"]);
  });

  it("is not judged where it was installed without sources", () => {
    rmSync(join(root, "lib/index.ts"));
    expect(unbuilt()).toEqual([]);
  });

  it("has to be built where its build recorded no sources", () => {
    writeFileSync(join(root, "lib/index.ts"), "");
    writeFileSync(join(root, "lib/dist/.built"), "");
    expect(unbuilt().length).toBeGreaterThan(400);
  });
});

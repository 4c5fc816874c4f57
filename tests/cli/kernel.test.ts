import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { jupyterDataFolder } from "../../lib/cli/kernel.js";
import { type TemporaryStudy, tautline, temporaryStudy } from "../notebook/temporary-study.js";

describe("tautline kernel", () => {
  let study: TemporaryStudy;
  let folder: string;
  const earlier = process.env.JUPYTER_DATA_DIR;

  beforeAll(() => {
    study = temporaryStudy([]);
    folder = mkdtempSync(join(tmpdir(), "jupyter-data-"));
    process.env.JUPYTER_DATA_DIR = folder;
  });
  afterAll(() => {
    if (earlier === undefined) delete process.env.JUPYTER_DATA_DIR;
    else process.env.JUPYTER_DATA_DIR = earlier;
    rmSync(folder, { recursive: true });
    study.remove();
  });

  it("registers, registers again without a change, and removes", async () => {
    const file = join(folder, "kernels", "tautline", "kernel.json");
    const { code, out } = await tautline(study, "kernel", "--json");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ kernel: "tautline", registered: true, changed: true });
    expect(JSON.parse(readFileSync(file, "utf8"))).toMatchObject({
      argv: [
        process.execPath,
        expect.stringMatching(/host\.js$/),
        "--config-path",
        "{connection_file}",
      ],
      display_name: "Tautline (TypeScript)",
      language: "typescript",
    });
    const again = JSON.parse((await tautline(study, "kernel", "--json")).out);
    expect(again).toMatchObject({ registered: true, changed: false });
    await tautline(study, "kernel", "--remove");
    expect(existsSync(join(folder, "kernels", "tautline"))).toBe(false);
    expect((await tautline(study, "kernel", "--remove")).out).toBe(
      "The kernel was not registered.\n",
    );
  });

  it("leaves a kernel of the same name alone that somebody else registered", async () => {
    const other = join(folder, "kernels", "tautline");
    mkdirSync(other, { recursive: true });
    writeFileSync(join(other, "kernel.json"), '{"argv": ["other"]}');
    for (const args of [["kernel"], ["kernel", "--remove"]]) {
      const { code, err } = await tautline(study, ...args);
      expect(code).toBe(2);
      expect(err).toContain("belongs to another kernel of the same name");
    }
    expect(readFileSync(join(other, "kernel.json"), "utf8")).toBe('{"argv": ["other"]}');
  });
});

describe("where Jupyter keeps its data", () => {
  it.each([
    [{ HOME: "/home/a" }, "linux", "/home/a/.local/share/jupyter"],
    [{ HOME: "/home/a", XDG_DATA_HOME: "/d" }, "linux", "/d/jupyter"],
    [{ HOME: "/Users/a" }, "darwin", "/Users/a/Library/Jupyter"],
    [{ HOME: "/home/a", JUPYTER_DATA_DIR: "/j" }, "linux", "/j"],
  ] as const)("%j on %s", (env, platform, expected) => {
    expect(jupyterDataFolder(env, platform)).toBe(expected);
  });
});

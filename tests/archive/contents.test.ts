import { cpSync, existsSync, mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { describe, expect, it } from "vitest";
import { type ArchivedNotebook, shareable } from "../../lib/archive/contents.js";
import { notebookOf, tautline, temporaryStudy } from "../notebook/temporary-study.js";

/** A folder of studies with these files, each holding its own name. */
function rootWith(...paths: string[]): string {
  const root = mkdtempSync(join(tmpdir(), "root-"));
  for (const path of paths) {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeFileSync(join(root, path), path);
  }
  return root;
}

function reading(...read: string[]): ArchivedNotebook[] {
  const source = read.map((path) => `readFileSync("../${path}");`).join("\n");
  const cells = [{ source: "# About" }, { source }];
  return [{ path: "notebooks/a.ipynb", notebook: { cells } as never, read }];
}

describe("the data of an archive", () => {
  it("are files below data/", () => {
    const root = rootWith("data/one/trials.csv", "data/notes.csv");
    const paths = ["data/notes.csv", "data/one/trials.csv"];
    expect(shareable(root, paths, [])).toEqual(paths);
  });

  it.each([
    ".env",
    "notes.txt",
    "datasheet/who.csv",
    "data/.env",
    "data/one/.who.csv",
    "data/.private/who.csv",
  ])("never hold %s, which is refused with the cell that read it", (path) => {
    const root = rootWith("data/one/trials.csv", path);
    expect(() => shareable(root, ["data/one/trials.csv", path], reading(path))).toThrow(
      `got ${path} (read by notebooks/a.ipynb, cell 2)`,
    );
  });

  it("never hold what a link below data/ leads to, at the file or on the way", () => {
    const root = rootWith("data/one/trials.csv", "home/who.csv");
    symlinkSync(join(root, "home/who.csv"), join(root, "data/one/who.csv"));
    symlinkSync(join(root, "home"), join(root, "data/two"));
    for (const path of ["data/one/who.csv", "data/two/who.csv"]) {
      expect(() => shareable(root, [path], [])).toThrow(
        `got ${path} (named by its datapackage.json)`,
      );
    }
  });

  it("stop the command: a notebook that read .env gets no archive", async () => {
    const study = temporaryStudy([]);
    cpSync("data/coach-nine", study.path("data/coach-nine"), { recursive: true });
    study.write(".env", "PASSWORD=halloway\n");
    const cell = `import { readFileSync } from "node:fs";\nreadFileSync("../.env", "utf8").length;`;
    const json = JSON.parse(notebookOf(cell));
    json.metadata.tautline = {
      version: "1.0.0",
      study: "coach-nine",
      changes: [{ version: "1.0.0", date: "2026-02-01", what: "First version." }],
    };
    study.write("notebooks/reads.ipynb", JSON.stringify(json));
    await tautline(study, "rebuild", "--no-report");
    const { code, err } = await tautline(study, "archive", "coach-nine");
    expect(code).not.toBe(0);
    expect(err).toMatch(/got \.env \(read by notebooks\/reads\.ipynb, cell \d\)/);
    expect(existsSync(study.path("out/coach-nine.zip"))).toBe(false);
    study.remove();
  }, 120_000);
});

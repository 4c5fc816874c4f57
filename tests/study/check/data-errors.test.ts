import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { dataErrors } from "../../../lib/study/check/data-errors.js";
import { filesOf, gripTrials } from "../small-study.js";

const root = mkdtempSync(join(tmpdir(), "tautline-data-errors-"));
afterAll(() => rmSync(root, { recursive: true }));

/** The small study as a folder, with another text for its forces. */
function write(folder: string, forces: string) {
  for (const [path, bytes] of filesOf({ gripTrials: forces }).files) {
    const to = join(root, folder, path);
    mkdirSync(dirname(to), { recursive: true });
    writeFileSync(to, bytes);
  }
}

write("data/clean", gripTrials);
write("data/typed", gripTrials.replace("28.0", "2x.0"));
write("data/far", gripTrials.replace("28.0", "98.0"));
write("data/asked", gripTrials.replace(",force,", ",pull,"));
mkdirSync(join(root, "data/tables"), { recursive: true });

describe("errors in the raw data of studies", () => {
  it("are named by a path from the root, row and column, each folder once", () => {
    const found = dataErrors(root, ["data/typed", "data/clean", "data/typed"]);
    expect(found.map(({ file, row, column }) => ({ file, row, column }))).toEqual([
      { file: "data/typed/grip-trials.csv", row: 2, column: "force" },
    ]);
    expect(found[0]!.message).toContain("2x.0");
  });

  it("come in the order of the folders' names, a file that cannot be read among them", () => {
    const files = dataErrors(root, ["data/typed", "data/asked"]).map(({ file }) => file);
    expect(new Set(files)).toEqual(
      new Set(["data/asked/grip-trials.csv", "data/typed/grip-trials.csv"]),
    );
    expect(files).toEqual([...files].sort());
  });

  it("are no warnings: a force that is only strange does not count", () => {
    expect(dataErrors(root, ["data/far"])).toEqual([]);
  });

  it("are not looked for where no study is", () => {
    expect(dataErrors(root, ["data/tables", "data/nowhere"])).toEqual([]);
  });
});

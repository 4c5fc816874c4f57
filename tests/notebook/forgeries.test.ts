import { describe, expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";
import { forgeries, readRecord } from "./forgeries.js";

describe("forgeries of the repository's notebooks", () => {
  // A record stands for the re-run that made it, so that one run judges any number of forgeries.
  it("are all found: one digit, one letter or one place", () => {
    const paths = notebookPaths(process.cwd()).filter((path) => !path.endsWith("/explore.ipynb"));
    const missed = paths.flatMap((path, i) => {
      const record = readRecord(path);
      return forgeries(record, 3, 100 + i)
        .filter(({ notebook }) => compareNotebooks(notebook, record).agrees)
        .map(({ what }) => `${path}: ${what}`);
    });
    expect(paths.length).toBeGreaterThan(10);
    expect(missed).toEqual([]);
  });
});

import { expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";
import { forgeries, readRecord } from "../notebook/forgeries.js";

it("finds every one of 500 forgeries of the repository's notebooks", () => {
  const paths = notebookPaths(process.cwd()).filter((path) => !path.endsWith("/explore.ipynb"));
  const each = Math.ceil(500 / paths.length);
  let made = 0;
  const missed = paths.flatMap((path, i) => {
    const record = readRecord(path);
    const list = forgeries(record, each, 1000 + i);
    made += list.length;
    return list
      .filter(({ notebook }) => compareNotebooks(notebook, record).agrees)
      .map(({ what }) => `${path}: ${what}`);
  });
  expect(made).toBeGreaterThanOrEqual(500);
  expect(missed).toEqual([]);
}, 600_000);

import { expect, it } from "vitest";
import { IssueLog } from "../../../lib/study/check/issue-log.js";

it("a message shows controls of a file's column names as dots, so that none acts on a terminal", () => {
  const log = new IssueLog();
  const expected = "the file has no such column; it has force\u001b[31m, hand\r, \u202egrip";
  log.add({ file: "grip.csv", code: "mapping-wrong", value: "k\u0007g", expected });
  const [issue] = log.all();
  expect(issue?.message).toBe(
    'The mapping in the datapackage names "k·g", but the file has no such column; it has force·[31m, hand·, ·grip.',
  );
  expect(issue?.expected).toBe(expected);
});

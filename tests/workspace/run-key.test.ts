import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import { hashOf, type RunKey, reasonsToRun, runKey } from "../../lib/workspace/run-key.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

const around = { library: "l", lockfile: "f", node: "v20.19.0", drawing: "d" };
const text = notebookOf("1", "2");
const grip = "data/grip.csv";

describe("why a notebook has to run", () => {
  let study: TemporaryStudy;
  let key: RunKey;
  beforeAll(() => {
    study = temporaryStudy([]);
    const read = { [grip]: hashOf(study.read(grip)), "data/optional.csv": null };
    key = runKey(parseNotebook(text), text, read, around);
  });
  afterAll(() => study.remove());

  const reasons = (now: string, surroundings = around) =>
    reasonsToRun(parseNotebook(now), now, key, study.root, surroundings);

  it("has no reason when nothing changed", () => {
    expect(reasons(text)).toEqual([]);
  });

  it("has one when it never ran here", () => {
    expect(reasonsToRun(parseNotebook(text), text, undefined, study.root, around)).toEqual([
      "not run on this machine yet",
    ]);
  });

  it("names changed, added and removed cells", () => {
    expect(reasons(notebookOf("1", "3"))).toEqual(["cell 2 changed"]);
    expect(reasons(notebookOf("0", "3"))).toEqual(["cells 1, 2 changed"]);
    expect(reasons(notebookOf("1", "2", "3"))).toEqual(["1 cell added"]);
    expect(reasons(notebookOf())).toEqual(["2 cells removed"]);
  });

  it("sees a record that was changed by hand", () => {
    expect(reasons(text.replace('"1.0.0"', '"1.0.1"'))).toEqual([
      "the recorded file was changed by something else",
    ]);
  });

  it.each([
    ["library", "the library changed"],
    ["lockfile", "package-lock.json changed"],
    ["node", "Node v20.19.0 → other"],
    ["drawing", "the drawing of figures changed"],
  ])("names a changed %s", (part, reason) => {
    expect(reasons(text, { ...around, [part]: "other" })).toEqual([reason]);
  });

  it("names data that changed, appeared or went away", () => {
    study.write("data/optional.csv", "now\n");
    expect(reasons(text)).toEqual(["data/optional.csv is there now"]);
    study.write(grip, "kgf\n50\n");
    expect(reasons(text)).toContain("data/grip.csv changed");
    const gone = { ...key, data: { "data/none.csv": "a hash" } };
    expect(reasonsToRun(parseNotebook(text), text, gone, study.root, around)).toEqual([
      "data/none.csv is gone",
    ]);
  });
});

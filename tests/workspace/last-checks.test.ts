import { readFileSync } from "node:fs";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Comparison } from "../../lib/notebook/compare.js";
import { editsAmong, lastChecks, rememberCheck } from "../../lib/workspace/last-checks.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

const comparison = (verdict: "same" | "different"): Comparison => ({
  judgements: [
    {
      kind: "finding",
      id: "primary",
      cell: { number: 1, id: "c" },
      verdict,
      recorded: 1,
      rerun: 2,
    },
  ],
  counts: { same: 0, "within tolerance": 0, different: 0, missing: 0, new: 0, [verdict]: 1 },
  agrees: verdict === "same",
});

describe("the last check of each notebook", () => {
  let study: TemporaryStudy;
  beforeEach(() => {
    study = temporaryStudy([]);
  });
  afterEach(() => study.remove());

  it("stays when another notebook is run alone, with day and versions", () => {
    rememberCheck(study.root, "notebooks/a.ipynb", comparison("same"), []);
    rememberCheck(study.root, "notebooks/b.ipynb", comparison("different"), ["cell 2 changed"]);
    expect(lastChecks(study.root)).toMatchObject({
      "notebooks/a.ipynb": { edits: [], judgements: [{ id: "primary", verdict: "same" }] },
      "notebooks/b.ipynb": { edits: ["cell 2 changed"] },
    });
    const { on, node } = lastChecks(study.root)["notebooks/a.ipynb"]!;
    expect(on).toMatch(/^\d{4}-\d\d-\d\d$/);
    expect(node).toBe(process.version);
  });

  it("is not believed when it was written by somebody else", () => {
    rememberCheck(study.root, "notebooks/a.ipynb", comparison("different"), []);
    const path = ".tautline/checks.json";
    const forged = readFileSync(study.path(path), "utf8").replace("different", "same");
    study.write(path, forged);
    expect(lastChecks(study.root)).toEqual({});
  });

  it("tells an edit from a run for another reason", () => {
    expect(editsAmong(["not run on this machine yet"])).toEqual([]);
    expect(editsAmong(["asked for", "cell 2 changed", "data/grip.csv changed"])).toEqual([
      "cell 2 changed",
      "data/grip.csv changed",
    ]);
  });
});

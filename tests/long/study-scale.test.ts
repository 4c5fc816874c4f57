import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
const rows = 1_000_000;

/** A process of its own, so that its memory is its own. */
const script = `
import { openStudy, summariseGrip } from "tautline";
import { bigStudy } from "./tests/bench/big-study.js";
const study = bigStudy(${rows});
const opened = openStudy(study.folder);
const summary = summariseGrip(opened, { rule: "mean3" });
study.clear();
const { used } = opened.account.find(({ resource }) => resource === "grip-trials");
console.log(JSON.stringify({ used, summaries: summary.totalRows(), megabytes: process.resourceUsage().maxRSS / 1024 }));
`;

describe("a million grip trials", () => {
  let result: { used: number; summaries: number; megabytes: number };

  beforeAll(() => {
    const child = spawnSync(process.execPath, ["--input-type=module", "-e", script], {
      cwd: root,
      encoding: "utf8",
    });
    expect(child.stderr).toBe("");
    result = JSON.parse(child.stdout);
  });

  it("are read without losing one, in less than a gigabyte", () => {
    expect(result.used).toBe(rows);
    expect(result.summaries).toBe(Math.ceil(rows / 3));
    expect(result.megabytes).toBeLessThan(1000);
  });
});

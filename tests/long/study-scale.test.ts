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

/** Checked by the program itself, its output counted and not kept. */
const spoiltScript = `
import { bigStudy } from "./tests/bench/big-study.js";
import { main } from "./lib/dist/cli/main.js";
const study = bigStudy(${rows}, { spoilt: true });
const io = (out) => ({ out, err: () => undefined, cwd: process.cwd() });
let summary = "";
await main(["check", study.folder], io((text) => { summary += text; }));
let lines = 0;
let last = "";
await main(["check", study.folder, "--all"], io((text) => {
  lines += text.split("  error  ").length - 1;
  last = text;
}));
const mark = '"code":"not-a-number"';
let documents = 0;
let rest = "";
await main(["check", study.folder, "--json"], io((text) => {
  const whole = rest + text;
  documents += whole.split(mark).length - 1;
  rest = whole.slice(1 - mark.length);
}));
study.clear();
console.log(JSON.stringify({ summary, lines, last: last.slice(-200), documents, megabytes: process.resourceUsage().maxRSS / 1024 }));
`;

describe("a million unreadable cells", () => {
  it("are counted in a summary, listed one by one when asked, in less than a gigabyte", () => {
    const child = spawnSync(process.execPath, ["--input-type=module", "-e", spoiltScript], {
      cwd: root,
      encoding: "utf8",
    });
    expect(child.stderr).toBe("");
    const result = JSON.parse(child.stdout);
    expect(result.summary).toContain(`What was found: ${rows} errors`);
    expect(result.summary).toContain(`and ${rows - 1} more of this kind`);
    expect(result.summary.split("\n").length).toBeLessThan(30);
    expect(result.lines).toBe(rows);
    expect(result.documents).toBe(rows);
    expect(result.last).toContain("What to do");
    expect(result.megabytes).toBeLessThan(1000);
  });
});

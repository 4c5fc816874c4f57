import { existsSync, readdirSync, readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { describeFault } from "../../lib/notebook/fault.js";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import type { Ran } from "../../lib/notebook/run.js";
import { runSuite } from "../../lib/notebook/suite.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const limits = { cellSeconds: 60, memoryMegabytes: 1024 };
const sleeper = "sleep 876.5";
let study: TemporaryStudy;
let ran: Ran;

const cells = [
  'import { readFileSync } from "node:fs"; readFileSync("../data/grip.csv", "utf8").length',
  'readFileSync("../notes.txt", "utf8").length',
  'import { spawn } from "node:child_process"; spawn("sh", ["-c", "sleep 876.5"], { detached: true, stdio: "ignore" }).unref();',
  "console.log(JSON.stringify([process.env.A_SECRET ?? null, process.env.TZ]))",
];

function isRunning(command: string): boolean {
  return readdirSync("/proc")
    .filter((name) => /^\d+$/.test(name))
    .some((pid) => {
      try {
        const line = readFileSync(`/proc/${pid}/cmdline`, "utf8").replaceAll("\0", " ");
        return line.includes(command);
      } catch {
        return false; // it ended while we looked
      }
    });
}

beforeAll(async () => {
  study = temporaryStudy([]);
  study.write("notes.txt", "seen\n");
  process.env.A_SECRET = "a password";
  const notebook = parseNotebook(notebookOf(...cells));
  const [outcome] = await runSuite([{ name: "notebooks/reaches.ipynb", notebook }], {
    root: study.root,
    limits,
    parallel: 1,
  });
  delete process.env.A_SECRET;
  if (outcome?.kind !== "ran") throw new Error(outcome && describeFault(outcome.fault));
  ran = outcome.ran;
}, 120_000);
afterAll(() => study.remove());

describe("what a cell reaches beyond the data", () => {
  it("is told with the cell; reading data is not", () => {
    expect(ran.warnings).toEqual([
      "cell 2 reads outside data/: notes.txt; the record does not cover it",
      "cell 3 starts another program: sh; the record does not cover it",
    ]);
  });

  it("gets nothing of this person's environment", () => {
    expect(ran.notebook.cells[3]).toMatchObject({
      outputs: [{ text: '[null,"UTC"]\n' }],
    });
  });

  it.skipIf(!existsSync("/proc/self/environ"))(
    "ends with the run, even a process that was detached (skipped where there is no /proc)",
    () => {
      expect(isRunning(sleeper)).toBe(false);
    },
  );
});

import { existsSync, readdirSync, readlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { isAlive } from "../../lib/notebook/connection.js";
import { describeFault, type Fault } from "../../lib/notebook/fault.js";
import { runningKernels } from "../../lib/notebook/kernel-process.js";
import type { CodeCell } from "../../lib/notebook/nbformat.js";
import type { Ran } from "../../lib/notebook/run.js";
import { type Outcome, runSuite } from "../../lib/notebook/suite.js";
import { notebookFile, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const usual = { cellSeconds: 60, memoryMegabytes: 1024 };
const outcomes = new Map<string, Outcome>();
let study: TemporaryStudy;

/** Runs notebooks of tests/notebook/files, two at a time. */
async function runAll(names: readonly string[], limits = usual): Promise<void> {
  const jobs = names.map((name) => ({
    name: `notebooks/${name}.ipynb`,
    notebook: notebookFile(name),
  }));
  const done = await runSuite(jobs, { root: study.root, limits, parallel: 2 });
  for (const [i, outcome] of done.entries()) outcomes.set(names[i]!, outcome);
}

const whole = [
  "states-two-findings",
  "prints-a-number",
  "names-its-folder",
  "writes-to-stderr",
  "prints-many-lines",
  "floods",
  "starts-a-child",
];
const failing = [
  "throws",
  "wrong-type",
  "syntax-error",
  "rejects-unawaited",
  "rejects-later",
  "repeats-an-id",
  "dies",
  "exits",
];
const overTime = ["never-ends", "never-settles", "ignores-interrupts", "leaves-a-loop"];
const overMemory = ["eats-the-heap", "eats-buffers"];

beforeAll(async () => {
  study = temporaryStudy([]);
  await runAll([...whole, ...failing]);
  await runAll(overTime, { ...usual, cellSeconds: 3 });
  await runAll(overMemory, { ...usual, memoryMegabytes: 400 });
}, 600_000);
afterAll(() => study.remove());

function faultOf(name: string): Fault {
  const outcome = outcomes.get(name)!;
  if (outcome.kind !== "failed") throw new Error(`${name} ran to its end`);
  return outcome.fault;
}

function ranOf(name: string): Ran {
  const outcome = outcomes.get(name)!;
  if (outcome.kind !== "ran") throw new Error(describeFault(outcome.fault));
  return outcome.ran;
}

function outputs(ran: Ran, cell: number) {
  return (ran.notebook.cells[cell - 1] as CodeCell).outputs;
}

describe("running a notebook", () => {
  it("records each display as one output with all its forms, and tells the files read", () => {
    const ran = ranOf("states-two-findings");
    expect(outputs(ran, 3)).toHaveLength(1);
    expect(outputs(ran, 3)[0]).toMatchObject({
      output_type: "display_data",
      data: {
        "application/vnd.tautline.finding+json": { kind: "finding", id: "mean", count: { n: 3 } },
        "text/plain": expect.stringContaining("Mean grip: 41.6 kgf"),
        "text/html": expect.stringContaining("<p"),
      },
    });
    expect(outputs(ran, 6)).toEqual([
      { output_type: "stream", name: "stdout", text: "3 trials\n" },
    ]);
    expect(Object.keys(ran.files)).toEqual(["data/grip.csv"]);
    expect(ran.files["data/grip.csv"]).toMatch(/^[0-9a-f]{64}$/);
  });

  it("counts cells in order whatever was counted before", () => {
    const ran = ranOf("prints-a-number");
    const counts = ran.notebook.cells.map((cell) => (cell as CodeCell).execution_count);
    expect(counts).toEqual([1, 2]);
  });

  it("leaves no folder of the machine and no process number in the outputs", () => {
    const ran = ranOf("names-its-folder");
    const text = JSON.stringify(outputs(ran, 1));
    expect(text).toContain("notebooks\\n");
    expect(text).toContain("(node) warning");
    expect(text).not.toContain(study.root);
    expect(text).not.toContain("123");
  });

  it("takes words on the standard error for a note, not for a failure", () => {
    const ran = ranOf("writes-to-stderr");
    expect(ran.warnings).toEqual(["cell 1 wrote to the standard error: a word of warning"]);
  });

  it("loses no line of a long output", () => {
    const [output] = outputs(ranOf("prints-many-lines"), 1);
    const lines = (output as { text: string }).text.trimEnd().split("\n");
    expect(lines).toHaveLength(20000);
    expect(lines.at(-1)).toBe("line 19999");
  });

  it("cuts a flood of output, says so, and goes on", () => {
    const ran = ranOf("floods");
    const [output] = outputs(ran, 1);
    const { text } = output as { text: string };
    expect(text.length).toBeLessThan(1_000_200);
    expect(text).toContain("[Output cut: this cell wrote more than 1 million characters.]");
    expect(ran.warnings).toEqual(["cell 1: its output was too long and was cut"]);
    expect(outputs(ran, 2)).toMatchObject([{ text: "after the flood\n" }]);
  });
});

describe("a limit longer than a timer can be", () => {
  it("does not interrupt at once", async () => {
    await runAll(["prints-a-number"], { ...usual, cellSeconds: 3_000_000 });
    expect(outputs(ranOf("prints-a-number"), 2)).toHaveLength(1);
  });
});

describe("a notebook that fails", () => {
  it("tells the line of an exception with a caret, and who called it", () => {
    const fault = faultOf("throws");
    expect(describeFault(fault)).toBe(
      [
        "notebooks/throws.ipynb, cell 2, line 3 (while cell 3 ran): RangeError: no third trial for 7",
        "      throw new RangeError(`no third trial for $" + "{x}`);",
        "            ^",
        "    in third (cell 2, line 3)",
        "    in the cell itself (cell 3, line 4)",
      ].join("\n"),
    );
  });

  it("tells the line of a type error", () => {
    const fault = faultOf("wrong-type");
    expect(fault).toMatchObject({ kind: "types", cell: { number: 2, line: 2, column: 7 } });
    expect(describeFault(fault)).toContain(
      "Type error: Type 'number' is not assignable to type 'string'.\n" +
        "    const label: string = n;\n          ^",
    );
  });

  it("tells a syntax error from a type error", () => {
    const fault = faultOf("syntax-error");
    expect(fault).toMatchObject({ name: "Syntax error", cell: { number: 2, line: 1, column: 16 } });
  });

  it("fails the cell that left a promise rejected, though nobody awaited it", () => {
    const fault = faultOf("rejects-unawaited");
    expect(fault).toMatchObject({ kind: "rejection", message: "nobody waits for me", running: 2 });
  });

  it("waits at the end for a promise that is rejected later", () => {
    const fault = faultOf("rejects-later");
    expect(fault).toMatchObject({ kind: "rejection", message: "too late", cell: { number: 1 } });
  });

  it("refuses two findings under one id", () => {
    const fault = faultOf("repeats-an-id");
    expect(fault.message).toBe("finding twice is stated more than once (cells 1 and 2)");
  });

  it.each([
    ["never-ends", 2, "was interrupted"],
    ["never-settles", 1, "was interrupted"],
    ["ignores-interrupts", 1, "did not stop when interrupted and was ended"],
    ["leaves-a-loop", 1, "did not stop when interrupted and was ended"],
  ])("stops %s at the limit and names the cell", (name, number, end) => {
    const fault = faultOf(name);
    expect(fault).toMatchObject({ kind: "time limit", cell: { number } });
    expect(fault.message).toBe(`went on past its limit of 3 s and ${end}`);
  });

  it.each([["eats-the-heap"], ["eats-buffers"]])("stops %s at the memory limit", (name) => {
    const fault = faultOf(name);
    expect(fault).toMatchObject({
      kind: "memory limit",
      cell: { number: 1 },
      message: "used more than its limit of 400 MB of memory",
    });
  });

  it("tells how a kernel ended that died", () => {
    expect(faultOf("dies")).toMatchObject({
      kind: "kernel died",
      cell: { number: 2 },
      message: "the kernel died while this cell ran (SIGKILL)",
    });
    expect(faultOf("exits")).toMatchObject({
      message: expect.stringContaining("exit code 7"),
    });
  });
});

describe("a suite of notebooks", () => {
  it("keeps the order of its notebooks, and goes on after one that failed", () => {
    expect([...outcomes].map(([name, { kind }]) => [name, kind])).toEqual([
      ...whole.map((name) => [name, "ran"]),
      ...[...failing, ...overTime, ...overMemory].map((name) => [name, "failed"]),
    ]);
  });

  it("leaves no kernel, no child of a cell and no socket behind", async () => {
    expect(runningKernels()).toEqual([]);
    const left = readdirSync(tmpdir()).filter((name) =>
      name.startsWith(`tautline-${process.pid}-`),
    );
    expect(left).toEqual([]);
    // a process that was killed needs a moment to be gone
    await expect.poll(() => sleepers(study.root), { timeout: 30_000 }).toEqual([]);
  });
});

/** Processes whose working folder lies in the study; looked up where the system has /proc. */
function sleepers(root: string): number[] {
  if (!existsSync("/proc/self/cwd")) return [];
  return readdirSync("/proc")
    .map(Number)
    .filter((pid) => pid > 0 && isAlive(pid) && folderOf(pid).startsWith(root));
}

function folderOf(pid: number): string {
  try {
    return readlinkSync(`/proc/${pid}/cwd`);
  } catch {
    return "";
  }
}

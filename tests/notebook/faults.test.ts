import { spawnSync } from "node:child_process";
import { chmodSync, chownSync, existsSync, readdirSync, statSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import {
  kernelsIn,
  processesIn,
  type Running,
  socketFolders,
  startProgram,
  until,
} from "./bystanders.js";
import { randomKills } from "./random-kills.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const hasProc = existsSync("/proc/self/cwd");
const files = 'import { writeFileSync } from "node:fs";';
const number = "notebooks/prints-a-number.ipynb";

/** Starts a rebuild of a notebook that never ends and waits until its kernel runs the cell. */
async function rebuildingForever(study: TemporaryStudy): Promise<Running> {
  study.write("notebooks/forever.ipynb", notebookOf('console.log("on")', "for (;;);"));
  const running = startProgram(study, ["rebuild", "forever", "--no-report"]);
  await running.says(/forever\.ipynb: running/);
  await until(() => kernelsIn(study).length > 0, 90_000);
  return running;
}

async function nothingLeft(study: TemporaryStudy, pid: number): Promise<void> {
  await until(() => processesIn(study).length === 0, 60_000);
  await until(() => socketFolders(pid).length === 0, 60_000);
}

describe.skipIf(!hasProc)("stopping a rebuild (skipped where there is no /proc)", () => {
  it.each([
    ["SIGINT", 130],
    ["SIGTERM", 143],
    ["SIGHUP", 129],
  ] as const)(
    "%s ends the kernel, gives the lock back and leaves the record",
    async (signal, code) => {
      const study = temporaryStudy([]);
      const running = await rebuildingForever(study);
      const before = study.read("notebooks/forever.ipynb");
      running.child.kill(signal);
      expect(await running.ended).toEqual({ code, signal: null });
      await nothingLeft(study, running.child.pid!);
      expect(existsSync(study.path(".tautline/lock"))).toBe(false);
      expect(study.read("notebooks/forever.ipynb")).toBe(before);
      study.remove();
    },
  );

  it("SIGKILL leaves no kernel behind either, and the next rebuild takes over", async () => {
    const study = temporaryStudy(["prints-a-number"]);
    const running = await rebuildingForever(study);
    running.child.kill("SIGKILL");
    await running.ended;
    await nothingLeft(study, running.child.pid!);
    const next = startProgram(study, ["rebuild", "prints-a-number", "--no-report"]);
    expect(await next.ended).toMatchObject({ code: 0 });
    study.remove();
  });

  it("refuses a second rebuild while the first one runs", async () => {
    const study = temporaryStudy([]);
    const running = await rebuildingForever(study);
    const second = startProgram(study, ["rebuild", "--no-report"]);
    expect(await second.ended).toMatchObject({ code: 2 });
    expect(second.err()).toContain(
      `another rebuild (process ${running.child.pid}) is running in this study`,
    );
    running.child.kill("SIGTERM");
    await running.ended;
    study.remove();
  });
});

describe.skipIf(!hasProc)("a kernel that is killed (skipped where there is no /proc)", () => {
  it.each([
    // The cell waits, so that a kernel killed a little late has not done its work either.
    ["while it starts", ["await new Promise((go) => setTimeout(go, 3000));"]],
    [
      "in a cell",
      [
        files,
        'writeFileSync("../running", "");',
        "await new Promise((go) => setTimeout(go, 60000));",
      ],
    ],
    [
      "in the middle of its messages",
      [
        files,
        'for (let i = 0; ; i++) { console.log("x".repeat(500)); if (i === 99) writeFileSync("../running", ""); await 0; }',
      ],
    ],
  ])("%s is told with its cell, and the record stays", async (when, cells) => {
    const study = temporaryStudy([]);
    study.write("notebooks/killed.ipynb", notebookOf(...cells, "1"));
    const before = study.read("notebooks/killed.ipynb");
    const running = startProgram(study, ["rebuild", "--no-report"]);
    await until(() => kernelsIn(study).length > 0, 90_000);
    if (when !== "while it starts") await until(() => existsSync(study.path("running")), 90_000);
    for (const pid of kernelsIn(study)) process.kill(pid, "SIGKILL");
    expect(await running.ended).toMatchObject({ code: 3 });
    expect(running.err()).toMatch(/killed\.ipynb(?:, cell \d)?: the kernel (?:died|did not start)/);
    expect(study.read("notebooks/killed.ipynb")).toBe(before);
    await nothingLeft(study, running.child.pid!);
    study.remove();
  });

  it("at random moments, with or without the program, never damages a file", {
    timeout: 300_000,
  }, async () => {
    const study = temporaryStudy(["prints-a-number", "writes-to-stderr"]);
    const told = await randomKills(study, { kills: 10, seed: 5 });
    expect(told).toEqual({ kills: 10, damaged: [], orphans: [], sockets: [], temporaries: [] });
    study.remove();
  });
});

const nobody = 65534;
const isRoot = process.getuid?.() === 0;

/** Whether another user can enter every folder above a file, as a container's /root forbids. */
function othersCanEnter(path: string): boolean {
  const folder = dirname(path);
  const open = (statSync(folder).mode & 0o001) !== 0;
  return open && (folder === dirname(folder) || othersCanEnter(folder));
}

describe("a disk that takes nothing", () => {
  const unable = !hasProc || (isRoot && !othersCanEnter(resolve("package.json")));
  it.skipIf(unable)(
    "reports a read-only folder and leaves the record (skipped where root's files are closed to other users)",
    async () => {
      const study = temporaryStudy(["prints-a-number"]);
      const before = study.read(number);
      const folder = study.path("notebooks");
      study.write(".tautline/runs.json", "{}");
      if (isRoot) {
        for (const path of [".", ".tautline", ".tautline/runs.json"])
          chownSync(study.path(path), nobody, nobody);
      }
      chmodSync(folder, 0o555);
      const user = isRoot ? { uid: nobody, gid: nobody, env: { HOME: study.root } } : {};
      const running = startProgram(study, ["rebuild", "--no-report"], user);
      expect(await running.ended).toMatchObject({ code: 3 });
      expect(running.err()).toContain("its outputs could not be recorded: EACCES");
      expect(running.err()).toContain("The file is unchanged.");
      chmodSync(folder, 0o755);
      expect(study.read(number)).toBe(before);
      study.remove();
    },
  );

  it("tells a full disk and leaves the record (skipped where no small disk can be mounted)", async (test) => {
    const study = temporaryStudy([]);
    const folder = study.path("notebooks");
    // Only root may mount, and not in every container. A full disk cannot be had otherwise, and a
    // faked error would test the fake.
    const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=32k", "tmpfs", folder]);
    if (mounted.status !== 0) {
      study.remove();
      return test.skip();
    }
    try {
      study.write("notebooks/large.ipynb", notebookOf('console.log("x".repeat(60000))'));
      const before = study.read("notebooks/large.ipynb");
      const running = startProgram(study, ["rebuild", "--no-report"]);
      expect(await running.ended).toMatchObject({ code: 3 });
      expect(running.err()).toContain("its outputs could not be recorded: ENOSPC");
      expect(study.read("notebooks/large.ipynb")).toBe(before);
      expect(parseNotebook(before).cells).toHaveLength(1);
      expect(readdirSync(folder)).toEqual(["large.ipynb"]);
    } finally {
      await until(() => spawnSync("umount", [folder]).status === 0, 10_000);
      study.remove();
    }
  });
});

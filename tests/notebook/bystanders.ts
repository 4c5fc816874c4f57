import { type ChildProcess, spawn } from "node:child_process";
import { readdirSync, readFileSync, readlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import type { TemporaryStudy } from "./temporary-study.js";

const program = resolve(dirname(fileURLToPath(import.meta.url)), "../../lib/bin/tautline.js");

/** The program as a process of its own, so that it can be killed. */
export interface Running {
  readonly child: ChildProcess;
  readonly ended: Promise<{ code: number | null; signal: NodeJS.Signals | null }>;
  out(): string;
  err(): string;
  /** Resolves when the program has said something like this. */
  says(pattern: RegExp): Promise<void>;
}

export function startProgram(
  study: TemporaryStudy,
  args: readonly string[],
  options: { uid?: number; gid?: number; env?: NodeJS.ProcessEnv } = {},
): Running {
  const child = spawn(process.execPath, [program, ...args], {
    cwd: study.root,
    stdio: ["ignore", "pipe", "pipe"],
    ...options,
    env: { ...process.env, ...options.env },
  });
  let [out, err] = ["", ""];
  child.stdout!.on("data", (text) => {
    out += text;
  });
  child.stderr!.on("data", (text) => {
    err += text;
  });
  const ended = new Promise<{ code: number | null; signal: NodeJS.Signals | null }>((resolve) =>
    child.once("close", (code, signal) => resolve({ code, signal })),
  );
  const says = async (pattern: RegExp) => {
    await until(() => pattern.test(out + err) || child.exitCode !== null, 120_000);
    if (!pattern.test(out + err)) throw new Error(`it ended with: ${out}${err}`);
  };
  return { child, ended, out: () => out, err: () => err, says };
}

/** Waits for something to come true. */
export async function until(isSo: () => boolean, milliseconds: number): Promise<void> {
  const end = performance.now() + milliseconds;
  while (!isSo()) {
    if (performance.now() > end) throw new Error(`not so after ${milliseconds} ms: ${isSo}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Kernels, and what their cells started, that run in a study's folders. Needs /proc. */
export function processesIn(study: TemporaryStudy): number[] {
  return readdirSync("/proc")
    .map(Number)
    .filter((pid) => pid > 0 && pid !== process.pid)
    .filter((pid) => {
      try {
        const inStudy = readlinkSync(`/proc/${pid}/cwd`).startsWith(study.root);
        const command = readFileSync(`/proc/${pid}/cmdline`, "utf8");
        return inStudy && command !== "" && !command.includes("tautline.js");
      } catch {
        return false; // it ended while we looked
      }
    });
}

/** Folders of sockets that processes of a given number opened. */
export function socketFolders(pid: number): string[] {
  return readdirSync(tmpdir()).filter((name) => name.startsWith(`tautline-${pid}-`));
}

/** The kernels among them: the program's other child checks the types of cells, and a run gets by without it. */
export function kernelsIn(study: TemporaryStudy): number[] {
  return processesIn(study).filter((pid) => {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, "utf8").includes("host.js");
    } catch {
      return false; // it ended while we looked
    }
  });
}

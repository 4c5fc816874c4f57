import { type ChildProcess, spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { join } from "node:path";
import type { Readable } from "node:stream";
import { present } from "../entry.js";
import { buildFolder } from "./build.js";
import { type Connection, closeConnection } from "./connection.js";
import { endMarkedProcesses, markName } from "./marked-processes.js";

/** What a kernel process needs to start. */
export interface ProcessOptions {
  /** Folder the kernel starts in: the notebook's own, as in every Jupyter front end. */
  readonly folder: string;
  /** Root of the study repository; reads are told relative to it. */
  readonly root: string;
  /** Memory limit of the kernel, in megabytes (1024 × 1024 bytes). */
  readonly memoryMegabytes: number;
}

/** How a kernel process ended. */
export interface Ending {
  /** Exit code of the process; null when a signal ended it or it never started. */
  readonly code: number | null;
  /** The signal that ended the process; null when it exited by itself. */
  readonly signal: NodeJS.Signals | null;
  /** The watchman ended it because it passed the memory limit, or V8 ran out of its heap. */
  readonly outOfMemory: boolean;
  /** The last 8000 characters that the process wrote to the standard error. */
  readonly stderr: string;
}

/** A kernel's process group and what it says on its pipes. */
export interface KernelProcess {
  /** Id of the process; -1 when it could not be started. */
  readonly pid: number;
  /** Settles with "ready", "address taken" or "not started: …" when the kernel has said so. */
  readonly announced: Promise<string>;
  /** Settles when the process has ended and its sockets are removed. */
  readonly ended: Promise<Ending>;
  /** How the process ended; undefined while it runs. */
  ending(): Ending | undefined;
  /** Asks the running cell to stop, by the signal SIGINT. */
  interrupt(): void;
  /** Ends the process and every process that its cells started. */
  kill(): void;
}

const host = join(buildFolder, "notebook", "host.js");
const keptStderr = 8000;
const alive = new Map<number, { connection: Connection; mark: string }>();

/** Kernels must not outlive this process, however it ends. A SIGKILL is the watchman's case. */
process.on("exit", () => {
  for (const [pid, { connection, mark }] of alive) {
    killGroup(pid);
    endMarkedProcesses(mark);
    closeConnection(connection);
  }
});

/** Ids of the kernels that run now. */
export function runningKernels(): number[] {
  return [...alive.keys()];
}

/** Starts the kernel program in a process group of its own. */
export function startProcess(connection: Connection, options: ProcessOptions): KernelProcess {
  const heap = Math.max(64, Math.floor(options.memoryMegabytes));
  const mark = randomUUID();
  const child = spawn(
    process.execPath,
    [`--max-old-space-size=${heap}`, host, "--config-path", connection.file],
    {
      cwd: options.folder,
      detached: true,
      stdio: ["ignore", "pipe", "pipe", "pipe"],
      env: kernelEnvironment(options, mark),
    },
  );
  return follow(child, connection, mark);
}

/** Variables of this machine that a kernel needs to start programs and find temporary folders. */
const inheritedNames =
  /^(?:PATH|HOME|USER|LOGNAME|SHELL|TMPDIR|TEMP|TMP|SystemRoot|SystemDrive|ComSpec|PATHEXT|USERPROFILE|APPDATA|LOCALAPPDATA|NODE_PATH|NODE_EXTRA_CA_CERTS)$/i;

/**
 * What a notebook sees of the machine is fixed where results could depend on it. Nothing else is
 * handed on: a notebook that came from somebody else gets no password or key of this person.
 */
function kernelEnvironment(options: ProcessOptions, mark: string): NodeJS.ProcessEnv {
  const inherited = Object.entries(process.env).filter(([name]) => inheritedNames.test(name));
  return {
    ...Object.fromEntries(inherited),
    [markName]: mark,
    TZ: "UTC",
    LANG: "C.UTF-8",
    LC_ALL: "C.UTF-8",
    NO_COLOR: "1",
    TAUTLINE_ROOT: options.root,
    TAUTLINE_KERNEL_MEMORY: String(options.memoryMegabytes * 1024 * 1024),
  };
}

function follow(child: ChildProcess, connection: Connection, mark: string): KernelProcess {
  const pid = child.pid ?? -1;
  if (pid > 0) alive.set(pid, { connection, mark });
  let ending: Ending | undefined;
  let stderr = "";
  present(child.stdout).resume();
  present(child.stderr)
    .setEncoding("utf8")
    .on("data", (text: string) => {
      stderr = (stderr + text).slice(-keptStderr);
    });
  const announcements = lines(child.stdio[3] as Readable);
  const ended = new Promise<Ending>((resolve) => {
    const finish = (code: number | null, signal: NodeJS.Signals | null) => {
      killGroup(pid); // children that a cell started
      endMarkedProcesses(mark); // and those that it detached
      alive.delete(pid);
      closeConnection(connection);
      const outOfMemory =
        announcements.heard.includes("memory limit") || /heap out of memory/.test(stderr);
      ending = { code, signal, outOfMemory, stderr };
      resolve(ending);
    };
    child.once("error", (error) => {
      stderr += error.message;
      finish(null, null);
    });
    child.once("close", finish);
    // a grandchild may hold the pipes open after the kernel itself is gone
    child.once("exit", () =>
      setTimeout(() => {
        for (const pipe of child.stdio) pipe?.destroy();
      }, 200).unref(),
    );
  });
  return {
    pid,
    announced: Promise.race([announcements.first, ended.then(() => "ended")]),
    ended,
    ending: () => ending,
    interrupt: () => child.kill("SIGINT"),
    kill: () => {
      killGroup(pid);
      endMarkedProcesses(mark);
    },
  };
}

function lines(pipe: Readable): { heard: string[]; first: Promise<string> } {
  const heard: string[] = [];
  let rest = "";
  const first = new Promise<string>((resolve) => {
    pipe.setEncoding("utf8").on("data", (text: string) => {
      const parts = (rest + text).split("\n");
      rest = present(parts.pop());
      heard.push(...parts);
      if (heard[0] !== undefined) resolve(heard[0]);
    });
    pipe.on("error", () => {});
  });
  return { heard, first };
}

function killGroup(pid: number): void {
  if (pid <= 0) return;
  try {
    process.kill(process.platform === "win32" ? pid : -pid, "SIGKILL");
  } catch {
    // it is gone already
  }
}

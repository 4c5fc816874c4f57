import { readdirSync, readFileSync } from "node:fs";

/** The variable that marks a kernel and every process that its cells start. */
export const markName = "TAUTLINE_KERNEL_MARK";

/**
 * Ends every process that carries the mark of a kernel, also one that a cell detached from the
 * kernel's group. Only Linux shows the environment of a process; elsewhere, and when a cell starts a
 * process with an empty environment, such a process stays.
 */
export function endMarkedProcesses(mark: string): void {
  if (process.platform !== "linux" || mark === "") return;
  for (const pid of markedProcesses(mark)) {
    try {
      process.kill(pid, "SIGKILL");
    } catch {
      // it is gone already
    }
  }
}

function markedProcesses(mark: string): number[] {
  const entry = `${markName}=${mark}`;
  return processIds().filter(
    (pid) => pid !== process.pid && environmentOf(pid).split("\0").includes(entry),
  );
}

function processIds(): number[] {
  try {
    return readdirSync("/proc")
      .filter((name) => /^\d+$/.test(name))
      .map(Number);
  } catch {
    return []; // a sandbox without this folder
  }
}

/** The environment of a process; nothing for a process of another user or one that is gone. */
function environmentOf(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/environ`, "latin1");
  } catch {
    return "";
  }
}

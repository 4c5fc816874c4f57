import { writeSync } from "node:fs";
import { dirname, join } from "node:path";
import { Worker } from "node:worker_threads";
import { buildFolder } from "./build.js";

/** File descriptor of the pipe to the process that started this kernel. */
const parentPipe = 3;

/** Whether this kernel was started by a run of this library, not by a Jupyter front end. */
export function isGuarded(): boolean {
  return process.env.TAUTLINE_KERNEL_MEMORY !== undefined;
}

/**
 * Starts the watchman, a thread that ends this kernel when the process that started it is gone or
 * when the memory limit is passed: the main thread may be deep in a cell and cannot look. A kernel
 * started by a Jupyter front end has no such pipe and is left to the front end.
 * @returns a function that tells the parent one line
 */
export function guardAgainstParent(connectionFile: string): (line: string) => void {
  const limit = process.env.TAUTLINE_KERNEL_MEMORY;
  if (limit === undefined) return () => {};
  delete process.env.TAUTLINE_KERNEL_MEMORY;
  const watchman = new Worker(join(buildFolder, "notebook", "watchman.js"), {
    workerData: { folder: dirname(connectionFile), limit: Number(limit), pipe: parentPipe },
  });
  watchman.unref();
  return (line) => writeSync(parentPipe, `${line}\n`);
}

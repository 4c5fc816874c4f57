import { rmSync, writeSync } from "node:fs";
import { Socket } from "node:net";
import { workerData } from "node:worker_threads";
import { endMarkedProcesses, markName } from "./marked-processes.js";

const { folder, limit, pipe } = workerData as { folder: string; limit: number; pipe: number };
const looksEvery = 100;

/** Ends this kernel with every process it started; it leads a process group of its own. */
function end(): void {
  try {
    // the main thread may be making sockets in it at this moment
    rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 20 });
  } catch {
    // the next rebuild sweeps it away
  }
  endMarkedProcesses(process.env[markName] ?? "");
  try {
    process.kill(-process.pid, "SIGKILL");
  } catch {
    process.kill(process.pid, "SIGKILL");
  }
}

const parent = new Socket({ fd: pipe, readable: true, writable: false });
parent.on("error", end).on("end", end).on("close", end).resume();

setInterval(() => {
  if (process.memoryUsage.rss() <= limit) return;
  try {
    writeSync(pipe, "memory limit\n");
  } finally {
    end();
  }
}, looksEvery);

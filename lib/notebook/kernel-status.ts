import { readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { isAlive } from "./connection.js";

/** What a kernel that a person works with says of itself. */
export interface KernelStatus {
  /** Id of its process. */
  readonly pid: number;
  /** The folder that it works in. */
  readonly folder: string;
  /** Number of cells that ran in it. */
  readonly cells: number;
  /** Cells whose output a run from top to bottom would not show, each with a sentence. */
  readonly stale: readonly { readonly cell: string; readonly sentence: string }[];
}

const statusPattern = /^tautline-status-(\d+)\.json$/;

/** Name of the file beside its connection file in which a kernel keeps its status. */
export function statusFileName(pid: number): string {
  return `tautline-status-${pid}.json`;
}

/** The kernels of this user that run now and have run a cell, by the folder of their files. */
export function kernelStatuses(runtimeFolder: string): KernelStatus[] {
  let names: string[];
  try {
    names = readdirSync(runtimeFolder);
  } catch {
    return []; // no kernel ever ran
  }
  return names.flatMap((name) => {
    const pid = statusPattern.exec(name)?.[1];
    if (pid === undefined) return [];
    if (!isAlive(Number(pid))) {
      rmSync(join(runtimeFolder, name), { force: true }); // of a kernel that was killed
      return [];
    }
    try {
      return [JSON.parse(readFileSync(join(runtimeFolder, name), "utf8")) as KernelStatus];
    } catch {
      return []; // the kernel ended meanwhile
    }
  });
}

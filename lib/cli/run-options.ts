import { availableParallelism } from "node:os";
import { type RunLimits, usualLimits } from "../notebook/run-limits.js";
import type { Options } from "./arguments.js";

/** What every command that runs notebooks lets a person limit. */
export const limitShapes = { limit: "number", memory: "number" } as const;

/** The same, and how many run at the same time. */
export const runShapes = { ...limitShapes, jobs: "whole" } as const;

/** The lines of the help that belong to these options. */
export const limitHelp = [
  {
    name: "--limit <seconds>",
    what: `time that one cell may take (${usualLimits.cellSeconds})`,
  },
  {
    name: "--memory <megabytes>",
    what: `memory that a notebook may use (${usualLimits.memoryMegabytes})`,
  },
] as const;

/** Help on the options that every command with runs takes. */
export const runHelp = [
  ...limitHelp,
  { name: "--jobs <number>", what: "notebooks that run at the same time (one per core)" },
] as const;

/** The limits of a run; those that the user left out have their usual value. */
export function limitsOf(options: Options<typeof limitShapes>): RunLimits {
  return {
    cellSeconds: options.limit ?? usualLimits.cellSeconds,
    memoryMegabytes: options.memory ?? usualLimits.memoryMegabytes,
  };
}

/** How many notebooks run at the same time. */
export function parallelOf(options: Partial<Options<typeof runShapes>> = {}): number {
  return options.jobs ?? availableParallelism();
}

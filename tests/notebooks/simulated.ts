import { readStudy } from "../../lib/study/open.js";
import { winterBlock } from "../../lib/study/simulate/demo.js";
import { inventStudy } from "../../lib/study/simulate/simulate.js";
import type { SimulatedStudy, SimulationOptions } from "../../lib/study/simulate/simulation.js";
import type { Study } from "../../lib/study/study.js";

/** The demo study without its faults, with what a test changes: everybody comes, every trial counts. */
export function faultless(changes: Partial<SimulationOptions> = {}): SimulationOptions {
  return {
    ...winterBlock,
    withdrawals: [],
    missedVisits: [],
    faults: [],
    otherUnits: [],
    setAside: undefined,
    ...changes,
  } as SimulationOptions;
}

/** A simulated study, read as if from its files, with the truth behind it. */
export function simulatedStudy(options: SimulationOptions): { study: Study; made: SimulatedStudy } {
  const made = inventStudy(options);
  const files = new Map(
    Object.entries(made.files).map(([path, text]) => [path, new TextEncoder().encode(text)]),
  );
  const { study } = readStudy({ name: options.name, files, faults: [] });
  if (!study) throw new Error("the simulated study could not be read");
  return { study, made };
}

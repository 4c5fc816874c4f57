import type { CoverageRow } from "./table.js";

/** One row of the table to simulate: `method` is its place in methods.js. */
export interface CoverageTask {
  readonly method: number;
  readonly n: number;
  readonly condition: string;
  readonly replicates: number;
  readonly seed: number;
}

export function simulate(task: CoverageTask): CoverageRow;
export function tasksOf(options: {
  scale: number;
  seed: number;
  only?: string;
  planned?: boolean;
}): CoverageTask[];

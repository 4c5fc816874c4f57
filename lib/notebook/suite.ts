import { dirname, join } from "node:path";
import { itemAt, present } from "../entry.js";
import { sweepConnections } from "./connection.js";
import type { Fault } from "./fault.js";
import { NotebookFailure } from "./fault.js";
import { type Kernel, startKernel } from "./kernel.js";
import type { Notebook } from "./nbformat.js";
import { repeatedIds, resultsOf } from "./results.js";
import { type Progress, type Ran, runNotebook } from "./run.js";
import type { RunLimits } from "./run-limits.js";
import { TypeChecker } from "./type-checker.js";

/** A notebook to run. */
export interface Job {
  /** Path relative to the root, which is also the name in messages. */
  readonly name: string;
  /** The notebook as read from its file. */
  readonly notebook: Notebook;
}

/** What became of one notebook; `seconds` is the time from its turn to its end. */
export type Outcome =
  | { readonly kind: "ran"; readonly job: Job; readonly ran: Ran; readonly seconds: number }
  | { readonly kind: "failed"; readonly job: Job; readonly fault: Fault; readonly seconds: number };

/** How a list of notebooks is run. */
export interface SuiteOptions {
  /** Path of the study's root folder. */
  readonly root: string;
  /** Time per cell and memory per kernel. */
  readonly limits: RunLimits;
  /** How many notebooks run at one time. */
  readonly parallel: number;
  /** Called at each step of each notebook. */
  readonly onProgress?: (job: Job, progress: Progress) => void;
  /** Called as soon as a notebook is done, in the order of finishing. */
  readonly onDone?: (outcome: Outcome) => void;
}

/**
 * Runs notebooks, each in a fresh kernel, several at a time; while they run, the kernel of the next
 * one starts. A notebook that fails does not stop the others.
 * @returns the outcomes in the order of the jobs
 */
export async function runSuite(jobs: readonly Job[], options: SuiteOptions): Promise<Outcome[]> {
  sweepConnections();
  const kernels = new Map<number, Promise<Kernel>>();
  const outcomes: Outcome[] = new Array(jobs.length);
  const order = longestFirst(jobs);
  let next = 0;
  const warm = (i: number | undefined) => {
    if (i === undefined || kernels.has(i)) return;
    const starting = startKernel({
      folder: dirname(join(options.root, itemAt(jobs, i).name)),
      root: options.root,
      memoryMegabytes: options.limits.memoryMegabytes,
    });
    starting.catch(() => {}); // told when the notebook's turn comes
    kernels.set(i, starting);
  };
  const worker = async () => {
    while (next < jobs.length) {
      const i = itemAt(order, next++);
      warm(i);
      const job = itemAt(jobs, i);
      outcomes[i] = await runJob(job, present(kernels.get(i)), checker, options, () =>
        warm(order[next]),
      );
      options.onDone?.(itemAt(outcomes, i));
    }
  };
  const checker = jobs.length > 0 ? new TypeChecker() : undefined;
  const workers = Math.max(1, Math.min(options.parallel, jobs.length));
  try {
    await Promise.all(Array.from({ length: workers }, worker));
  } finally {
    await checker?.stop();
  }
  return outcomes;
}

/** Long notebooks begin first, so that no core waits at the end for one that began last. */
function longestFirst(jobs: readonly Job[]): number[] {
  const length = ({ notebook }: Job) =>
    notebook.cells.reduce(
      (sum, cell) => sum + (cell.cell_type === "code" ? cell.source.length : 0),
      0,
    );
  const lengths = jobs.map(length);
  return jobs.map((_, i) => i).sort((a, b) => itemAt(lengths, b) - itemAt(lengths, a) || a - b);
}

async function runJob(
  job: Job,
  kernel: Promise<Kernel>,
  checker: TypeChecker | undefined,
  options: SuiteOptions,
  onReady: () => void,
): Promise<Outcome> {
  const start = performance.now();
  const seconds = () => (performance.now() - start) / 1000;
  try {
    const ran = await runNotebook(job.notebook, kernel, {
      name: job.name,
      root: options.root,
      limits: options.limits,
      checker,
      onProgress: (progress) => {
        if (progress.state === "running") onReady();
        options.onProgress?.(job, progress);
      },
    });
    refuseRepeatedIds(job, ran);
    return { kind: "ran", job, ran, seconds: seconds() };
  } catch (error) {
    if (!(error instanceof NotebookFailure)) throw error;
    return { kind: "failed", job, fault: error.fault, seconds: seconds() };
  }
}

/** Two findings under one id could not be told apart in the record. */
function refuseRepeatedIds(job: Job, ran: Ran): void {
  const [first] = repeatedIds(resultsOf(ran.notebook));
  if (!first) return;
  const number = itemAt(first.cells, 1);
  throw new NotebookFailure({
    kind: "exception",
    notebook: job.name,
    cell: { number, id: itemAt(job.notebook.cells, number - 1).id },
    name: "",
    message: `${first.id} is stated more than once (cells ${first.cells.join(" and ")})`,
    frames: [],
    advice: "Give each finding, figure and table an id of its own.",
  });
}

import { dirname, join } from "node:path";
import { NotebookFailure } from "./fault.js";
import { type Answer, type Kernel, KernelStartError } from "./kernel.js";
import type { Cell, CodeCell, Notebook } from "./nbformat.js";
import { Outputs } from "./outputs.js";
import { type CellProgress, progressOf } from "./progress-display.js";
import type { Reach, ReadFiles } from "./reads.js";
import { answerWithin, firstLine, RunFaults, toldIn } from "./run-faults.js";
import type { RunLimits } from "./run-limits.js";
import type { Converted } from "./tslab.js";
import { ConvertedCells, type TypeChecker } from "./type-checker.js";
import type { Message } from "./wire.js";

/** A step of a run, for a progress line. */
export interface Progress {
  /** What the run does now. */
  readonly state: "starting the kernel" | "running" | "interrupting" | "finishing";
  /** Code cells that are done, and how many there are. */
  readonly done: number;
  /** Number of code cells in the notebook that are not empty. */
  readonly of: number;
  /** How far the running cell is, if it says so. */
  readonly within?: CellProgress | undefined;
}

/** How one notebook is run. */
export interface RunOptions {
  /** How messages name the notebook: its path in the study repository. */
  readonly name: string;
  /** Path of the study's root folder. */
  readonly root: string;
  /** Time per cell and memory of the kernel. */
  readonly limits: RunLimits;
  /** Compiles the cells ahead; without it the kernel compiles them. */
  readonly checker?: TypeChecker | undefined;
  /** Called at each step, before the step begins. */
  readonly onProgress?: ((progress: Progress) => void) | undefined;
}

/** A notebook that ran to its end. */
export interface Ran {
  /** The notebook with the outputs of this run. */
  readonly notebook: Notebook;
  /** The data files that were read, relative to the root, with the hash of what they held. */
  readonly files: ReadFiles;
  /** Sentences about what the record does not cover, and about output cut or written to stderr. */
  readonly warnings: readonly string[];
  /** Seconds that each code cell took, and how many of them the kernel itself was busy with it. */
  readonly times: readonly { readonly seconds: number; readonly inKernel: number }[];
}

/**
 * Runs every code cell of a notebook in order in the given fresh kernel, and stops the kernel.
 * @returns the notebook with new outputs; the one given is not touched
 * @throws NotebookFailure at the first cell that fails, passes its limit or loses its kernel
 */
export async function runNotebook(
  notebook: Notebook,
  starting: Promise<Kernel>,
  options: RunOptions,
): Promise<Ran> {
  const cells = notebook.cells.filter(isRun);
  const folder = dirname(join(options.root, options.name));
  const sources = cells.map(({ source }) => source);
  const converted = new ConvertedCells(options.checker, folder, sources);
  options.onProgress?.({ state: "starting the kernel", done: 0, of: cells.length });
  const kernel = await started(starting, options.name);
  try {
    return await new NotebookRun(notebook, cells, converted, kernel, options).toItsEnd();
  } finally {
    await kernel.stop();
  }
}

/** Code cells with nothing in them are kept and not run. */
export function isRun(cell: Cell): cell is CodeCell {
  return cell.cell_type === "code" && cell.source.trim() !== "";
}

async function started(starting: Promise<Kernel>, notebook: string): Promise<Kernel> {
  try {
    return await starting;
  } catch (error) {
    if (!(error instanceof KernelStartError)) throw error;
    throw new NotebookFailure({
      kind: "kernel did not start",
      notebook,
      name: "",
      message: error.message,
      frames: [],
    });
  }
}

class NotebookRun {
  private readonly outputs = new Map<string, Outputs>();
  private readonly warnings: string[] = [];
  private readonly times: Ran["times"][number][] = [];
  private files: ReadFiles = {};
  private reaches: readonly Reach[] = [];
  private readonly faults: RunFaults;
  private readonly notebook: Notebook;
  private readonly cells: readonly CodeCell[];
  private readonly converted: ConvertedCells;
  private readonly kernel: Kernel;
  private readonly options: RunOptions;

  constructor(
    notebook: Notebook,
    cells: readonly CodeCell[],
    converted: ConvertedCells,
    kernel: Kernel,
    options: RunOptions,
  ) {
    this.notebook = notebook;
    this.cells = cells;
    this.converted = converted;
    this.kernel = kernel;
    this.options = options;
    this.faults = new RunFaults(notebook, options);
  }

  async toItsEnd(): Promise<Ran> {
    for (const [i, cell] of this.cells.entries()) {
      this.tell("running", i);
      await this.run(cell, await this.converted.of(i));
    }
    this.tell("finishing", this.cells.length);
    await this.settle();
    for (const [reason, count] of Object.entries(this.kernel.dropped)) {
      this.warnings.push(`messages dropped, ${reason}: ${count}`);
    }
    for (const { cell, what } of this.reaches) {
      this.warnings.push(
        `cell ${this.faults.numberOf(cell)} ${what}; the record does not cover it`,
      );
    }
    const { files, warnings, times } = this;
    return { notebook: this.recorded(), files, warnings, times };
  }

  /** What the cells left running may end, or fail, within the limit of one cell. */
  private async settle(): Promise<void> {
    const last = this.cells.at(-1);
    const { answer, late } = await this.withinLimit(this.kernel.settle());
    if (late && last)
      throw new NotebookFailure(this.faults.overTime(last, answer, this.stderr(last)));
    this.take(answer, last);
  }

  private tell(state: Progress["state"], done: number, within?: CellProgress): void {
    this.options.onProgress?.({ state, done, of: this.cells.length, within });
  }

  private async run(cell: CodeCell, converted: Converted | undefined): Promise<void> {
    const outputs = new Outputs(this.options.root);
    this.outputs.set(cell.id, outputs);
    const start = performance.now();
    const take = (message: Message) => {
      outputs.take(message);
      const within = progressOf(message);
      if (within) this.tell("running", this.times.length, within);
    };
    const answering = this.kernel.execute(cell.source, cell.id, take, converted);
    const { answer, late } = await this.withinLimit(answering);
    const seconds = (performance.now() - start) / 1000;
    if (late) throw new NotebookFailure(this.faults.overTime(cell, answer, this.stderr(cell)));
    this.times.push({ seconds, inKernel: this.take(answer, cell) });
    const number = this.faults.numberOf(cell.id);
    if (outputs.cut) this.warnings.push(`cell ${number}: its output was too long and was cut`);
    const stderr = outputs.stderr().trim();
    if (stderr)
      this.warnings.push(`cell ${number} wrote to the standard error: ${firstLine(stderr)}`);
  }

  private withinLimit(answering: Promise<Answer>): Promise<{ answer: Answer; late: boolean }> {
    return answerWithin(this.options.limits.cellSeconds, answering, this.kernel, () =>
      this.tell("interrupting", this.times.length),
    );
  }

  private stderr(cell: CodeCell | undefined): string | undefined {
    return cell && this.outputs.get(cell.id)?.stderr();
  }

  /**
   * Reads a reply: the files it tells of, or the fault that ends the notebook.
   * @returns the seconds that the kernel was busy with the cell
   */
  private take(answer: Answer, cell: CodeCell | undefined): number {
    if (answer.kind === "reply") {
      const told = toldIn(answer);
      if (told.files) this.files = told.files;
      if (told.reaches) this.reaches = told.reaches;
      if (answer.content.status === "ok") return told.seconds ?? 0;
    }
    throw new NotebookFailure(this.faults.of(answer, cell, this.stderr(cell)));
  }

  private recorded(): Notebook {
    let count = 0;
    const cells = this.notebook.cells.map((cell): Cell => {
      if (cell.cell_type !== "code") return cell;
      const outputs = this.outputs.get(cell.id)?.all() ?? [];
      return { ...cell, execution_count: isRun(cell) ? ++count : null, outputs };
    });
    return { ...this.notebook, cells };
  }
}

import { join } from "node:path";
import { NamesOfCells } from "./cell-dependencies.js";
import type { CellFacts } from "./cell-facts.js";
import { cleanInputs, type PastRun, planCells, type SavedCell } from "./cell-plan.js";
import { readCell } from "./cell-reading.js";
import type { Fault } from "./fault.js";
import type { Answer } from "./kernel.js";
import { LiveKernel, type LiveSurroundings } from "./live-kernel.js";
import type { LiveUpdate } from "./live-update.js";
import type { CodeCell, Notebook, Output } from "./nbformat.js";
import { Outputs } from "./outputs.js";
import { progressOf } from "./progress-display.js";
import type { ReadFiles } from "./reads.js";
import { isRun } from "./run.js";
import { RunFaults, toldIn } from "./run-faults.js";

/** The last run of a cell in the live kernel. */
interface LiveRun extends PastRun {
  readonly outputs: readonly Output[];
  readonly files: ReadFiles;
  readonly fault?: Fault | undefined;
}

/** The cell that runs now. */
interface RunningCell {
  readonly id: string;
  readonly source: string;
  /** A later save made this run useless. */
  superseded: boolean;
}

/**
 * One notebook whose kernel stays alive: after a save only those cells run whose code, inputs or data
 * are not what they were, and those that depend on them. What it shows is for the eye of its author;
 * a run from top to bottom in a fresh kernel is what gets recorded.
 */
export class LiveNotebook {
  private readonly name: string;
  private readonly around: LiveSurroundings;
  private readonly onUpdate: (update: LiveUpdate) => void;
  private readonly facts = new Map<string, CellFacts>();
  private kernel: LiveKernel;
  private names = new NamesOfCells();
  private past = new Map<string, LiveRun>();
  private runs = 0;
  private wanted: Notebook | undefined;
  private running: RunningCell | undefined;
  private stopInterrupting = () => {};
  private pass: Promise<void> | undefined;

  /** @param name path of the notebook from the root, which is also its name in messages */
  constructor(name: string, around: LiveSurroundings, onUpdate: (update: LiveUpdate) => void) {
    this.name = name;
    this.around = around;
    this.onUpdate = onUpdate;
    this.kernel = new LiveKernel(name, around);
  }

  /**
   * Takes the notebook as it was saved, and runs what is not up to date. A cell that runs and would
   * have to run again is interrupted.
   * @returns settles when nothing is left to run
   */
  save(notebook: Notebook): Promise<void> {
    this.wanted = notebook;
    void this.interruptIfUseless(notebook);
    this.pass ??= this.bringUpToDate().finally(() => {
      this.pass = undefined;
    });
    return this.pass;
  }

  /** Whether cells run now. */
  isBusy(): boolean {
    return this.pass !== undefined;
  }

  /** Whether a run of one of its cells read this file, a path from the root with forward slashes. */
  hasRead(file: string): boolean {
    return [...this.past.values()].some(({ files }) => Object.hasOwn(files, file));
  }

  /** The notebook with the outputs of the live kernel; a cell that did not run keeps what it has. */
  shown(notebook: Notebook): Notebook {
    const cells = notebook.cells.map((cell) => {
      const run = cell.cell_type === "code" ? this.past.get(cell.id) : undefined;
      return run && run.source === cell.source ? { ...cell, outputs: run.outputs } : cell;
    });
    return { ...notebook, cells };
  }

  /** Faults of the cells as they are now, by the id of the cell. */
  faults(): ReadonlyMap<string, Fault> {
    const failed = [...this.past].flatMap(([id, { fault }]) =>
      fault ? [[id, fault] as const] : [],
    );
    return new Map(failed);
  }

  /** Whether every cell of a notebook ran in this kernel to its end. */
  hasRun(notebook: Notebook): boolean {
    return notebook.cells.filter(isRun).every(({ id, source }) => {
      const run = this.past.get(id);
      return run !== undefined && run.source === source && run.fault === undefined;
    });
  }

  /** Ends the kernel and forgets what it ran. */
  async end(): Promise<void> {
    this.wanted = undefined;
    const { kernel } = this;
    this.forget();
    await kernel.stop();
    await this.pass;
    this.forget();
  }

  private forget(): void {
    this.kernel = new LiveKernel(this.name, this.around);
    this.names = new NamesOfCells();
    this.past = new Map();
  }

  private async bringUpToDate(): Promise<void> {
    while (this.wanted) {
      const notebook = this.wanted;
      await this.passOver(notebook);
      if (this.wanted === notebook) this.wanted = undefined;
    }
  }

  private async passOver(notebook: Notebook): Promise<void> {
    const start = performance.now();
    const cells = this.savedCells(notebook);
    const planned = await this.planned(cells);
    if (this.wanted !== notebook) return;
    const fresh = this.past.size === 0;
    for (const id of this.past.keys())
      if (!cells.some((cell) => cell.id === id)) this.past.delete(id);
    this.onUpdate({ kind: "begins", notebook: this.shown(notebook), cells: planned });
    const ran: string[] = [];
    for (const id of planned) {
      const cell = cells.find((one) => one.id === id);
      if (!cell || this.waitsForAFailedCell(cell, cells)) continue;
      const ended = await this.run(cell, cells, notebook);
      if (this.wanted !== notebook) return;
      ran.push(id);
      this.onUpdate({ kind: "ran", notebook: this.shown(notebook), cell: id });
      if (ended) break;
    }
    const seconds = (performance.now() - start) / 1000;
    this.onUpdate({ kind: "done", notebook: this.shown(notebook), ran, seconds, fresh });
  }

  private savedCells(notebook: Notebook): SavedCell[] {
    return notebook.cells
      .filter(isRun)
      .map(({ id, source }) => ({ id, source, facts: this.factsOf(source) }));
  }

  private factsOf(source: string): CellFacts {
    const facts = this.facts.get(source) ?? readCell(source, this.around.ts);
    this.facts.set(source, facts);
    return facts;
  }

  /** The cells to run; the kernel is started anew where that alone gives right outputs. */
  private async planned(cells: readonly SavedCell[]): Promise<readonly string[]> {
    const { kernel } = this;
    if (await kernel.hasEnded()) this.forget();
    const plan = planCells(cells, this.past, this.names, this.outdated());
    if (plan.kind === "run") return plan.cells;
    this.forget();
    await kernel.stop();
    return cells.map(({ id }) => id);
  }

  /** Cells whose data are not what they read. */
  private outdated(): Set<string> {
    const { root, hashes } = this.around;
    const isOld = ({ files }: LiveRun) =>
      Object.entries(files).some(([path, hash]) => hashes.of(join(root, path)) !== hash);
    return new Set([...this.past].filter(([, run]) => isOld(run)).map(([id]) => id));
  }

  private waitsForAFailedCell({ id }: SavedCell, cells: readonly SavedCell[]): boolean {
    const from = [...(cleanInputs(cells).get(id)?.from.keys() ?? [])];
    const waits = from.some((cell) => this.past.get(cell)?.fault ?? !this.past.has(cell));
    if (waits) this.past.delete(id);
    return waits;
  }

  /** @returns whether the kernel has ended with this cell */
  private async run(
    cell: SavedCell,
    cells: readonly SavedCell[],
    notebook: Notebook,
  ): Promise<boolean> {
    const { id, source } = cell;
    const outputs = new Outputs(this.around.root);
    const faults = new RunFaults(notebook, { name: this.name, ...this.around });
    const code = notebook.cells.find((one): one is CodeCell => one.id === id && isRun(one));
    this.onUpdate({ kind: "runs", cell: id });
    this.past.delete(id);
    const running: RunningCell = { id, source, superseded: false };
    this.running = running;
    try {
      const { answer, late } = await this.kernel.run(
        cell,
        () => running.superseded,
        (message) => {
          outputs.take(message);
          const progress = progressOf(message);
          if (progress) this.onUpdate({ kind: "progress", cell: id, progress });
        },
      );
      const ended = answer.kind === "ended";
      if (ended) this.forget();
      else this.remember(cell, answer);
      if (running.superseded) return ended;
      const fault = faults.ofCell({ answer, late }, code, outputs.stderr());
      this.past.set(id, {
        ...this.pastRun(cell, cells),
        outputs: outputs.all(),
        files: toldIn(answer).cellFiles ?? {},
        ...(fault && { fault }),
      });
      return ended;
    } catch (error) {
      this.forget();
      const fault = faults.notStarted((error as Error).message);
      this.past.set(id, { ...this.pastRun(cell, cells), outputs: [], files: {}, fault });
      return true;
    } finally {
      this.stopInterrupting();
      this.running = undefined;
    }
  }

  private pastRun({ id, source }: SavedCell, cells: readonly SavedCell[]): PastRun {
    const from = [...(cleanInputs(cells).get(id)?.from.keys() ?? [])];
    const inputs = new Map(from.map((cell) => [cell, this.past.get(cell)?.run ?? 0]));
    return { source, run: ++this.runs, inputs };
  }

  /** A cell that failed on its way may have changed names before. */
  private remember({ id, facts }: SavedCell, answer: Answer): void {
    const begun = toldIn(answer).fault?.kind !== "types";
    if (begun && answer.kind === "reply" && answer.content.status !== "aborted") {
      this.names.take(id, facts);
    }
  }

  /** Interrupts the running cell if a save changed it, or something that it depends on. */
  private async interruptIfUseless(notebook: Notebook): Promise<void> {
    const { running, kernel } = this;
    if (!running || running.superseded) return;
    const cells = this.savedCells(notebook);
    const past = new Map<string, PastRun>(this.past);
    const cell = cells.find(({ id }) => id === running.id);
    if (cell && cell.source === running.source) {
      past.set(running.id, { ...this.pastRun(cell, cells), source: running.source });
      const plan = planCells(cells, past, this.names, this.outdated());
      if (plan.kind === "run" && !plan.cells.includes(running.id)) return;
    }
    running.superseded = true;
    const stop = await kernel.interrupt();
    if (this.running === running) this.stopInterrupting = stop;
    else stop();
  }
}

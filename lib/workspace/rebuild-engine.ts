import { dirname, join } from "node:path";
import { itemAt, present } from "../entry.js";
import { type Comparison, compareNotebooks } from "../notebook/compare.js";
import { type Fault, NotebookFailure } from "../notebook/fault.js";
import { type Notebook, writeNotebook } from "../notebook/nbformat.js";
import { readNotebook, sweepTemporaries } from "../notebook/record.js";
import type { Progress } from "../notebook/run.js";
import type { RunLimits } from "../notebook/run-limits.js";
import type { Job, Outcome } from "../notebook/suite.js";
import { writeAtomically } from "../whole-file.js";
import { dataFolders, statedStudy } from "./data-behind.js";
import { carryDrawings, completeDrawings, type FigureOutput } from "./drawings.js";
import { editsAmong, rememberCheck } from "./last-checks.js";
import { refuseOldBuild } from "./library-build.js";
import { takeLock } from "./lock.js";
import { unfolded } from "./record-frame.js";
import { staleInFile, withRecordingHashes } from "./recording-hashes.js";
import { RememberedRuns, reasonsToRun, runKey, surroundings } from "./run-key.js";

/** What a rebuild found for one notebook, compared with its record. */
export interface RebuiltNotebook {
  /** Path relative to the root. */
  readonly notebook: string;
  /** Record against the new run; an unchanged notebook is compared with itself. */
  readonly comparison: Comparison;
  /** The notebook was not run: nothing that it depends on had changed. */
  readonly unchanged: boolean;
  /** What had been edited since the record, in clauses; empty for a run of the same cells and data. */
  readonly edits: readonly string[];
}

/** Why a notebook ran, and for how long. */
export interface NotebookRun {
  /** Path of the notebook, from the root. */
  readonly notebook: string;
  /** Why it had to run, in words. */
  readonly reasons: readonly string[];
  /** Time that the run took, in seconds. */
  readonly seconds: number;
}

/** What a rebuild did. */
export interface Rebuilt {
  /** Notebooks that could be read and run, in the order they were named. */
  readonly entries: readonly RebuiltNotebook[];
  /** Notebooks that could not be run to their end, with the reason. */
  readonly faults: readonly Fault[];
  /** Notebooks whose file was written. */
  readonly recorded: readonly string[];
  /** The notebooks that ran. */
  readonly ran: readonly NotebookRun[];
  /** What a reader should know of the runs, one sentence each. */
  readonly warnings: readonly string[];
  /** Folders of data that the notebooks name or have read, such as data/winter-block. */
  readonly dataBehind: readonly string[];
  /** The page to open, relative to the root; left out when no report was made. */
  readonly page?: string | undefined;
}

/** Steps of a rebuild, for the program that shows them. */
export interface RebuildEvents {
  /** A notebook does not need to run. */
  onUnchanged(notebook: string): void;
  /** A saved notebook shows outputs that its cells would not make now, one clause each. */
  onStale(notebook: string, clauses: readonly string[]): void;
  /** A notebook begins to run, for these reasons. */
  onStart(notebook: string, reasons: readonly string[]): void;
  /** What a running notebook does now. */
  onProgress(notebook: string, progress: Progress): void;
  /** @param moved number of results that differ from the record or are missing */
  onRecorded(notebook: string, seconds: number, moved: number): void;
  /** A notebook stopped with an error. */
  onFailed(notebook: string): void;
}

/** How a rebuild runs, and what it calls at each step. */
export interface RebuildOptions {
  /** Run unchanged notebooks too. */
  readonly all: boolean;
  /** Time and memory that a notebook may use. */
  readonly limits: RunLimits;
  /** Number of notebooks that run at the same time. */
  readonly parallel: number;
  /** What is called as the rebuild goes on. */
  readonly events: RebuildEvents;
  /** Draws figures; their outputs come back with the drawing added. */
  readonly draw: (figures: FigureOutput[]) => Promise<FigureOutput[]>;
  /** Makes the report and returns its first page; left out: no report. */
  readonly makeReport?: (() => Promise<string>) | undefined;
}

/**
 * Runs the named notebooks that changed, records their outputs, and makes the report unless a
 * notebook failed. Two rebuilds of one workspace exclude each other by a lock.
 * @throws LockedError when another rebuild is running; RequestError when the library's build is not
 *   of its present sources
 */
export async function rebuildNotebooks(
  root: string,
  names: readonly string[],
  options: RebuildOptions,
): Promise<Rebuilt> {
  refuseOldBuild();
  const release = takeLock(root);
  try {
    return await new Rebuild(root, options).of(names);
  } finally {
    release();
  }
}

/** A notebook of this rebuild: as it was on the disk, and why it has to run. */
interface Item {
  readonly name: string;
  readonly notebook: Notebook;
  readonly text: string;
  readonly reasons: readonly string[];
}

class Rebuild {
  private readonly runs: RememberedRuns;
  private readonly around;
  private readonly faults: Fault[] = [];
  private readonly entries = new Map<string, RebuiltNotebook>();
  private readonly recorded: string[] = [];
  private readonly warnings: string[] = [];
  private readonly root: string;
  private readonly options: RebuildOptions;
  private drawing: Promise<unknown> = Promise.resolve();

  constructor(root: string, options: RebuildOptions) {
    this.root = root;
    this.options = options;
    this.runs = new RememberedRuns(root);
    this.around = surroundings(root);
  }

  async of(names: readonly string[]): Promise<Rebuilt> {
    const folders = new Set(names.map((name) => dirname(join(this.root, name))));
    for (const folder of folders) sweepTemporaries(folder);
    const items = names.flatMap((name) => this.read(name));
    for (const item of items.filter(({ reasons }) => reasons.length === 0)) this.leave(item);
    const toRun = items.filter(({ reasons }) => reasons.length > 0);
    const outcomes = await this.run(toRun);
    const page = this.faults.length > 0 ? undefined : await this.options.makeReport?.();
    return {
      entries: names.flatMap((name) => this.entries.get(name) ?? []),
      faults: this.faults,
      recorded: this.recorded,
      warnings: this.warnings,
      dataBehind: this.dataBehind(items),
      ran: outcomes.map(({ job, seconds }, i) => ({
        notebook: job.name,
        reasons: itemAt(toRun, i).reasons,
        seconds,
      })),
      page,
    };
  }

  private read(name: string): Item[] {
    try {
      const { notebook, text } = readNotebook(join(this.root, name), name);
      const remembered = this.runs.of(name);
      const reasons = reasonsToRun(notebook, text, remembered, this.root, this.around);
      if (this.options.all && reasons.length === 0) reasons.push("asked for");
      return [{ name, notebook, text, reasons }];
    } catch (error) {
      if (!(error instanceof NotebookFailure)) throw error;
      this.fail(name, error.fault);
      return [];
    }
  }

  private dataBehind(items: readonly Item[]): string[] {
    return items.flatMap(({ name, notebook }) => [
      ...statedStudy(notebook),
      ...dataFolders(Object.keys(this.runs.of(name)?.data ?? {})),
    ]);
  }

  private leave({ name, notebook }: Item): void {
    const comparison = compareNotebooks(notebook, notebook);
    this.entries.set(name, { notebook: name, comparison, unchanged: true, edits: [] });
    this.options.events.onUnchanged(name);
  }

  private async run(items: readonly Item[]): Promise<Outcome[]> {
    if (items.length === 0) return [];
    const { events, limits, parallel } = this.options;
    const { runSuite } = await import("../notebook/suite.js");
    const byName = new Map(items.map((item) => [item.name, item]));
    for (const { name, notebook, reasons } of items) {
      const clauses = staleInFile(notebook);
      if (clauses.length > 0) events.onStale(name, clauses);
      events.onStart(name, reasons);
    }
    const storing: Promise<void>[] = [];
    const outcomes = await runSuite(items, {
      root: this.root,
      limits,
      parallel,
      onProgress: (job: Job, progress) => events.onProgress(job.name, progress),
      onDone: (outcome) => storing.push(this.store(outcome, present(byName.get(outcome.job.name)))),
    });
    await Promise.all(storing);
    return outcomes;
  }

  /** Records one notebook that ran, as soon as it has. */
  private async store(outcome: Outcome, item: Item): Promise<void> {
    const { name } = item;
    if (outcome.kind === "failed") return this.fail(name, outcome.fault);
    const { ran } = outcome;
    let notebook: Notebook;
    try {
      const drawn = await this.drawn(this.withEarlierDrawings(item, ran.notebook));
      notebook = withRecordingHashes(unfolded(drawn), ran.files);
      const text = writeNotebook(notebook);
      if (this.wasSaved(item)) {
        return this.fail(name, notRecorded(name, savedMeanwhile, "Run it again."));
      }
      if (text !== item.text) {
        writeAtomically(join(this.root, name), text);
        this.recorded.push(name);
      }
      this.runs.remember(name, runKey(notebook, text, ran.files, this.around));
    } catch (error) {
      const why = `its outputs could not be recorded: ${(error as Error).message}`;
      return this.fail(name, notRecorded(name, why, "The file is unchanged."));
    }
    for (const warning of ran.warnings) this.warnings.push(`${name}, ${warning}`);
    const comparison = compareNotebooks(item.notebook, notebook);
    const edits = editsAmong(item.reasons);
    this.entries.set(name, { notebook: name, comparison, unchanged: false, edits });
    rememberCheck(this.root, name, comparison, edits);
    const { different, missing } = comparison.counts;
    this.options.events.onRecorded(name, outcome.seconds, different + missing);
  }

  /** The drawing process takes one notebook after another. */
  private drawn(notebook: Notebook): Promise<Notebook> {
    const drawn = this.drawing.then(() => completeDrawings(notebook, this.options.draw));
    this.drawing = drawn.catch(() => {});
    return drawn;
  }

  /** The file was saved while the notebook ran: an edit must not be overwritten. */
  private wasSaved({ name, text }: Item): boolean {
    return readNotebook(join(this.root, name), name).text !== text;
  }

  private withEarlierDrawings(item: Item, rerun: Notebook): Notebook {
    const remembered = this.runs.of(item.name);
    if (remembered?.drawing !== this.around.drawing) return rerun;
    return carryDrawings(item.notebook, rerun, remembered.drawings);
  }

  private fail(name: string, fault: Fault): void {
    this.faults.push(fault);
    this.options.events.onFailed(name);
  }
}

const savedMeanwhile = "it was saved while it ran, so its outputs were not recorded";

/** Whether a notebook was not recorded because somebody saved it while it ran. */
export function wasSavedMeanwhile({ kind, message }: Fault): boolean {
  return kind === "notebook file" && message === savedMeanwhile;
}

/** A notebook that ran, and whose outputs are not in its file. */
function notRecorded(notebook: string, message: string, advice: string): Fault {
  return { kind: "notebook file", notebook, name: "", message, frames: [], advice };
}

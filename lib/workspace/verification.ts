import { join } from "node:path";
import { type Comparison, compareNotebooks } from "../notebook/compare.js";
import { type Fault, NotebookFailure } from "../notebook/fault.js";
import type { Judgement } from "../notebook/judgement.js";
import { type Notebook, NotebookFileError, parseNotebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import type { Progress } from "../notebook/run.js";
import type { RunLimits } from "../notebook/run-limits.js";
import type { Job, Outcome } from "../notebook/suite.js";
import { type TypedNumbers, typedNumbers } from "../notebook/typed-numbers.js";
import { cellMoves } from "./cell-moves.js";
import { dataFolders, statedStudy } from "./data-behind.js";
import { carryDrawings, completeDrawings, drawingBuild, type FigureOutput } from "./drawings.js";
import { commitOf, fileAt, hasHistory } from "./git.js";
import { refuseOldBuild } from "./library-build.js";
import { frameFaults } from "./record-frame.js";
import { changedData, changedProse, staleInFile } from "./recording-hashes.js";
import { RequestError } from "./request-error.js";
import { RememberedRuns } from "./run-key.js";
import { type MoveNotice, moveNotice } from "./versions.js";

/** What a verification found for one notebook. */
export interface Verified {
  /** Path of the notebook, from the root. */
  readonly notebook: string;
  /** The record against the new run. */
  readonly comparison: Comparison;
  /** How the findings compare with the record in git, and what to do about it. */
  readonly notice: MoveNotice | undefined;
  /** The first run against a second one; only when two runs were asked for. */
  readonly itself: Comparison | undefined;
  /** Results of the record that show something else in one of their forms than in their data. */
  readonly forms: readonly Judgement[];
  /** Files that are not those the notebook was recorded from, one clause each. */
  readonly data: readonly string[];
  /** Text cells that are not as recorded, one clause each. */
  readonly prose: readonly string[];
  /** What stands beside the results and is not as a recording makes it, one clause each. */
  readonly frame: readonly string[];
  /** Cells that stand in another order than in the record in git, one clause each. */
  readonly moves: readonly string[];
  /** Outputs that were stale in the file before it ran, one clause each. */
  readonly stale: readonly string[];
  /** Numbers in text cells, which no run makes or checks. */
  readonly typed: readonly TypedNumbers[];
  /** What the run warned of, such as a cell that reads outside data/. */
  readonly warnings: readonly string[];
  /** Whether every notebook agrees with its record. */
  readonly passes: boolean;
}

/** What a verification found. */
export interface Verification {
  /** Notebooks that could be run, in the order they were named. */
  readonly verified: readonly Verified[];
  /** Notebooks that could not be run to their end, with the reason. */
  readonly faults: readonly Fault[];
  /** Folders of data that the notebooks name or have read, such as data/winter-block. */
  readonly dataBehind: readonly string[];
}

/** Steps of a verification, for the program that shows them. */
export interface VerifyEvents {
  /** A saved notebook shows outputs that its cells would not make now, one clause each. */
  onStale(notebook: string, clauses: readonly string[]): void;
  /** A notebook begins to run, and why. */
  onStart(notebook: string, why: string): void;
  /** What a running notebook does now. */
  onProgress(notebook: string, progress: Progress): void;
  /** A notebook is done: whether it ran to its end, and its seconds. */
  onDone(notebook: string, ran: boolean, seconds: number): void;
}

/** How a verification runs, and what it calls at each step. */
export interface VerifyOptions {
  /** Run twice, and compare the two runs. */
  readonly twice: boolean;
  /** Compare with the record at this git revision, instead of the file. */
  readonly from: string | undefined;
  /** Time and memory that a notebook may use. */
  readonly limits: RunLimits;
  /** Number of notebooks that run at the same time. */
  readonly parallel: number;
  /** What is called as the verification goes on. */
  readonly events: VerifyEvents;
  /** The notebook with every form of its outputs made again from the output's own data. */
  readonly render: (notebook: Notebook) => Notebook;
  /** Draws figures; their outputs come back with the drawing added. */
  readonly draw: (figures: FigureOutput[]) => Promise<FigureOutput[]>;
}

/**
 * Runs the named notebooks and compares every result with the record. Writes nothing.
 * @throws RequestError when git does not know the revision, or none of the notebooks at it, or when
 *   the library's build is not of its present sources
 */
export async function verifyNotebooks(
  root: string,
  names: readonly string[],
  options: VerifyOptions,
): Promise<Verification> {
  refuseOldBuild();
  const run = new VerifyRun(root, options);
  const verified = await run.of(names);
  return { verified, faults: run.faults, dataBehind: run.dataBehind };
}

class VerifyRun {
  readonly faults: Fault[] = [];
  readonly dataBehind: string[] = [];
  private readonly root: string;
  private readonly options: VerifyOptions;
  /** The commit that the person asked for. */
  private readonly commit: string | undefined;
  /** The commit whose record decides whether a notebook's version may stay. */
  private readonly head: string | undefined;
  private readonly remembered: RememberedRuns;
  private readonly drawing: string;

  constructor(root: string, options: VerifyOptions) {
    this.root = root;
    this.options = options;
    this.commit = options.from === undefined ? undefined : commitOf(root, options.from);
    this.head = this.commit ?? (hasHistory(root) ? commitOf(root, "HEAD") : undefined);
    this.remembered = new RememberedRuns(root);
    this.drawing = drawingBuild();
  }

  async of(names: readonly string[]): Promise<Verified[]> {
    const jobs = names.flatMap((name) => this.job(name));
    const earlier = new Map(jobs.map(({ name }) => [name, this.recordAt(name)]));
    if (this.commit && jobs.length > 0 && jobs.every(({ name }) => !earlier.get(name))) {
      throw new RequestError(`none of these notebooks is in git at ${this.options.from}`);
    }
    for (const { name, notebook } of jobs) {
      const clauses = staleInFile(notebook);
      if (clauses.length > 0) this.options.events.onStale(name, clauses);
    }
    const first = await this.run(jobs, "to compare with its record");
    const again = this.options.twice ? await this.run(jobs, "a second time") : [];
    const verified: Verified[] = [];
    for (const outcome of first) {
      if (outcome.kind === "failed") continue;
      const second = again.find(({ job, kind }) => job === outcome.job && kind === "ran");
      verified.push(await this.judge(outcome, second, earlier.get(outcome.job.name)));
    }
    return verified;
  }

  /** The new run with its figures drawn, so that drawings are judged as well. */
  private async drawn({ name, notebook }: Job, rerun: Notebook): Promise<Notebook> {
    const remembered = this.remembered.of(name);
    const isCurrent = remembered?.drawing === this.drawing;
    const carried = isCurrent ? carryDrawings(notebook, rerun, remembered.drawings) : rerun;
    return await completeDrawings(carried, this.options.draw);
  }

  private job(name: string): Job[] {
    try {
      const { notebook } = readNotebook(join(this.root, name), name);
      this.dataBehind.push(...statedStudy(notebook));
      return [{ name, notebook }];
    } catch (error) {
      if (!(error instanceof NotebookFailure)) throw error;
      this.faults.push(error.fault);
      return [];
    }
  }

  /** The record in git that the notebook's version is compared with. */
  private recordAt(name: string): Notebook | undefined {
    const text = this.head === undefined ? undefined : fileAt(this.root, this.head, name);
    if (text === undefined) return undefined;
    try {
      return parseNotebook(text);
    } catch (error) {
      if (!(error instanceof NotebookFileError)) throw error;
      return undefined; // a broken file of the past has no record
    }
  }

  private async run(jobs: readonly Job[], why: string): Promise<Outcome[]> {
    const { events, limits, parallel } = this.options;
    const { runSuite } = await import("../notebook/suite.js");
    for (const { name } of jobs) events.onStart(name, why);
    const outcomes = await runSuite(jobs, {
      root: this.root,
      limits,
      parallel,
      onProgress: (job, progress) => events.onProgress(job.name, progress),
      onDone: ({ job, kind, seconds }) => events.onDone(job.name, kind === "ran", seconds),
    });
    for (const outcome of outcomes) {
      if (outcome.kind === "failed") this.faults.push(outcome.fault);
      else this.dataBehind.push(...dataFolders(Object.keys(outcome.ran.files)));
    }
    return outcomes;
  }

  private async judge(
    outcome: Outcome & { kind: "ran" },
    second: Outcome | undefined,
    earlier: Notebook | undefined,
  ): Promise<Verified> {
    const { name, notebook } = outcome.job;
    const rerun = outcome.ran.notebook;
    const since = earlier && compareNotebooks(earlier, rerun, { dataOnly: true });
    const comparison =
      this.commit && since
        ? since
        : compareNotebooks(notebook, await this.drawn(outcome.job, rerun));
    const moves = earlier ? cellMoves(earlier, notebook) : [];
    const notice = earlier && since ? moveNotice(earlier, notebook, since, moves) : undefined;
    const itself =
      second?.kind === "ran" ? compareNotebooks(rerun, second.ran.notebook) : undefined;
    const found = {
      notebook: name,
      forms: formsApart(notebook, this.options.render),
      comparison,
      notice,
      itself,
      data: changedData(notebook, this.root),
      prose: changedProse(notebook),
      frame: frameFaults({ notebook, rerun, files: outcome.ran.files, earlier }),
      moves,
      stale: staleInFile(notebook),
      typed: typedNumbers(notebook),
      warnings: outcome.ran.warnings,
    };
    return { ...found, passes: this.passes(found) };
  }

  /** An earlier record may differ if the notebook reports it; the record in the file may not. */
  private passes(found: Omit<Verified, "passes">): boolean {
    const { comparison, notice, itself } = found;
    if (notice?.advice || itself?.agrees === false || found.forms.length > 0) return false;
    if (this.commit !== undefined) return (notice?.moved.length ?? 0) > 0 || comparison.agrees;
    const { data, prose, frame } = found;
    return comparison.agrees && [data, prose, frame].every(({ length }) => length === 0);
  }
}

/** What a record shows that its own data do not say; nothing has to be run to see it. */
export function formsApart(
  notebook: Notebook,
  render: (notebook: Notebook) => Notebook,
): Judgement[] {
  const { judgements } = compareNotebooks(notebook, render(notebook), {
    without: ["drawing"],
    second: "its data",
  });
  return judgements.filter(({ verdict }) => verdict !== "same");
}

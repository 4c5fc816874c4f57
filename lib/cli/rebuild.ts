import { dirname, join } from "node:path";
import { itemAt, present } from "../entry.js";
import { compareNotebooks } from "../notebook/compare.js";
import { describeFault, type Fault, NotebookFailure } from "../notebook/errors.js";
import { type Notebook, writeNotebook } from "../notebook/nbformat.js";
import { readNotebook, sweepTemporaries } from "../notebook/record.js";
import type { RunLimits } from "../notebook/run.js";
import type { Job, Outcome } from "../notebook/suite.js";
import { writeAtomically } from "../whole-file.js";
import { carryDrawings } from "../workspace/drawings.js";
import { LockedError, takeLock } from "../workspace/lock.js";
import { chosenNotebooks, studyRoot } from "../workspace/root.js";
import { RememberedRuns, reasonsToRun, runKey, surroundings } from "../workspace/run-key.js";
import {
  type DataError,
  dataErrors,
  dataErrorText,
  dataFolders,
  statedStudy,
} from "./data-errors.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { type LedgerEntry, ledgerLines, ledgerText } from "./ledger.js";
import { readOptions } from "./options.js";
import { type ProgressLines, progressLines } from "./progress.js";
import { addDrawings, makeReport } from "./report-step.js";
import { limitsOf, parallelOf, runHelp, runShapes } from "./run-options.js";

export const help: Help = {
  what: "Runs the notebooks that changed, records their outputs, and makes the report.",
  usage: "tautline rebuild [notebook…] [options]",
  options: [
    { name: "--all", what: "run unchanged notebooks too" },
    ...runHelp,
    { name: "--no-report", what: "record the notebooks only" },
    { name: "--quiet", what: "tell failures only" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline rebuild", what: "bring everything up to date" },
    { line: "tautline rebuild grip-change", what: "only notebooks/grip-change.ipynb" },
    { line: "tautline rebuild --all --jobs 1", what: "everything anew, one after another" },
  ],
};

const shapes = {
  all: "flag",
  ...runShapes,
  "no-report": "flag",
  quiet: "flag",
  json: "flag",
} as const;

/** A notebook of this rebuild: as it was on the disk, and why it has to run. */
interface Item {
  readonly name: string;
  readonly notebook: Notebook;
  readonly text: string;
  readonly reasons: readonly string[];
}

/** What a rebuild did. */
export interface Rebuilt {
  readonly entries: readonly LedgerEntry[];
  readonly faults: readonly Fault[];
  readonly recorded: readonly string[];
  readonly ran: readonly {
    readonly notebook: string;
    readonly reasons: readonly string[];
    readonly seconds: number;
  }[];
  readonly warnings: readonly string[];
  /** Rows and files of the studies behind these notebooks that cannot be used. */
  readonly dataErrors: readonly DataError[];
  readonly page?: string | undefined;
}

export interface RebuildOptions {
  readonly all: boolean;
  readonly report: boolean;
  readonly limits: RunLimits;
  readonly parallel: number;
}

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  const names = chosenNotebooks(words, root, io.cwd);
  const lines = progressLines(io, options.quiet);
  try {
    const rebuilt = await rebuild(root, names, lines, {
      all: options.all,
      report: !options["no-report"],
      limits: limitsOf(options),
      parallel: parallelOf(options),
    });
    lines.close();
    tell(rebuilt, io, options);
    if (rebuilt.faults.length > 0) return exitCodes.failed;
    return rebuilt.dataErrors.length > 0 ? exitCodes.differences : exitCodes.fine;
  } catch (error) {
    lines.close();
    if (!(error instanceof LockedError)) throw error;
    io.err(`tautline rebuild: ${error.message}.\n`);
    return exitCodes.wrongUse;
  }
}

/** Brings the named notebooks up to date and makes the report. */
export async function rebuild(
  root: string,
  names: readonly string[],
  lines: ProgressLines,
  options: RebuildOptions,
): Promise<Rebuilt> {
  const release = takeLock(root);
  try {
    return await new Rebuild(root, lines, options).of(names);
  } finally {
    release();
  }
}

class Rebuild {
  private readonly runs: RememberedRuns;
  private readonly around;
  private readonly faults: Fault[] = [];
  private readonly entries = new Map<string, LedgerEntry>();
  private readonly recorded: string[] = [];
  private readonly warnings: string[] = [];
  private readonly root: string;
  private readonly lines: ProgressLines;
  private readonly options: RebuildOptions;

  constructor(root: string, lines: ProgressLines, options: RebuildOptions) {
    this.root = root;
    this.lines = lines;
    this.options = options;
    this.runs = new RememberedRuns(root);
    this.around = surroundings(root);
  }

  async of(names: readonly string[]): Promise<Rebuilt> {
    for (const folder of new Set(names.map((name) => dirname(join(this.root, name))))) {
      sweepTemporaries(folder);
    }
    const items = names.flatMap((name) => this.read(name));
    for (const item of items.filter(({ reasons }) => reasons.length === 0)) this.leave(item);
    const toRun = items.filter(({ reasons }) => reasons.length > 0);
    const outcomes = await this.run(toRun);
    const page = this.options.report ? await this.report() : undefined;
    return {
      entries: names.flatMap((name) => this.entries.get(name) ?? []),
      faults: this.faults,
      recorded: this.recorded,
      warnings: this.warnings,
      dataErrors: await dataErrors(this.root, this.dataBehind(items)),
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
    this.entries.set(name, { notebook: name, comparison, unchanged: true });
    this.lines.note(`${name}: unchanged`);
  }

  private async run(items: readonly Item[]): Promise<Outcome[]> {
    if (items.length === 0) return [];
    const { runSuite } = await import("../notebook/suite.js");
    const byName = new Map(items.map((item) => [item.name, item]));
    for (const { name, reasons } of items) this.lines.begin(name, reasons.join("; "));
    const storing: Promise<void>[] = [];
    const outcomes = await runSuite(items, {
      root: this.root,
      limits: this.options.limits,
      parallel: this.options.parallel,
      onProgress: (job: Job, progress) => this.lines.step(job.name, progress),
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
    try {
      const notebook = await addDrawings(this.withEarlierDrawings(item, ran.notebook));
      const text = writeNotebook(notebook);
      if (this.wasSaved(item)) return this.fail(name, savedMeanwhile(name));
      if (text !== item.text) {
        writeAtomically(join(this.root, name), text);
        this.recorded.push(name);
      }
      this.runs.remember(name, runKey(notebook, text, ran.files, this.around));
    } catch (error) {
      return this.fail(name, notRecorded(name, error as Error));
    }
    for (const warning of ran.warnings) this.warnings.push(`${name}, ${warning}`);
    const comparison = compareNotebooks(item.notebook, ran.notebook);
    this.entries.set(name, { notebook: name, comparison, unchanged: false });
    const { different, missing } = comparison.counts;
    const moved = different + missing > 0 ? `, ${different + missing} results moved` : "";
    this.lines.end(name, `done in ${outcome.seconds.toFixed(1)} s${moved}`);
  }

  /** Somebody saved the notebook while it ran: their work is not to be written over. */
  private wasSaved({ name, text }: Item): boolean {
    return readNotebook(join(this.root, name), name).text !== text;
  }

  private withEarlierDrawings(item: Item, rerun: Notebook): Notebook {
    const remembered = this.runs.of(item.name);
    const stale = remembered !== undefined && remembered.drawing !== this.around.drawing;
    return stale ? rerun : carryDrawings(item.notebook, rerun);
  }

  private fail(name: string, fault: Fault): void {
    this.faults.push(fault);
    this.lines.end(name, "failed");
  }

  private async report(): Promise<string | undefined> {
    if (this.faults.length > 0) return undefined;
    return await makeReport(this.root, [...this.entries.values()], this.lines);
  }
}

function savedMeanwhile(notebook: string): Fault {
  return {
    kind: "notebook file",
    notebook,
    name: "",
    message: "it was saved by somebody else while it ran, so its outputs were not recorded",
    frames: [],
    advice: "Run it again.",
  };
}

function notRecorded(notebook: string, error: Error): Fault {
  return {
    kind: "notebook file",
    notebook,
    name: "",
    message: `its outputs could not be recorded: ${error.message}`,
    frames: [],
    advice: "The file is as it was before.",
  };
}

function tell(rebuilt: Rebuilt, io: Io, options: { json: boolean; quiet: boolean }): void {
  for (const warning of rebuilt.warnings) {
    if (!options.quiet) io.err(`Note: ${warning}\n`);
  }
  for (const fault of rebuilt.faults) io.err(`\n${describeFault(fault)}\n`);
  io.err(dataErrorText(rebuilt.dataErrors));
  if (options.json) {
    const { entries, ...rest } = rebuilt;
    io.out(`${JSON.stringify({ ...rest, findings: ledgerLines(entries) }, null, 2)}\n`);
  } else if (!options.quiet) {
    io.out(ledgerText(rebuilt.entries, io.colour));
    if (rebuilt.page) io.out(`The report: ${rebuilt.page}\n`);
  }
}

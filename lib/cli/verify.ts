import { join } from "node:path";
import { type Comparison, compareNotebooks, type Judgement } from "../notebook/compare.js";
import { describeFault, type Fault, NotebookFailure } from "../notebook/errors.js";
import { type Notebook, NotebookFileError, parseNotebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import type { RunLimits } from "../notebook/run.js";
import type { Job, Outcome } from "../notebook/suite.js";
import { commitOf, fileAt, hasHistory } from "../workspace/git.js";
import { chosenNotebooks, studyRoot } from "../workspace/root.js";
import { type MoveNotice, moveNotice } from "../workspace/versions.js";
import {
  type DataError,
  dataErrors,
  dataErrorText,
  dataFolders,
  statedStudy,
} from "./data-errors.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { readOptions, UsageError } from "./options.js";
import { type ProgressLines, progressLines } from "./progress.js";
import { limitsOf, parallelOf, runHelp, runShapes } from "./run-options.js";
import { type Verified, verdictText } from "./verdicts.js";

export const help: Help = {
  what: "Runs the notebooks again and compares every result with the record. It writes nothing.",
  usage: "tautline verify [notebook…] [options]",
  options: [
    { name: "--twice", what: "run twice, to catch a notebook that does not agree with itself" },
    { name: "--from <revision>", what: "compare with the record at that git revision" },
    { name: "--pack <file>", what: "check a package of tautline pack and run what it holds" },
    ...runHelp,
    { name: "--quiet", what: "tell differences and failures only" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline verify", what: "is everything as it was recorded?" },
    { line: "tautline verify --twice", what: "and does it come out the same every time?" },
    { line: "tautline verify --from HEAD~1", what: "what did my last edit move?" },
    { line: "tautline verify --pack study.zip", what: "does this package come out the same?" },
    { line: "tautline verify grip-change --json", what: "one notebook, for a program to read" },
  ],
};

const shapes = {
  twice: "flag",
  from: "text",
  pack: "text",
  ...runShapes,
  quiet: "flag",
  json: "flag",
} as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  if (options.pack !== undefined) {
    const { verifyPack } = await import("./verify-archive.js");
    return await verifyPack(args, { ...options, pack: options.pack, words }, io, run);
  }
  const root = studyRoot(io.cwd);
  const names = chosenNotebooks(words, root, io.cwd);
  const commit = options.from === undefined ? undefined : commitOf(root, options.from);
  const lines = progressLines(io, options.quiet);
  const verification = new Verification(root, lines, {
    twice: options.twice,
    commit,
    from: options.from,
    parallel: parallelOf(options),
    limits: limitsOf(options),
  });
  const verified = await verification.of(names);
  lines.close();
  const { faults } = verification;
  for (const fault of faults) io.err(`\n${describeFault(fault)}\n`);
  const errors = await dataErrors(root, verification.dataBehind);
  io.err(dataErrorText(errors));
  const fine = faults.length === 0 && errors.length === 0 && verified.every(({ passes }) => passes);
  if (options.json) {
    io.out(`${JSON.stringify(document(verified, faults, errors, fine), null, 2)}\n`);
  } else io.out(verdictText(verified, options));
  if (faults.length > 0) return exitCodes.failed;
  return fine ? exitCodes.fine : exitCodes.differences;
}

interface VerifyOptions {
  readonly twice: boolean;
  /** The commit whose record is compared with, and how the person named it. */
  readonly commit: string | undefined;
  readonly from: string | undefined;
  readonly limits: RunLimits;
  readonly parallel: number;
}

class Verification {
  readonly faults: Fault[] = [];
  /** Folders of the data that these notebooks are about or have read. */
  readonly dataBehind: string[] = [];
  private readonly root: string;
  private readonly lines: ProgressLines;
  private readonly options: VerifyOptions;
  private readonly head: string | undefined;

  constructor(root: string, lines: ProgressLines, options: VerifyOptions) {
    this.root = root;
    this.lines = lines;
    this.options = options;
    this.head = options.commit ?? (hasHistory(root) ? commitOf(root, "HEAD") : undefined);
  }

  async of(names: readonly string[]): Promise<Verified[]> {
    const jobs = names.flatMap((name) => this.job(name));
    const earlier = new Map(jobs.map(({ name }) => [name, this.recordAt(name)]));
    if (this.options.commit && jobs.length > 0 && jobs.every(({ name }) => !earlier.get(name))) {
      throw new UsageError(`none of these notebooks is in git at ${this.options.from}`);
    }
    const first = await this.run(jobs, "to compare with its record");
    const again = this.options.twice ? await this.run(jobs, "a second time") : [];
    return first.flatMap((outcome) => {
      if (outcome.kind === "failed") return [];
      const second = again.find(({ job, kind }) => job === outcome.job && kind === "ran");
      return [this.judge(outcome, second, earlier.get(outcome.job.name))];
    });
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

  /** The record in git that the version of the notebook is held against. */
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
    const { runSuite } = await import("../notebook/suite.js");
    for (const { name } of jobs) this.lines.begin(name, why);
    const outcomes = await runSuite(jobs, {
      root: this.root,
      limits: this.options.limits,
      parallel: this.options.parallel,
      onProgress: (job, progress) => this.lines.step(job.name, progress),
      onDone: ({ job, kind, seconds }) =>
        this.lines.end(job.name, kind === "ran" ? `ran in ${seconds.toFixed(1)} s` : "failed"),
    });
    for (const outcome of outcomes) {
      if (outcome.kind === "failed") this.faults.push(outcome.fault);
      else this.dataBehind.push(...dataFolders(Object.keys(outcome.ran.files)));
    }
    return outcomes;
  }

  private judge(
    outcome: Outcome & { kind: "ran" },
    second: Outcome | undefined,
    earlier: Notebook | undefined,
  ): Verified {
    const { name, notebook } = outcome.job;
    const rerun = outcome.ran.notebook;
    const since = earlier && compareNotebooks(earlier, rerun);
    const comparison = (this.options.commit && since) || compareNotebooks(notebook, rerun);
    const notice = earlier && since ? moveNotice(earlier, notebook, since) : undefined;
    const itself =
      second?.kind === "ran" ? compareNotebooks(rerun, second.ran.notebook) : undefined;
    return {
      notebook: name,
      comparison,
      notice,
      itself,
      passes: this.passes(comparison, notice, itself),
    };
  }

  /** An earlier record may differ if the notebook tells of it; the record beside it may not. */
  private passes(comparison: Comparison, notice?: MoveNotice, itself?: Comparison): boolean {
    if (notice?.advice || itself?.agrees === false) return false;
    const told = this.options.commit !== undefined && (notice?.moved.length ?? 0) > 0;
    return told || comparison.agrees;
  }
}

function document(
  verified: readonly Verified[],
  faults: readonly Fault[],
  dataErrors: readonly DataError[],
  agrees: boolean,
): unknown {
  return {
    agrees,
    notebooks: verified.map(({ notebook, comparison, notice, itself, passes }) => ({
      notebook,
      agrees: passes,
      counts: comparison.counts,
      results: comparison.judgements.map(withoutLargeContent),
      ...(notice && { version: notice }),
      ...(itself && {
        twice: {
          agrees: itself.agrees,
          results: itself.judgements
            .filter(({ verdict }) => verdict !== "same")
            .map(withoutLargeContent),
        },
      }),
    })),
    faults,
    dataErrors,
  };
}

/** Findings and claims are told whole; of a figure, a table or a text the verdict is enough. */
function withoutLargeContent(judgement: Judgement): unknown {
  if (judgement.kind === "finding" || judgement.kind === "claim") return judgement;
  const { recorded: _, rerun: __, ...rest } = judgement;
  return rest;
}

import { availableParallelism } from "node:os";
import { join } from "node:path";
import { compareNotebooks, type Judgement } from "../notebook/compare.js";
import { describeFault, type Fault, NotebookFailure } from "../notebook/errors.js";
import type { Notebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import { usualLimits } from "../notebook/run.js";
import { exitCodes, type Help, type Io } from "./io.js";
import type { LedgerEntry } from "./ledger.js";
import { readOptions } from "./options.js";
import { progressLines } from "./progress.js";
import { chosenNotebooks, studyRoot } from "./root.js";
import { verdictText } from "./verdicts.js";

export const help: Help = {
  what: "Runs the notebooks again and compares every result with the record. It writes nothing.",
  usage: "tautline verify [notebook…] [options]",
  options: [
    { name: "--limit SECONDS", what: "time that one cell may take (120)" },
    { name: "--memory MEGABYTES", what: "memory that a notebook may use (2048)" },
    { name: "--jobs NUMBER", what: "notebooks that run at one time (one a core)" },
    { name: "--quiet", what: "tell differences and failures only" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline verify", what: "is everything as it was recorded?" },
    { line: "tautline verify grip-change --json", what: "one notebook, for a program to read" },
  ],
};

const shapes = {
  limit: "number",
  memory: "number",
  jobs: "number",
  quiet: "flag",
  json: "flag",
} as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  const names = chosenNotebooks(words, root, io.cwd);
  const lines = progressLines(io, options.quiet);
  const faults: Fault[] = [];
  const jobs = names.flatMap((name) => readJob(root, name, faults));
  const { runSuite } = await import("../notebook/suite.js");
  for (const { name } of jobs) lines.begin(name, "to compare with its record");
  const outcomes = await runSuite(jobs, {
    root,
    limits: {
      cellSeconds: options.limit ?? usualLimits.cellSeconds,
      memoryMegabytes: options.memory ?? usualLimits.memoryMegabytes,
    },
    parallel: options.jobs ?? availableParallelism(),
    onProgress: (job, progress) => lines.step(job.name, progress),
    onDone: ({ job, kind, seconds }) =>
      lines.end(job.name, kind === "ran" ? `ran in ${seconds.toFixed(1)} s` : "failed"),
  });
  lines.close();
  const entries: LedgerEntry[] = outcomes.flatMap((outcome) => {
    if (outcome.kind === "failed") {
      faults.push(outcome.fault);
      return [];
    }
    const comparison = compareNotebooks(outcome.job.notebook, outcome.ran.notebook);
    return [{ notebook: outcome.job.name, comparison, unchanged: false }];
  });
  tell(entries, faults, io, options);
  if (faults.length > 0) return exitCodes.failed;
  return entries.every(({ comparison }) => comparison.agrees)
    ? exitCodes.fine
    : exitCodes.differences;
}

function readJob(
  root: string,
  name: string,
  faults: Fault[],
): { name: string; notebook: Notebook }[] {
  try {
    return [{ name, notebook: readNotebook(join(root, name), name).notebook }];
  } catch (error) {
    if (!(error instanceof NotebookFailure)) throw error;
    faults.push(error.fault);
    return [];
  }
}

function tell(
  entries: readonly LedgerEntry[],
  faults: readonly Fault[],
  io: Io,
  options: { json: boolean; quiet: boolean },
): void {
  for (const fault of faults) io.err(`\n${describeFault(fault)}\n`);
  if (options.json) io.out(`${JSON.stringify(document(entries, faults), null, 2)}\n`);
  else io.out(verdictText(entries, options.quiet));
}

function document(entries: readonly LedgerEntry[], faults: readonly Fault[]): unknown {
  return {
    agrees: faults.length === 0 && entries.every(({ comparison }) => comparison.agrees),
    notebooks: entries.map(({ notebook, comparison }) => ({
      notebook,
      agrees: comparison.agrees,
      counts: comparison.counts,
      results: comparison.judgements.map(withoutLargeContent),
    })),
    faults,
  };
}

/** Findings and claims are told whole; of a figure, a table or a text the verdict is enough. */
function withoutLargeContent(judgement: Judgement): unknown {
  if (judgement.kind === "finding" || judgement.kind === "claim") return judgement;
  const { recorded: _, rerun: __, ...rest } = judgement;
  return rest;
}

import { describeFault } from "../notebook/fault.js";
import type { RunLimits } from "../notebook/run-limits.js";
import type { DataError } from "../study/check/data-errors.js";
import { LockedError } from "../workspace/lock.js";
import { chosenNotebooks } from "../workspace/notebook-files.js";
import { type Rebuilt, rebuildNotebooks } from "../workspace/rebuild-engine.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions } from "./arguments.js";
import { dataErrorText, errorsIn } from "./data-error-text.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { ledgerLines, ledgerText } from "./ledger.js";
import { type ProgressLines, progressLines, rebuildProgress } from "./progress.js";
import { drawFigures, makeReport } from "./report-step.js";
import { limitsOf, parallelOf, runHelp, runShapes } from "./run-options.js";

export const help: Help = {
  what: "Runs the notebooks that changed, records their outputs, and makes the report.",
  usage: "tautline rebuild [notebook…] [options]",
  options: [
    { name: "--all", what: "run unchanged notebooks too" },
    ...runHelp,
    { name: "--no-report", what: "record the notebooks only" },
    { name: "--quiet", what: "report only failures" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline rebuild", what: "bring everything up to date" },
    { line: "tautline rebuild winter-block/3-change", what: "one notebook of one study" },
    { line: "tautline rebuild --all --jobs 1", what: "run everything again, one at a time" },
  ],
};

const shapes = {
  all: "flag",
  ...runShapes,
  "no-report": "flag",
  quiet: "flag",
  json: "flag",
} as const;

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
    show(rebuilt, io, options);
    if (rebuilt.faults.length > 0) return exitCodes.failed;
    return rebuilt.dataErrors.length > 0 ? exitCodes.differences : exitCodes.fine;
  } catch (error) {
    lines.close();
    if (!(error instanceof LockedError)) throw error;
    io.err(`tautline rebuild: ${error.message}.\n`);
    return exitCodes.wrongUse;
  }
}

/** What the user chose for a rebuild. */
export interface RebuildChoices {
  /** Whether notebooks run that have not changed. */
  readonly all: boolean;
  /** Whether the report is made afterwards. */
  readonly report: boolean;
  /** Time and memory that a notebook may take. */
  readonly limits: RunLimits;
  /** How many notebooks run at one time. */
  readonly parallel: number;
}

/** What a rebuild did, with the rows and files of the studies behind it that cannot be used. */
export interface RebuiltWithErrors extends Omit<Rebuilt, "dataBehind"> {
  /** Rows and files that cannot be used until somebody corrects them. */
  readonly dataErrors: readonly DataError[];
}

/** Brings the named notebooks up to date, makes the report and looks for errors in the data. */
export async function rebuild(
  root: string,
  names: readonly string[],
  lines: ProgressLines,
  { all, report, limits, parallel }: RebuildChoices,
): Promise<RebuiltWithErrors> {
  const { dataBehind, ...rebuilt } = await rebuildNotebooks(root, names, {
    all,
    limits,
    parallel,
    events: rebuildProgress(lines),
    draw: drawFigures,
    ...(report && { makeReport: () => makeReport(root, lines) }),
  });
  return { ...rebuilt, dataErrors: await errorsIn(root, dataBehind) };
}

function show(rebuilt: RebuiltWithErrors, io: Io, options: { json: boolean; quiet: boolean }) {
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

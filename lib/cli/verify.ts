import { describeFault } from "../notebook/fault.js";
import type { Judgement } from "../notebook/judgement.js";
import { withRenderedForms } from "../report/rendered-forms.js";
import type { DataError } from "../study/check/data-errors.js";
import { chosenNotebooks } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { type Verification, verifyNotebooks } from "../workspace/verification.js";
import { readOptions, UsageError } from "./arguments.js";
import { dataErrorText, errorsIn } from "./data-error-text.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { progressLines, verifyProgress } from "./progress.js";
import { drawFigures } from "./report-step.js";
import { limitsOf, parallelOf, runHelp, runShapes } from "./run-options.js";
import { verdictText } from "./verdicts.js";

export const help: Help = {
  what: "Runs the notebooks again and compares every result with the record. It writes nothing.",
  usage: "tautline verify [notebook…] [options]",
  options: [
    { name: "--twice", what: "run twice, to find a notebook that is not deterministic" },
    { name: "--from <revision>", what: "compare with the record at that git revision" },
    {
      name: "--archive <file>",
      what: "compare the hashes, forms and pages of an archive with each other; runs nothing",
    },
    {
      name: "--run",
      what: "with --archive: also run its notebooks, programs that run with your rights",
    },
    {
      name: "--manuscript <file>",
      what: "check a returned manuscript (.docx) against the record; runs nothing",
    },
    {
      name: "--update",
      what: "with --manuscript: also write a new file with its numbers corrected as tracked changes",
    },
    {
      name: "--text <file>",
      what: "with a study: list the numbers with units in a text, and the findings they may come from",
    },
    ...runHelp,
    { name: "--quiet", what: "report only differences and failures" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline verify", what: "compare every notebook with its record" },
    { line: "tautline verify --twice", what: "check that two runs give the same results" },
    { line: "tautline verify --from HEAD~1", what: "list what the last edit changed" },
    {
      line: "tautline verify --archive out/winter-block.zip",
      what: "compare an archive's pages with its recorded results",
    },
    {
      line: "tautline verify --archive out/winter-block.zip --run",
      what: "check that an archive reproduces",
    },
    {
      line: "tautline verify winter-block/3-change --json",
      what: "one notebook, for a program to read",
    },
  ],
};

const shapes = {
  twice: "flag",
  from: "text",
  archive: "text",
  manuscript: "text",
  update: "flag",
  text: "text",
  run: "flag",
  ...runShapes,
  quiet: "flag",
  json: "flag",
} as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  if (options.archive !== undefined) {
    const { verifyArchive } = await import("./verify-archive.js");
    return await verifyArchive(args, { ...options, archive: options.archive, words }, io, run);
  }
  if (options.manuscript !== undefined) {
    refuseBeside(options, "--manuscript");
    const { verifyManuscript } = await import("./verify-manuscript.js");
    return await verifyManuscript(options.manuscript, { ...options, words }, io);
  }
  if (options.update) throw new UsageError("--update needs --manuscript");
  if (options.text !== undefined) {
    refuseBeside(options, "--text");
    const { verifyText } = await import("./verify-manuscript.js");
    return verifyText(options.text, { ...options, words }, io);
  }
  if (options.run) throw new UsageError("--run needs --archive; without it, verify always runs");
  const root = studyRoot(io.cwd);
  const names = chosenNotebooks(words, root, io.cwd);
  const lines = progressLines(io, options.quiet);
  const verification = await verifyNotebooks(root, names, {
    twice: options.twice,
    from: options.from,
    parallel: parallelOf(options),
    limits: limitsOf(options),
    events: verifyProgress(lines),
    render: withRenderedForms,
    draw: drawFigures,
  }).finally(() => lines.close());
  const { verified, faults, dataBehind } = verification;
  for (const fault of faults) io.err(`\n${describeFault(fault)}\n`);
  const errors = await errorsIn(root, dataBehind);
  io.err(dataErrorText(errors));
  const fine = faults.length === 0 && errors.length === 0 && verified.every(({ passes }) => passes);
  if (options.json) io.out(`${JSON.stringify(document(verification, errors, fine), null, 2)}\n`);
  else io.out(verdictText(verified, options));
  if (faults.length > 0) return exitCodes.failed;
  return fine ? exitCodes.fine : exitCodes.differences;
}

/** A check that runs nothing takes no option about runs. */
function refuseBeside(
  options: Readonly<{ twice: boolean; run: boolean; from: string | undefined }>,
  name: string,
): void {
  for (const option of ["twice", "run", "from"] as const) {
    if (options[option]) throw new UsageError(`${name} runs nothing: use it without --${option}`);
  }
}

function document(
  { verified, faults }: Verification,
  dataErrors: readonly DataError[],
  agrees: boolean,
): unknown {
  return {
    agrees,
    notebooks: verified.map(({ notebook, comparison, notice, itself, passes, ...found }) => ({
      notebook,
      agrees: passes,
      formsApart: found.forms.map(withoutLargeContent),
      changedData: found.data,
      changedText: found.prose,
      changedFrame: found.frame,
      movedCells: found.moves,
      staleInFile: found.stale,
      typedByHand: found.typed,
      warnings: found.warnings,
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

/** Findings and claims are given in full; for a figure, a table or a text the verdict is enough. */
function withoutLargeContent(judgement: Judgement): unknown {
  if (judgement.kind === "finding" || judgement.kind === "claim") return judgement;
  const { recorded: _, rerun: __, ...rest } = judgement;
  return rest;
}

import { join, resolve } from "node:path";
import { type CheckedArchive, checkArchive, filesToRun } from "../archive/checking.js";
import { fileFaultText } from "../archive/hashes.js";
import { ArchiveFault } from "../archive/reading.js";
import { type RebuiltArchive, rebuildFromRecords } from "../archive/rebuilding.js";
import { descriptorName } from "../study/files.js";
import { openStudy } from "../study/open.js";
import { linkLibrary, privateFolder, writeNewFiles } from "../workspace/private-folder.js";
import { describedIn, makeReport } from "./archive.js";
import { UsageError } from "./arguments.js";
import { exitCodes, type Io, plainWords } from "./io.js";
import { drawFigures } from "./report-step.js";

/** What verify does with notebooks in a workspace. */
type Verify = (args: string[], io: Io) => Promise<number>;

/** The options of verify that matter here. */
interface ArchiveOptions {
  readonly archive: string;
  readonly from: string | undefined;
  readonly run: boolean;
  readonly twice: boolean;
  readonly json: boolean;
  /** Notebooks, named as they are in the archive; all of them without a word. */
  readonly words: readonly string[];
}

/**
 * Compares every file of an archive with the archive's own list, and everything that a person reads
 * in it with what its recorded outputs and data make. Only when asked does it then run the notebooks,
 * with the library that is installed here, and compare.
 * @param args all words of the command, which are passed on without the archive
 * @param verify the command itself, which runs in a private folder
 */
export async function verifyArchive(
  args: readonly string[],
  options: ArchiveOptions,
  io: Io,
  verify: Verify,
): Promise<number> {
  refuseUnfitting(options);
  const { archive: file, json } = options;
  let sha256: string | undefined;
  try {
    const checked = checkArchive(resolve(io.cwd, file));
    sha256 = checked.sha256;
    if (checked.faults.length === 0 && checked.notebooks.length > 0) {
      return await judge(checked, { options, args: withoutArchive(args), io, verify });
    }
    if (checked.faults.length > 0) showFaults(file, checked, io);
    else io.err(`tautline verify: ${file} contains no notebook, so there is nothing to check.\n`);
    if (json) say(io, { agrees: false, archive: { file, sha256, faults: checked.faults } });
  } catch (error) {
    if (!(error instanceof ArchiveFault)) throw error;
    io.err(`tautline verify: ${file} was refused: ${error.message}.\n`);
    if (json) say(io, { agrees: false, archive: { file, sha256, refused: error.message } });
  }
  return exitCodes.differences;
}

function refuseUnfitting({ from, run, twice, words }: ArchiveOptions): void {
  if (from !== undefined)
    throw new UsageError("an archive has no git history: use --from without --archive");
  if (run) return;
  const needsRun = twice ? "--twice runs" : words.length > 0 ? `naming ${words[0]} runs` : "";
  if (needsRun !== "") throw new UsageError(`${needsRun} notebooks: add --run`);
}

function say(io: Io, document: object): void {
  io.out(`${JSON.stringify(document, null, 2)}\n`);
}

const shownFaults = 20;

/** The first clauses of a list, one per line, and how many more there are. */
function listed(clauses: readonly string[]): string {
  const shown = clauses.slice(0, shownFaults).map((clause) => `  ${plainWords(clause)}\n`);
  const more = clauses.length - shown.length;
  return `${shown.join("")}${more > 0 ? `  and ${more} more\n` : ""}`;
}

function showFaults(file: string, { faults, sha256 }: CheckedArchive, io: Io): void {
  io.err(
    `tautline verify: ${file} (SHA-256 ${sha256}) was changed after it was made; nothing in it was run.\n${listed(faults.map(fileFaultText))}`,
  );
}

function withoutArchive(args: readonly string[]): string[] {
  return args.filter(
    (arg, i) =>
      !/^--archive(?:=|$)/.test(arg) && args[i - 1] !== "--archive" && !/^--run(?:=|$)/.test(arg),
  );
}

interface Asked {
  readonly options: ArchiveOptions;
  readonly args: string[];
  readonly io: Io;
  readonly verify: Verify;
}

/** Rebuilds what can be rebuilt without running anything, then runs the notebooks if that was asked. */
async function judge(checked: CheckedArchive, asked: Asked): Promise<number> {
  const { options, io } = asked;
  const { archive: file, json, run } = options;
  const { listed: names, others, sha256 } = checked;
  const folder = privateFolder();
  try {
    writeNewFiles(folder.path, filesToRun(checked));
    if (!json) io.out(headText(file, checked));
    const rebuilt = await rebuildFromRecords(checked, folder.path, {
      makeReport,
      readStudy: studyBelow,
      draw: drawFigures,
    });
    const agrees = rebuilt.differences.length === 0;
    if (!json) io.out(rebuiltText(rebuilt));
    const archive = { file, sha256, files: names.length, others, ...rebuilt };
    const willRun = run && (await mayRun(io));
    const ran = willRun ? await reproduce(checked, folder.path, asked) : undefined;
    if (json) {
      const results = JSON.parse(ran?.written || "{}");
      say(io, { archive, ran: ran !== undefined, ...results, agrees: agrees && !ran?.code });
    } else io.out(closingText(agrees && !ran?.code, checked, ran !== undefined));
    if (run && !willRun) return exitCodes.wrongUse;
    return ran?.code || (agrees ? exitCodes.fine : exitCodes.differences);
  } finally {
    folder.remove();
  }
}

function studyBelow(root: string, name: string) {
  const descriptor = `data/${name}/${descriptorName}`;
  const described = describedIn(root, descriptor);
  return { study: openStudy(join(root, "data", name)), descriptor, described };
}

function headText(file: string, { listed: names, others, sha256 }: CheckedArchive): string {
  const different = others.map(
    ({ name, archived, here }) =>
      `Different ${plainWords(name)}: ${plainWords(archived)} in the archive, ${here} here.\n`,
  );
  return `${file}: ${names.length} files, all as listed.\nSHA-256 ${sha256}: compare it with the deposited one.\n${different.join("")}`;
}

function rebuiltText({ differences, drawings, exact, pages }: RebuiltArchive): string {
  const made = `Made again from the recorded results, nothing run: ${pages} pages${exact ? `, ${drawings} drawings` : ""}.`;
  const how = exact
    ? "Compared byte by byte."
    : "Compared by the texts and numbers that a person reads, because other programs made the archive; drawings and the programs of the pages were not compared.";
  const found = differences.map(({ path, what }) => `${path}: ${what}`);
  return `${made} ${how}\n${listed(found)}`;
}

/** The last line: what was found, what was not looked at, and whose programs looked. */
function closingText(agrees: boolean, { others }: CheckedArchive, ran: boolean): string {
  const found = agrees
    ? "The archive agrees with its records."
    : "The archive does not agree with its records.";
  const notRun = ran ? "" : " Its notebooks were not run: --run does that, with your rights.";
  const versions = others.map(({ name, archived, here }) => `${name} ${archived} (${here} here)`);
  const by = versions.length > 0 ? ` It was made with ${plainWords(versions.join(", "))}.` : "";
  return `${found}${notRun}${by}\n`;
}

const warning =
  "The notebooks of the archive are programs. They run with your rights: they can read, change and send whatever you can. Read them first, and run them only if you trust who made them.";

/** Says what running means; on a terminal a person then has to agree. */
async function mayRun(io: Io): Promise<boolean> {
  io.err(`${warning}\n`);
  return io.agreed === undefined || (await io.agreed("Run them now?"));
}

/** Runs the notebooks in the private folder. */
async function reproduce(checked: CheckedArchive, folder: string, asked: Asked) {
  const { options, args, io, verify } = asked;
  linkLibrary(folder);
  const named = options.words.length > 0 ? [] : checked.notebooks;
  let written = "";
  const keep = (text: string) => {
    written += text;
  };
  const out = options.json ? keep : io.out;
  const code = await verify([...args, ...named], { ...io, out, cwd: folder });
  return { code, written };
}

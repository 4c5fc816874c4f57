import { resolve } from "node:path";
import { type CheckedArchive, checkArchive, filesToRun } from "../archive/checking.js";
import { fileFaultText } from "../archive/hashes.js";
import { ArchiveFault } from "../archive/reading.js";
import { linkLibrary, privateFolder, writeNewFiles } from "../workspace/private-folder.js";
import { UsageError } from "./arguments.js";
import { exitCodes, type Io } from "./io.js";

/** What verify does with notebooks in a workspace. */
type Verify = (args: string[], io: Io) => Promise<number>;

/** The options of verify that matter here. */
interface ArchiveOptions {
  readonly archive: string;
  readonly from: string | undefined;
  readonly json: boolean;
  /** Notebooks, named as they are in the archive; all of them without a word. */
  readonly words: readonly string[];
}

/**
 * Compares every file of an archive with the archive's own list, unpacks it into a private folder,
 * runs its notebooks with the library that is installed here, and compares.
 * @param args all words of the command, which are passed on without the archive
 * @param verify the command itself, which runs in the private folder
 */
export async function verifyArchive(
  args: readonly string[],
  options: ArchiveOptions,
  io: Io,
  verify: Verify,
): Promise<number> {
  const { archive: file, json, from } = options;
  if (from !== undefined)
    throw new UsageError("an archive has no git history: use --from without --archive");
  let checked: CheckedArchive;
  try {
    checked = checkArchive(resolve(io.cwd, file));
  } catch (error) {
    if (!(error instanceof ArchiveFault)) throw error;
    io.err(`tautline verify: ${file} was not unpacked: ${error.message}.\n`);
    if (json) say(io, { agrees: false, archive: { file, refused: error.message } });
    return exitCodes.differences;
  }
  if (checked.faults.length > 0) {
    showFaults(file, checked, io);
    if (json) say(io, { agrees: false, archive: { file, faults: checked.faults } });
    return exitCodes.differences;
  }
  if (checked.notebooks.length === 0) {
    io.err(`tautline verify: ${file} contains no notebook, so there is nothing to run.\n`);
    return exitCodes.differences;
  }
  return await reproduce(checked, { options, args: withoutArchive(args), io, verify });
}

function say(io: Io, document: object): void {
  io.out(`${JSON.stringify(document)}\n`);
}

const shownFaults = 20;

function showFaults(file: string, { faults }: CheckedArchive, io: Io): void {
  const shown = faults.slice(0, shownFaults).map((fault) => `  ${fileFaultText(fault)}\n`);
  const more = faults.length > shownFaults ? `  and ${faults.length - shownFaults} more\n` : "";
  io.err(
    `tautline verify: ${file} was changed after it was made; nothing in it was run.\n${shown.join("")}${more}`,
  );
}

function withoutArchive(args: readonly string[]): string[] {
  return args.filter((arg, i) => !/^--archive(?:=|$)/.test(arg) && args[i - 1] !== "--archive");
}

interface Asked {
  readonly options: ArchiveOptions;
  readonly args: string[];
  readonly io: Io;
  readonly verify: Verify;
}

async function reproduce(checked: CheckedArchive, asked: Asked): Promise<number> {
  const { options, args, io, verify } = asked;
  const { archive: file, json, words } = options;
  const { listed, others, notebooks, sha256 } = checked;
  if (!json) {
    io.out(`${file}: ${listed.length} files, all as listed.\n`);
    for (const { name, archived, here } of others)
      io.out(`Different ${name}: ${archived} in the archive, ${here} here.\n`);
  }
  io.err("The notebooks of the archive run now, with your rights on this machine.\n");
  const folder = privateFolder();
  try {
    writeNewFiles(folder.path, filesToRun(checked));
    linkLibrary(folder.path);
    const named = words.length > 0 ? [] : notebooks;
    let written = "";
    const keep = (text: string) => {
      written += text;
    };
    const out = json ? keep : io.out;
    const code = await verify([...args, ...named], { ...io, out, cwd: folder.path });
    if (json) {
      const archive = { file, sha256, files: listed.length, others };
      io.out(`${JSON.stringify({ archive, ...JSON.parse(written || "{}") }, null, 2)}\n`);
    }
    return code;
  } finally {
    folder.remove();
  }
}

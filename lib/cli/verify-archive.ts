import { readFileSync, statSync } from "node:fs";
import { resolve } from "node:path";
import {
  fileFaults,
  fileFaultText,
  type PackageAccount,
  packageAccount,
  sha256,
} from "../archive/hashes.js";
import { librarySources, libraryVersion } from "../archive/library.js";
import { PackageFault, packageLimits, readArchive } from "../archive/reading.js";
import { programsNow } from "../archive/record-of-archive.js";
import type { PackageFiles } from "../archive/zip.js";
import { exitCodes, type Io } from "./io.js";
import { UsageError } from "./options.js";
import { linkLibrary, privateFolder, writeNewFiles } from "./private-folder.js";

/** A program in another version than the package was made with. */
interface Other {
  readonly name: string;
  readonly packed: string;
  readonly here: string;
}

interface Opened {
  readonly files: PackageFiles;
  readonly account: PackageAccount;
}

/** What verify does with notebooks in a study repository. */
type Verify = (args: string[], io: Io) => Promise<number>;

/** The options of verify that matter here. */
interface PackOptions {
  readonly pack: string;
  readonly from: string | undefined;
  readonly json: boolean;
  /** Notebooks, named as they are in the package; all of them without a word. */
  readonly words: readonly string[];
}

/**
 * Unpacks a package into a private folder, holds every file against the package's own list, runs its
 * notebooks on its data with the library that is installed here, and compares.
 * @param args all words of the command, which go on to it without the package
 * @param verify the command itself, which runs in the private folder
 */
export async function verifyPack(
  args: readonly string[],
  options: PackOptions,
  io: Io,
  verify: Verify,
): Promise<number> {
  const { pack: file, json, from } = options;
  if (from !== undefined)
    throw new UsageError("a package has no git history: --from goes without --pack");
  const path = resolve(io.cwd, file);
  let opened: Opened;
  try {
    opened = open(path);
  } catch (error) {
    if (!(error instanceof PackageFault)) throw error;
    io.err(`tautline verify: ${file} was not unpacked: ${error.message}.\n`);
    if (json)
      io.out(`${JSON.stringify({ agrees: false, pack: { file, refused: error.message } })}\n`);
    return exitCodes.differences;
  }
  const faults = fileFaults(opened.files, opened.account);
  if (faults.length > 0) {
    const shown = faults.slice(0, 20).map((fault) => `  ${fileFaultText(fault)}\n`);
    const more = faults.length > 20 ? `  and ${faults.length - 20} more\n` : "";
    io.err(
      `tautline verify: ${file} is not as it was packed; nothing in it was run.\n${shown.join("")}${more}`,
    );
    if (json) io.out(`${JSON.stringify({ agrees: false, pack: { file, faults } })}\n`);
    return exitCodes.differences;
  }
  return await reproduce(opened, { options, args: withoutPack(args), io, verify });
}

function withoutPack(args: readonly string[]): string[] {
  return args.filter((arg, i) => !/^--pack(?:=|$)/.test(arg) && args[i - 1] !== "--pack");
}

function open(path: string): Opened {
  const stats = statSync(path, { throwIfNoEntry: false });
  if (!stats?.isFile()) throw new UsageError(`--pack needs a file, and there is none at ${path}`);
  if (stats.size > packageLimits.packedBytes)
    throw new PackageFault("it is too large for a package");
  const files = readArchive(readFileSync(path));
  return { files, account: packageAccount(files) };
}

interface Asked {
  readonly options: PackOptions;
  readonly args: string[];
  readonly io: Io;
  readonly verify: Verify;
}

/** Only what a run needs is written; the library is the one that is installed here. */
const needed = /^(?:data\/|notebooks\/|package\.json$|package-lock\.json$)/;

async function reproduce({ files, account }: Opened, asked: Asked): Promise<number> {
  const { options, args, io, verify } = asked;
  const { pack: file, json, words } = options;
  const notebooks = account.listed.filter((path) => path.endsWith(".ipynb") && needed.test(path));
  if (notebooks.length === 0) {
    io.err(`tautline verify: ${file} holds no notebook, so there is nothing to run.\n`);
    return exitCodes.differences;
  }
  const others = [...otherPrograms(account), ...otherSources(files)];
  if (!json) {
    io.out(`${file}: ${account.listed.length} files, each as listed.\n`);
    for (const other of others) io.out(`${otherText(other)}\n`);
  }
  io.err("The notebooks of the package run now, with your rights on this machine.\n");
  const folder = privateFolder();
  try {
    writeNewFiles(folder.path, new Map([...files].filter(([path]) => needed.test(path))));
    linkLibrary(folder.path);
    const named = words.length > 0 ? [] : notebooks;
    let said = "";
    const keep = (text: string) => {
      said += text;
    };
    const out = json ? keep : io.out;
    const code = await verify([...args, ...named], { ...io, out, cwd: folder.path });
    if (json) {
      const pack = {
        file,
        sha256: sha256(readFileSync(resolve(io.cwd, file))),
        files: account.listed.length,
        others,
      };
      io.out(`${JSON.stringify({ pack, ...JSON.parse(said || "{}") }, null, 2)}\n`);
    }
    return code;
  } finally {
    folder.remove();
  }
}

/** Programs that the package names in another version than runs here. */
function otherPrograms({ entities }: PackageAccount): Other[] {
  const packed = new Map<string, string>();
  for (const entity of entities.values()) {
    if (![entity["@type"]].flat().includes("SoftwareApplication")) continue;
    packed.set(String(entity.name), String(entity.version));
  }
  return programsNow(libraryVersion()).flatMap(({ name, version }) => {
    const before = packed.get(name);
    return before === undefined || before === version
      ? []
      : [{ name, packed: before, here: version }];
  });
}

/** The library's version may be the same and its source another. */
function otherSources(files: PackageFiles): Other[] {
  const digest = (sources: Iterable<readonly [string, Uint8Array]>) =>
    sha256(
      [...sources]
        .map(([path, content]) => `${path} ${sha256(content)}\n`)
        .sort()
        .join(""),
    );
  const packed = [...files]
    .filter(([path]) => path.startsWith("lib/") && path !== "lib/LICENSE")
    .map(([path, content]) => [path.slice("lib/".length), content] as const);
  const [before, now] = [digest(packed), digest(librarySources())];
  if (before === now || packed.length === 0) return [];
  return [{ name: "source of tautline", packed: before.slice(0, 12), here: now.slice(0, 12) }];
}

function otherText({ name, packed, here }: Other): string {
  return `Not the same ${name}: ${packed} in the package, ${here} here.`;
}

import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

/** What cells import as "tautline" lies beside it, and shares its modules. */
const bundledProgram = new URL("../bundled/kernel-program.js", import.meta.url).href;

/**
 * The program that a kernel process runs: `node host.js --config-path <connection file>`. A
 * registered kernel starts in the notebook's folder; if that folder belongs to a project with its
 * own copy of this library, the project's copy takes over, so that a notebook always runs with the
 * library it was written for.
 */
async function main(): Promise<void> {
  const thisFile = fileURLToPath(import.meta.url);
  const local = projectCopy(process.cwd());
  if (local && realPath(local) !== realPath(thisFile)) {
    await import(pathToFileURL(local).href);
    return;
  }
  const program: typeof import("../kernel-program.js") = await import(bundledProgram);
  const { connectDisplay, startStudyKernel } = program;
  connectDisplay(startStudyKernel(option("--config-path") ?? ""));
}

function option(name: string): string | undefined {
  const at = process.argv.indexOf(name);
  return at < 0 ? undefined : process.argv[at + 1];
}

function projectCopy(from: string): string | undefined {
  for (let folder = from; ; folder = dirname(folder)) {
    const copy = join(folder, "node_modules", "tautline", "dist", "notebook", "host.js");
    if (existsSync(copy)) return copy;
    if (dirname(folder) === folder) return undefined;
  }
}

function realPath(path: string): string {
  return createRequire(import.meta.url)("node:fs").realpathSync(path);
}

await main();

import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { buildFolder } from "../notebook/build.js";
import { type KernelStatus, kernelStatuses } from "../notebook/kernel-status.js";
import { kernelName, kernelTitle } from "../notebook/kernel-title.js";
import { writeAtomically } from "../whole-file.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";

export const help: Help = {
  what: "Registers the kernel with Jupyter, for every front end of this user. It needs no Python.",
  usage: "tautline kernel [--remove | --status] [options]",
  options: [
    { name: "--remove", what: "remove the registration" },
    {
      name: "--status",
      what: "list the running kernels and the cells whose output is out of date",
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline kernel", what: 'offer "Tautline (TypeScript)" in Jupyter' },
    { line: "tautline kernel --remove", what: "remove it again" },
    { line: "tautline kernel --status", what: "see which cells of open notebooks to run again" },
  ],
};

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    remove: "flag",
    status: "flag",
    json: "flag",
  });
  if (words.length > 0) throw new UsageError(`kernel takes no words, got ${words[0]}`);
  if (options.status) {
    if (options.remove) throw new UsageError("--status changes nothing: use it without --remove");
    const kernels = kernelStatuses(jupyterRuntimeFolder(process.env, process.platform));
    io.out(options.json ? `${JSON.stringify({ kernels })}\n` : statusText(kernels));
    return exitCodes.fine;
  }
  const folder = join(jupyterDataFolder(process.env, process.platform), "kernels", kernelName);
  const done = options.remove ? remove(folder) : register(folder);
  if (options.json) io.out(`${JSON.stringify({ kernel: kernelName, folder, ...done })}\n`);
  else io.out(`${spoken(done, folder)}\n`);
  return exitCodes.fine;
}

interface Done {
  readonly registered: boolean;
  readonly changed: boolean;
}

function spoken({ registered, changed }: Done, folder: string): string {
  if (registered) return `The kernel is registered: ${folder}`;
  return changed
    ? `The kernel is no longer registered: ${folder}`
    : "The kernel was not registered.";
}

/**
 * Where Jupyter keeps the data of one user.
 * @see https://docs.jupyter.org/en/latest/use/jupyter-directories.html
 */
export function jupyterDataFolder(env: NodeJS.ProcessEnv, platform: NodeJS.Platform): string {
  if (env.JUPYTER_DATA_DIR) return env.JUPYTER_DATA_DIR;
  const home = env.HOME ?? env.USERPROFILE ?? homedir();
  if (platform === "darwin") return join(home, "Library", "Jupyter");
  if (platform === "win32") return join(env.APPDATA ?? join(home, "AppData", "Roaming"), "jupyter");
  return join(env.XDG_DATA_HOME ?? join(home, ".local", "share"), "jupyter");
}

/** Where Jupyter keeps the files of running kernels. */
function jupyterRuntimeFolder(env: NodeJS.ProcessEnv, platform: NodeJS.Platform): string {
  return env.JUPYTER_RUNTIME_DIR ?? join(jupyterDataFolder(env, platform), "runtime");
}

function statusText(kernels: readonly KernelStatus[]): string {
  if (kernels.length === 0) return "No kernel runs that has run a cell.\n";
  const lines = kernels.flatMap(({ pid, folder, cells, stale }) => [
    `Kernel ${pid} in ${folder}: ${cells} ${cells === 1 ? "cell" : "cells"} ran, ${stale.length} stale.`,
    ...stale.map(({ cell, sentence }) => `  Cell ${cell}: ${sentence}`),
  ]);
  return `${lines.join("\n")}\n`;
}

/** The kernel starts from this copy of the library; in a study with its own copy, that one takes over. */
function specification() {
  return {
    argv: [
      process.execPath,
      join(buildFolder, "notebook", "host.js"),
      "--config-path",
      "{connection_file}",
    ],
    display_name: kernelTitle,
    language: "typescript",
    // Windows has no signal that a kernel could hear; a message reaches a cell that waits
    interrupt_mode: process.platform === "win32" ? "message" : "signal",
  };
}

function register(folder: string): Done {
  refuseOthers(folder);
  mkdirSync(folder, { recursive: true });
  const file = join(folder, "kernel.json");
  const text = `${JSON.stringify(specification(), null, 2)}\n`;
  const changed = !existsSync(file) || readFileSync(file, "utf8") !== text;
  if (changed) writeAtomically(file, text);
  return { registered: true, changed };
}

function remove(folder: string): Done {
  if (!existsSync(folder)) return { registered: false, changed: false };
  refuseOthers(folder);
  rmSync(folder, { recursive: true });
  return { registered: false, changed: true };
}

/** A kernel of the same name from another program is not touched. */
function refuseOthers(folder: string): void {
  const file = join(folder, "kernel.json");
  if (!existsSync(file)) return;
  const starts = /"[^"]*notebook[/\\]+host\.js"/.test(readFileSync(file, "utf8"));
  if (!starts) throw new UsageError(`${file} belongs to another kernel of the same name`);
}

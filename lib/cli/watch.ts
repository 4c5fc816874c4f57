import { availableParallelism } from "node:os";
import { join, sep } from "node:path";
import { describeFault, type Fault } from "../notebook/errors.js";
import { LockedError } from "../notebook/lock.js";
import { usualLimits } from "../notebook/run.js";
import { anchorOf } from "../report/context.js";
import { slugOf } from "../report/recorded.js";
import { dataErrorText } from "./data-errors.js";
import { FolderWatch } from "./folder-watch.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { buildLibrary } from "./library-build.js";
import { readOptions } from "./options.js";
import { type PageServer, servePages } from "./page-server.js";
import { type ProgressLines, progressLines } from "./progress.js";
import { rebuild } from "./rebuild.js";
import { reportFolder } from "./report-step.js";
import { chosenNotebooks, studyRoot } from "./root.js";

export const help: Help = {
  what: "Rebuilds what depends on a file whenever it is saved, and reloads the report in the browser.",
  usage: "tautline watch [notebook…] [options]",
  options: [
    { name: "--port NUMBER", what: "port of the page on this machine (any free one)" },
    { name: "--limit SECONDS", what: "time that one cell may take (120)" },
    { name: "--memory MEGABYTES", what: "memory that a notebook may use (2048)" },
    { name: "--quiet", what: "tell failures only" },
    { name: "--json", what: "one JSON document a line: each rebuild" },
  ],
  examples: [
    { line: "tautline watch", what: "keep the page up to date while you edit" },
    {
      line: "tautline watch grip-change --port 8700",
      what: "one notebook, at a port of your choice",
    },
  ],
};

const shapes = {
  port: "port",
  limit: "number",
  memory: "number",
  quiet: "flag",
  json: "flag",
} as const;

/** A save is often several events; they are taken together. */
const settling = 150;
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  chosenNotebooks(words, root, io.cwd);
  const lines = progressLines(io, options.quiet);
  const server = await servePages(join(root, reportFolder), options.port);
  if (!server) {
    io.err(`tautline watch: port ${options.port} is taken.\n`);
    return exitCodes.wrongUse;
  }
  io.err(`The report: ${server.address}\nStop with Ctrl+C.\n`);
  const limits = {
    cellSeconds: options.limit ?? usualLimits.cellSeconds,
    memoryMegabytes: options.memory ?? usualLimits.memoryMegabytes,
  };
  const watching = new Watching(root, server, lines, io, {
    json: options.json,
    limits,
    names: () => chosenNotebooks(words, root, io.cwd),
  });
  await watching.untilStopped();
  lines.close();
  return exitCodes.fine;
}

interface WatchOptions {
  readonly json: boolean;
  readonly limits: typeof usualLimits;
  /** Looked up at every rebuild: notebooks come and go. */
  readonly names: () => string[];
}

class Watching {
  private readonly root: string;
  private readonly server: PageServer;
  private readonly lines: ProgressLines;
  private readonly io: Io;
  private readonly options: WatchOptions;
  private readonly changed = new Set<string>();
  private timer: NodeJS.Timeout | undefined;
  private busy: Promise<void> = Promise.resolve();

  constructor(
    root: string,
    server: PageServer,
    lines: ProgressLines,
    io: Io,
    options: WatchOptions,
  ) {
    this.root = root;
    this.server = server;
    this.lines = lines;
    this.io = io;
    this.options = options;
  }

  /** Rebuilds once, then after every save, until the person stops the command. */
  async untilStopped(): Promise<void> {
    const folders = ["notebooks", "data", "lib"].map((name) => join(this.root, name));
    const watches = folders.map((folder) => new FolderWatch(folder, (path) => this.later(path)));
    this.later("");
    await new Promise<void>((resolve) => {
      if (this.io.stopped?.aborted) resolve();
      this.io.stopped?.addEventListener("abort", () => resolve());
    });
    clearTimeout(this.timer);
    for (const watch of watches) watch.close();
    await this.busy;
    await this.server.close();
  }

  private later(path: string): void {
    this.changed.add(path);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      const paths = [...this.changed];
      this.changed.clear();
      this.busy = this.busy.then(() => this.bringUpToDate(paths));
    }, settling);
  }

  private async bringUpToDate(paths: readonly string[]): Promise<void> {
    const sources = paths.filter(
      (path) => path.startsWith(join(this.root, "lib") + sep) && /\.tsx?$/.test(path),
    );
    const problem = sources.length > 0 ? await buildLibrary(this.root) : undefined;
    if (problem !== undefined) {
      this.io.err(`The library does not compile:\n${problem}\n`);
      this.server.tell({ problem, faults: [] });
      return;
    }
    try {
      await this.rebuild();
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      const words = error instanceof LockedError ? `${error.message}.` : error.message;
      this.io.err(`${words}\n`);
      this.server.tell({ problem: words, faults: [] });
    }
  }

  private async rebuild(): Promise<void> {
    const { faults, recorded, ran, page, dataErrors } = await rebuild(
      this.root,
      this.options.names(),
      this.lines,
      {
        all: false,
        report: true,
        limits: this.options.limits,
        parallel: availableParallelism(),
      },
    );
    for (const fault of faults) this.io.err(`\n${describeFault(fault)}\n`);
    this.io.err(dataErrorText(dataErrors));
    if (this.options.json) {
      this.io.out(`${JSON.stringify({ ran, recorded, page, faults, dataErrors })}\n`);
    }
    this.server.tell({ faults: faults.map(forPage) });
  }
}

/** What the page needs to show a fault beside its cell. */
function forPage(fault: Fault) {
  const path = fault.notebook.replace(/^notebooks\//, "").replace(/\.ipynb$/, "");
  const slug = slugOf(path.replaceAll("/", "-"));
  const place = fault.cell ? anchorOf({ slug }, "cell", String(fault.cell.number)) : null;
  return { notebook: fault.notebook, place, text: describeFault(fault) };
}

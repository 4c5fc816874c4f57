import { join, sep } from "node:path";
import { describeFault, type Fault } from "../notebook/fault.js";
import type { RunLimits } from "../notebook/run.js";
import { anchorOf } from "../report/context.js";
import { outputFolder } from "../report/folder.js";
import { type PageServer, servePages } from "../report/page-server.js";
import { slugsOf } from "../report/recorded.js";
import { FolderWatch } from "../workspace/folder-watch.js";
import { buildLibrary, unbuiltSources } from "../workspace/library-build.js";
import { LockedError } from "../workspace/lock.js";
import { chosenNotebooks, notebookPaths } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions } from "./arguments.js";
import { dataErrorText } from "./data-error-text.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { type ProgressLines, progressLines } from "./progress.js";
import { rebuild } from "./rebuild.js";
import { reportFolder } from "./report-step.js";
import { limitHelp, limitShapes, limitsOf, parallelOf } from "./run-options.js";

export const help: Help = {
  what: "Rebuilds what depends on a file whenever it is saved, and reloads the report in the browser.",
  usage: "tautline watch [notebook…] [options]",
  options: [
    { name: "--port <number>", what: "port of the page on this machine (any free one)" },
    ...limitHelp,
    { name: "--quiet", what: "report only failures" },
    { name: "--json", what: "one JSON document per rebuild, each on one line" },
  ],
  examples: [
    { line: "tautline watch", what: "keep the page up to date while you edit" },
    {
      line: "tautline watch winter-block/3-change --port 8700",
      what: "one notebook, at a fixed port",
    },
  ],
};

const shapes = {
  port: "port",
  ...limitShapes,
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
  const server = await servePages(outputFolder(root, join(root, reportFolder)), options.port);
  if (!server) {
    io.err(`tautline watch: port ${options.port} is taken.\n`);
    return exitCodes.wrongUse;
  }
  io.err(`The report: ${server.address}\nStop with Ctrl+C.\n`);
  const watching = new Watching(root, server, lines, io, {
    json: options.json,
    limits: limitsOf(options),
    names: () => chosenNotebooks(words, root, io.cwd),
  });
  watching.start();
  return await new Promise<never>(() => {}); // a signal ends the program
}

interface WatchOptions {
  readonly json: boolean;
  readonly limits: RunLimits;
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

  /** Rebuilds once, then after every save. */
  start(): void {
    for (const name of ["notebooks", "data", "lib"]) {
      new FolderWatch(join(this.root, name), (path) => this.later(path));
    }
    this.later("");
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
    const problem =
      sources.length > 0 || unbuiltSources().length > 0 ? await buildLibrary(this.root) : undefined;
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
        parallel: parallelOf(),
      },
    );
    for (const fault of faults) this.io.err(`\n${describeFault(fault)}\n`);
    this.io.err(dataErrorText(dataErrors));
    if (this.options.json) {
      this.io.out(`${JSON.stringify({ ran, recorded, page, faults, dataErrors })}\n`);
    }
    const slugs = slugsOf(notebookPaths(this.root));
    this.server.tell({ faults: faults.map((fault) => forPage(fault, slugs)) });
  }
}

/** What the page needs to show a fault beside its cell. */
function forPage(fault: Fault, slugs: ReadonlyMap<string, string>) {
  const slug = slugs.get(fault.notebook);
  const place = fault.cell && slug ? anchorOf({ slug }, "cell", String(fault.cell.number)) : null;
  return { notebook: fault.notebook, place, text: describeFault(fault) };
}

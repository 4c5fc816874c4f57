import { join, sep } from "node:path";
import { describeFault, type Fault } from "../notebook/fault.js";
import type { RunLimits } from "../notebook/run-limits.js";
import { anchorOf } from "../report/context.js";
import type { PageServer } from "../report/page-server.js";
import { slugsOf } from "../report/recorded.js";
import { FolderWatch } from "../workspace/folder-watch.js";
import { buildLibrary, unbuiltSources } from "../workspace/library-build.js";
import { LockedError } from "../workspace/lock.js";
import { notebookPaths } from "../workspace/notebook-files.js";
import { wasSavedMeanwhile } from "../workspace/rebuild-engine.js";
import { dataErrorText } from "./data-error-text.js";
import type { Io } from "./io.js";
import { LivePages } from "./live-pages.js";
import type { ProgressLines } from "./progress.js";
import { rebuild } from "./rebuild.js";
import { parallelOf } from "./run-options.js";

/** What the user chose for a watch. */
export interface WatchChoices {
  /** Whether each rebuild is told as JSON. */
  readonly json: boolean;
  /** Time and memory that a notebook may take. */
  readonly limits: RunLimits;
  /** The notebooks to watch, looked up at every save: they come and go. */
  readonly names: () => string[];
}

/** A save is often several events within this many milliseconds; they are taken together. */
const settling = 30;

/** Rebuilds after every save; live notebooks show what changed before. */
export class Watching {
  private readonly root: string;
  private readonly server: PageServer;
  private readonly lines: ProgressLines;
  private readonly io: Io;
  private readonly choices: WatchChoices;
  private readonly pages: LivePages;
  private readonly changed = new Set<string>();
  /** Saves that no rebuild has taken up yet. */
  private readonly waiting = new Set<string>();
  private timer: NodeJS.Timeout | undefined;
  private busy: Promise<void> = Promise.resolve();

  constructor(
    root: string,
    server: PageServer,
    lines: ProgressLines,
    io: Io,
    choices: WatchChoices,
  ) {
    this.root = root;
    this.server = server;
    this.lines = lines;
    this.io = io;
    this.choices = choices;
    this.pages = new LivePages(root, server, choices.limits);
  }

  /** Rebuilds once, then after every save. */
  start(): void {
    for (const name of ["notebooks", "data", "lib"]) {
      new FolderWatch(join(this.root, name), (path) => this.later(path));
    }
    this.later("");
  }

  /** A page was opened: if it is a notebook's, its kernel gets ready before the first save. */
  opened(page: string): void {
    const name = this.names().find((path) => this.pages.pageOf(path) === page);
    if (name === undefined || this.pages.isLive(name)) return;
    this.busy = this.busy.then(() => this.pages.ready(name));
  }

  private names(): string[] {
    try {
      return this.choices.names();
    } catch {
      return []; // the last notebook was removed; the rebuild says so
    }
  }

  private later(path: string): void {
    this.changed.add(path);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      const paths = [...this.changed];
      this.changed.clear();
      const live = this.showLive(paths);
      for (const one of paths) this.waiting.add(one);
      this.busy = this.busy.then(() => live).then(() => this.takeWaiting());
    }, settling);
  }

  private isSource(path: string): boolean {
    return path.startsWith(join(this.root, "lib") + sep) && /\.tsx?$/.test(path);
  }

  /** Runs what a save changed in the live notebooks; a library that changes is built first. */
  private async showLive(paths: readonly string[]): Promise<void> {
    if (paths.includes("") || paths.some((path) => this.isSource(path))) return;
    const names = this.names();
    const saved = names.filter((name) => paths.includes(join(this.root, name)));
    const data = paths.filter((path) => path.startsWith(join(this.root, "data") + sep));
    await Promise.all([
      ...saved.map((name) => this.pages.saved(name)),
      ...data.map((path) => this.pages.dataChanged(path)),
    ]);
  }

  private async takeWaiting(): Promise<void> {
    const paths = [...this.waiting];
    this.waiting.clear();
    if (paths.length > 0) await this.bringUpToDate(paths);
  }

  private async bringUpToDate(paths: readonly string[]): Promise<void> {
    const stale = paths.some((path) => this.isSource(path)) || unbuiltSources().length > 0;
    const problem = stale ? await buildLibrary(this.root) : undefined;
    if (problem !== undefined) {
      this.io.err(`The library does not compile:\n${problem}\n`);
      this.server.tell({ problem, faults: [] });
      return;
    }
    try {
      if (stale) await this.pages.libraryChanged();
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
      this.choices.names(),
      this.lines,
      { all: false, report: true, limits: this.choices.limits, parallel: parallelOf() },
    );
    const isAhead = this.changed.size + this.waiting.size > 0;
    if (isAhead && faults.some(wasSavedMeanwhile)) return; // the next rebuild has the later save
    for (const fault of faults) this.io.err(`\n${describeFault(fault)}\n`);
    this.io.err(dataErrorText(dataErrors));
    if (this.choices.json) {
      this.io.out(`${JSON.stringify({ ran, recorded, page, faults, dataErrors })}\n`);
    }
    const differences = this.pages.recorded(
      ran.map(({ notebook }) => notebook),
      faults.map(({ notebook }) => notebook),
    );
    for (const words of differences) this.io.err(`${words}\n`);
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

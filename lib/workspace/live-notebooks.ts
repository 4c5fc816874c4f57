import { join, relative, sep } from "node:path";
import { sweepConnections } from "../notebook/connection.js";
import { FileHashes } from "../notebook/file-hashes.js";
import { LiveNotebook } from "../notebook/live-notebook.js";
import type { LiveUpdate } from "../notebook/live-update.js";
import type { Notebook } from "../notebook/nbformat.js";
import { readNotebook } from "../notebook/record.js";
import type { RunLimits } from "../notebook/run-limits.js";
import { kernelCompiler } from "../notebook/tslab.js";
import { TypeChecker } from "../notebook/type-checker.js";
import { carryDrawings, drawingHashes } from "./drawings.js";
import { type LiveDifference, liveDifference } from "./live-difference.js";
import { hashOf, RememberedRuns } from "./run-key.js";

/** How notebooks are kept alive. */
export interface LiveSettings {
  /** Time per cell and memory per kernel. */
  readonly limits: RunLimits;
  /** Called at each step of each live notebook. */
  readonly onUpdate: (notebook: string, update: LiveUpdate) => void;
  /** Called when a kernel was ended because nobody saved its notebook for a while. */
  readonly onRest: (notebook: string) => void;
  /** Milliseconds without a save after which a kernel is ended; ten minutes when left out. */
  readonly restAfter?: number;
  /** Kernels at one time; the one whose notebook was saved longest ago is ended; four when left out. */
  readonly most?: number;
}

interface Kept {
  readonly live: LiveNotebook;
  /** The notebook as it was saved last. */
  saved: Notebook;
  touched: number;
}

const usualRest = 10 * 60_000;
const usualMost = 4;

/** The notebooks that somebody works on now, each with a kernel that stays alive. */
export class LiveNotebooks {
  private readonly root: string;
  private readonly settings: LiveSettings;
  private readonly kept = new Map<string, Kept>();
  private readonly hashes = new FileHashes();
  private readonly resting: NodeJS.Timeout;
  private checker: TypeChecker | undefined;
  private closed = false;

  constructor(root: string, settings: LiveSettings) {
    this.root = root;
    this.settings = settings;
    const rest = settings.restAfter ?? usualRest;
    this.resting = setInterval(() => this.rest(rest), Math.min(rest, 30_000));
    this.resting.unref();
    sweepConnections();
  }

  /**
   * Brings the live outputs of a notebook up to its file. A file that cannot be read leaves them as
   * they are: it may be half written, and the run from top to bottom reports it otherwise. A file as
   * a rebuild has just written it is nobody's save.
   */
  async saved(name: string): Promise<void> {
    const read = this.readFile(name);
    if (!read || (!this.has(name) && this.isRecord(name, read.text))) return;
    await this.run(name, read.notebook);
  }

  /** Runs a notebook whether or not it was saved, so that its kernel is ready for the next save. */
  async ready(name: string): Promise<void> {
    const read = this.readFile(name);
    if (read) await this.run(name, read.notebook);
  }

  private async run(name: string, notebook: Notebook): Promise<void> {
    if (this.closed) return;
    const kept = this.keep(name, notebook);
    kept.saved = notebook;
    kept.touched = Date.now();
    await kept.live.save(notebook);
  }

  /** Runs again what read this file, in every notebook that did. */
  async dataChanged(path: string): Promise<void> {
    const file = relative(this.root, path).split(sep).join("/");
    const readers = [...this.kept.values()].filter(({ live }) => live.hasRead(file));
    await Promise.all(
      readers.map((kept) => {
        kept.touched = Date.now();
        kept.saved = { ...kept.saved };
        return kept.live.save(kept.saved);
      }),
    );
  }

  /** Whether a notebook has a kernel. */
  has(name: string): boolean {
    return this.kept.has(name);
  }

  /** Faults of the cells of a live notebook, by the id of the cell. */
  faults(name: string): ReturnType<LiveNotebook["faults"]> {
    return this.kept.get(name)?.live.faults() ?? new Map();
  }

  /**
   * Compares what a live notebook shows with its record, which a run from top to bottom just made.
   * @returns undefined when they cannot be compared: cells changed, run, or failed since
   */
  againstRecord(name: string): LiveDifference | undefined {
    const kept = this.kept.get(name);
    const record = this.readFile(name)?.notebook;
    if (!kept || !record || kept.live.isBusy() || !kept.live.hasRun(record)) return undefined;
    return liveDifference(kept.live.shown(record), record, kernelCompiler());
  }

  /** The live outputs of a notebook, with the drawings that its file has of the same figures. */
  withDrawings(name: string, live: Notebook): Notebook {
    const saved = this.kept.get(name)?.saved;
    return saved ? carryDrawings(saved, live, drawingHashes(saved)) : live;
  }

  /** Ends the kernel of a notebook: what it holds is not what the notebook says. */
  async forget(name: string): Promise<void> {
    const kept = this.kept.get(name);
    this.kept.delete(name);
    await kept?.live.end();
  }

  /** Ends all kernels, such as when the library they run was built anew. */
  async forgetAll(): Promise<string[]> {
    const names = [...this.kept.keys()];
    await Promise.all(names.map((name) => this.forget(name)));
    await this.checker?.stop();
    this.checker = undefined;
    return names;
  }

  /** Ends all kernels for good. */
  async close(): Promise<void> {
    this.closed = true;
    clearInterval(this.resting);
    await this.forgetAll();
  }

  private isRecord(name: string, text: string): boolean {
    return new RememberedRuns(this.root).of(name)?.record === hashOf(text);
  }

  private readFile(name: string): { notebook: Notebook; text: string } | undefined {
    try {
      return readNotebook(join(this.root, name), name);
    } catch {
      return undefined;
    }
  }

  private keep(name: string, saved: Notebook): Kept {
    const known = this.kept.get(name);
    if (known) return known;
    const others = [...this.kept].sort(([, a], [, b]) => a.touched - b.touched);
    const tooMany = others.length + 1 - (this.settings.most ?? usualMost);
    for (const [other] of others.slice(0, Math.max(0, tooMany))) this.endOne(other);
    const around = {
      root: this.root,
      limits: this.settings.limits,
      checker: () => {
        this.checker ??= new TypeChecker();
        return this.checker;
      },
      ts: kernelCompiler(),
      hashes: this.hashes,
    };
    const live = new LiveNotebook(name, around, (update) => this.settings.onUpdate(name, update));
    const kept = { live, saved, touched: Date.now() };
    this.kept.set(name, kept);
    return kept;
  }

  private rest(after: number): void {
    for (const [name, { touched, live }] of this.kept) {
      if (Date.now() - touched >= after && !live.isBusy()) this.endOne(name);
    }
  }

  private endOne(name: string): void {
    void this.forget(name);
    this.settings.onRest(name);
  }
}

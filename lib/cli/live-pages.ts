import { describeFault } from "../notebook/fault.js";
import type { LiveUpdate } from "../notebook/live-update.js";
import type { Notebook } from "../notebook/nbformat.js";
import { progressWords } from "../notebook/progress-display.js";
import type { RunLimits } from "../notebook/run-limits.js";
import { anchorOf } from "../report/context.js";
import {
  liveAnswer,
  liveBody,
  liveDrawings,
  livePieces,
  warmDrawing,
} from "../report/live-page.js";
import type { LiveNews, PageServer } from "../report/page-server.js";
import { notebookAsRecorded, type RecordedNotebook, slugsOf } from "../report/recorded.js";
import type { LiveDifference } from "../workspace/live-difference.js";
import { LiveNotebooks } from "../workspace/live-notebooks.js";
import { notebookPaths } from "../workspace/notebook-files.js";

/** What the open page of one notebook shows. */
interface Shown {
  /** Its parts; a notebook with other parts gets its whole page anew. */
  outline: string;
  /** Nothing is shown while the kernel gets ready: the page holds these results already. */
  quiet: boolean;
  /** The page is as its file: no cell was shown since. */
  isRecorded: boolean;
  /** What is said beside its cells. */
  notes: LiveNews["notes"];
}

/** Shows in the open pages what the cells of live notebooks show, as soon as they ran. */
export class LivePages {
  private readonly root: string;
  private readonly server: PageServer;
  private readonly notebooks: LiveNotebooks;
  private readonly shown = new Map<string, Shown>();
  /** Pieces are drawn one notebook's state after the other, so that none overtakes a later one. */
  private turn: Promise<void> = Promise.resolve();

  constructor(root: string, server: PageServer, limits: RunLimits) {
    this.root = root;
    this.server = server;
    this.notebooks = new LiveNotebooks(root, {
      limits,
      onUpdate: (name, update) => this.take(name, update),
      onRest: (name) => this.say(name, "The live kernel rests; the next save starts it again."),
    });
  }

  /** Name of the page of a notebook, by its path. */
  pageOf(name: string): string {
    return slugsOf(notebookPaths(this.root)).get(name) ?? "";
  }

  /** Whether a notebook has a live kernel. */
  isLive(name: string): boolean {
    return this.notebooks.has(name);
  }

  /** Runs a notebook once, so that the first save finds its kernel ready. */
  async ready(name: string): Promise<void> {
    if (this.isLive(name)) return;
    this.shown.set(name, { outline: "", quiet: true, isRecorded: true, notes: [] });
    await this.notebooks.ready(name);
    await this.turn;
  }

  /** A notebook was saved: its changed cells run, and what depends on them. */
  async saved(name: string): Promise<void> {
    const shown = this.shown.get(name);
    if (shown) shown.quiet = false;
    await this.notebooks.saved(name);
    await this.turn;
  }

  /** A data file was saved: the cells that read it run. */
  async dataChanged(path: string): Promise<void> {
    for (const shown of this.shown.values()) shown.quiet = false;
    await this.notebooks.dataChanged(path);
    await this.turn;
  }

  /** The library was built anew: kernels that hold the former one end. */
  async libraryChanged(): Promise<void> {
    for (const name of await this.notebooks.forgetAll()) this.say(name, "");
    this.shown.clear();
  }

  /**
   * Notebooks were run from top to bottom and recorded.
   * @returns for each that shows something else than its live kernel did, which cells
   */
  recorded(ran: readonly string[], failed: readonly string[]): string[] {
    const words: string[] = [];
    for (const name of ran) {
      if (!this.isLive(name)) continue;
      const shown = this.shown.get(name);
      if (shown) shown.notes = []; // what is wrong is said by the run from top to bottom now
      if (failed.includes(name)) {
        this.say(name, "The run from top to bottom failed; nothing was recorded.");
        continue;
      }
      const difference = this.notebooks.againstRecord(name);
      if (!difference) continue;
      const hides = difference.hiding.length > 0;
      const state = hides
        ? hiddenWords(difference)
        : "Recorded: the run from top to bottom agrees.";
      this.settle(name, state);
      if (!hides) continue;
      words.push(`${name}: ${state}`);
      void this.notebooks.forget(name);
    }
    return words;
  }

  private settle(name: string, state: string): void {
    const { outline } = this.shown.get(name) ?? { outline: "" };
    this.shown.set(name, { outline, quiet: false, isRecorded: true, notes: [] });
    this.server.settle(this.pageOf(name), state);
  }

  private say(name: string, state: string): void {
    const notes = this.shown.get(name)?.notes ?? [];
    this.server.live({ page: this.pageOf(name), pieces: [], notes, state });
  }

  private take(name: string, update: LiveUpdate): void {
    if (update.kind === "runs") return;
    if (update.kind === "progress") {
      this.say(name, `Running: ${progressWords(update.progress)} …`);
      return;
    }
    const { kind, notebook } = update;
    const shown = this.shown.get(name) ?? {
      outline: "",
      quiet: false,
      isRecorded: false,
      notes: [],
    };
    this.shown.set(name, shown);
    if (shown.quiet) {
      if (kind !== "done") return;
      shown.quiet = false;
      const recorded = this.asRecorded(name, notebook);
      shown.outline = outlineOf(notebook);
      this.say(name, `Live kernel ready after ${update.seconds.toFixed(1)} s.`);
      void warmDrawing(recorded);
      return;
    }
    if (kind === "done" && update.ran.length === 0) return;
    if (kind === "begins" && update.cells.length === 0 && shown.isRecorded) return;
    const cells = kind === "ran" ? [update.cell] : [];
    const state = this.stateOf(name, update);
    shown.notes = this.notes(name, notebook);
    const { notes } = shown;
    this.turn = this.turn.then(async () => {
      const news = await this.news(name, notebook, new Set(cells), shown);
      this.server.live({ ...news, notes, state, begins: kind === "begins" });
    });
  }

  private async news(
    name: string,
    notebook: Notebook,
    cells: ReadonlySet<string>,
    shown: Shown,
  ): Promise<Omit<LiveNews, "notes" | "state">> {
    const page = this.pageOf(name);
    const outline = outlineOf(notebook);
    const isOther = shown.outline !== outline;
    if (cells.size === 0 && !isOther) return { page, pieces: [] };
    const recorded = this.asRecorded(name, this.notebooks.withDrawings(name, notebook));
    const drawings = await liveDrawings(recorded);
    shown.outline = outline;
    shown.isRecorded = false;
    if (isOther) return { page, body: liveBody(recorded, drawings), pieces: [] };
    const pieces = livePieces(recorded, cells, drawings);
    return { page, pieces, answer: liveAnswer(recorded) };
  }

  private asRecorded(name: string, notebook: Notebook): RecordedNotebook {
    return { ...notebookAsRecorded(name, { ...notebook }, ""), slug: this.pageOf(name) };
  }

  private notes(name: string, notebook: Notebook): LiveNews["notes"] {
    const slug = this.pageOf(name);
    return [...this.notebooks.faults(name)].map(([id, fault]) => {
      const number = notebook.cells.findIndex((cell) => cell.id === id) + 1;
      return { place: anchorOf({ slug }, "cell", String(number)), text: describeFault(fault) };
    });
  }

  private stateOf(
    name: string,
    update: Exclude<LiveUpdate, { kind: "runs" | "progress" }>,
  ): string {
    if (update.kind === "begins") {
      const { length } = update.cells;
      return `Running ${length} ${length === 1 ? "cell" : "cells"} …`;
    }
    if (update.kind !== "done") return "Running …";
    const { length } = update.ran;
    const failed = this.notebooks.faults(name).size;
    const words = `${length} ${length === 1 ? "cell" : "cells"} ran in ${update.seconds.toFixed(1)} s`;
    const fault = failed > 0 ? `, ${failed} failed` : "";
    return `${words}${fault}. Not recorded yet: the run from top to bottom follows.`;
  }
}

/** What decides whether the page of a notebook has the same parts: kinds, ids and text of its cells. */
function outlineOf({ cells }: Notebook): string {
  return JSON.stringify(
    cells.map(({ cell_type, id, source }) => [cell_type, id, cell_type === "code" ? "" : source]),
  );
}

/** Which cells showed something that only an earlier state of the kernel explains. */
function hiddenWords({ hiding, following }: LiveDifference): string {
  const named = (cells: readonly number[]) =>
    `${cells.length === 1 ? "cell" : "cells"} ${cells.join(", ")}`;
  const rest = following.length > 0 ? `; ${named(following)} followed` : "";
  const first = named(hiding);
  return `Recorded, but ${first} showed something else live than in the run from top to bottom: hidden state${rest}.`;
}

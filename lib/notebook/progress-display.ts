import { markup } from "../markup.js";
import type { Message } from "./wire.js";

/** How far a cell is. */
export interface CellProgress {
  /** What is done. */
  readonly done: number;
  /** How many there are. */
  readonly of: number;
}

type Say = (type: "display_data" | "update_display_data", content: object) => void;

/** The hook through which a cell says how far it is. */
const progressHook = Symbol.for("tautline.progress");
/** Milliseconds between two messages: a cell may count millions. */
const showEvery = 100;

/** Shows how far the running cell is: one display that changes in place and is emptied at its end. */
export class ProgressDisplay {
  private readonly now = performance.now.bind(performance); // a cell may replace it
  private say: Say | undefined;
  private display = "";
  private shown = 0;
  private cells = 0;

  constructor() {
    const show = (done: number, of: number) => this.show({ done, of });
    (globalThis as Record<symbol, unknown>)[progressHook] = show;
  }

  /** A cell begins; `say` sends at once, also while the cell keeps the thread busy. */
  begin(say: Say): void {
    this.say = say;
    this.display = "";
    this.cells++;
  }

  /** The cell ended: what it showed is taken away. */
  end(): void {
    if (this.display !== "") this.say?.("update_display_data", content(this.display, undefined));
    this.say = undefined;
  }

  private show(progress: CellProgress): void {
    const isFirst = this.display === "";
    if (!this.say || (!isFirst && this.now() - this.shown < showEvery)) return;
    this.shown = this.now();
    if (isFirst) this.display = `tautline-progress-${process.pid}-${this.cells}`;
    this.say(isFirst ? "display_data" : "update_display_data", content(this.display, progress));
  }
}

function formsOf(progress: CellProgress | undefined) {
  const text = progress ? progressWords(progress) : "";
  const html = progress
    ? String(
        markup`<progress value="${progress.done}" max="${progress.of}"></progress> <small>${text}</small>`,
      )
    : "";
  return { "text/plain": text, "text/html": html };
}

function content(display: string, progress: CellProgress | undefined): object {
  return {
    data: formsOf(progress),
    metadata: { tautline: { progress: progress ?? true } },
    transient: { display_id: display },
  };
}

/** "250 of 1000 (25 %)". */
export function progressWords({ done, of }: CellProgress): string {
  return `${done} of ${of} (${Math.floor((100 * done) / of)} %)`;
}

/** Whether the metadata of an output say that it only showed how far a cell is. */
export function isProgress(metadata: unknown): boolean {
  return progressIn(metadata) !== undefined;
}

/** Whether an output is nothing but such a display: whatever else it shows would go unjudged. */
export function isOnlyProgress(
  data: Readonly<Record<string, unknown>>,
  metadata: unknown,
): boolean {
  const progress = progressIn(metadata);
  if (progress === undefined) return false;
  const [, done, of] = /<progress value="(\d+)" max="(\d+)">/.exec(String(data["text/html"])) ?? [];
  const shown = of === undefined ? undefined : { done: Number(done), of: Number(of) };
  const own: Readonly<Record<string, string>> = formsOf(shown);
  return Object.entries(data).every(([mime, form]) => form === own[mime]);
}

/** How far the cell is that sent a message; undefined for another message, and when it ended. */
export function progressOf({ content }: Message): CellProgress | undefined {
  const progress = progressIn(content.metadata);
  return typeof progress === "object" && progress !== null ? (progress as CellProgress) : undefined;
}

function progressIn(metadata: unknown): unknown {
  const { tautline } = (metadata ?? {}) as { tautline?: { progress?: unknown } };
  return tautline?.progress;
}

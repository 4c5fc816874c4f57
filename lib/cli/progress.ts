import { progressWords } from "../notebook/progress-display.js";
import type { Progress } from "../notebook/run.js";
import type { RebuildEvents } from "../workspace/rebuild-engine.js";
import type { VerifyEvents } from "../workspace/verification.js";
import type { Io } from "./io.js";

const redrawEvery = 100;

/** What is shown of each notebook while it runs, on the standard error. */
export interface ProgressLines {
  /** A notebook will run, for these reasons. */
  begin(name: string, why: string): void;
  /** What a running notebook does now. */
  step(name: string, progress: Progress): void;
  /** A notebook is done; `result` closes its line. */
  end(name: string, result: string): void;
  /** Prints a line that stays. */
  note(text: string): void;
  /** Ends the display. */
  close(): void;
}

/** A redrawn line per running notebook on a terminal, plain lines elsewhere, nothing when quiet. */
export function progressLines(io: Io, quiet: boolean): ProgressLines {
  if (quiet) return { begin() {}, step() {}, end() {}, note() {}, close() {} };
  return io.isTerminal ? new LiveLines(io) : plainLines(io);
}

/** Shows the steps of a rebuild as lines of progress. */
export function rebuildProgress(lines: ProgressLines): RebuildEvents {
  return {
    onUnchanged: (name) => lines.note(`${name}: unchanged`),
    onStale: (name, clauses) => noteStale(lines, name, clauses),
    onStart: (name, reasons) => lines.begin(name, reasons.join("; ")),
    onProgress: (name, progress) => lines.step(name, progress),
    onRecorded: (name, seconds, moved) => {
      const results = moved > 0 ? `, ${moved} results moved` : "";
      lines.end(name, `done in ${seconds.toFixed(1)} s${results}`);
    },
    onFailed: (name) => lines.end(name, "failed"),
  };
}

/** Shows the steps of a verification as lines of progress. */
export function verifyProgress(lines: ProgressLines): VerifyEvents {
  return {
    onStale: (name, clauses) => noteStale(lines, name, clauses),
    onStart: (name, why) => lines.begin(name, why),
    onProgress: (name, progress) => lines.step(name, progress),
    onDone: (name, ran, seconds) =>
      lines.end(name, ran ? `ran in ${seconds.toFixed(1)} s` : "failed"),
  };
}

function noteStale(lines: ProgressLines, name: string, clauses: readonly string[]): void {
  for (const clause of clauses) lines.note(`${name}: in the file, ${clause}`);
}

function plainLines(io: Io): ProgressLines {
  return {
    begin: (name, why) => io.err(`${name}: running (${why})\n`),
    step() {},
    end: (name, result) => io.err(`${name}: ${result}\n`),
    note: (text) => io.err(`${text}\n`),
    close() {},
  };
}

interface Live {
  readonly since: number;
  readonly why: string;
  progress?: Progress;
}

class LiveLines implements ProgressLines {
  private readonly running = new Map<string, Live>();
  private readonly timer: NodeJS.Timeout;
  private readonly io: Io;
  private drawn = 0;

  constructor(io: Io) {
    this.io = io;
    this.timer = setInterval(() => this.draw(), redrawEvery);
    this.timer.unref();
  }

  begin(name: string, why: string): void {
    this.running.set(name, { since: performance.now(), why });
    this.draw();
  }

  step(name: string, progress: Progress): void {
    const live = this.running.get(name);
    if (live) live.progress = progress;
  }

  end(name: string, result: string): void {
    this.running.delete(name);
    this.above(`${name}: ${result}`);
  }

  note(text: string): void {
    this.above(text);
  }

  close(): void {
    clearInterval(this.timer);
    this.erase();
  }

  private above(text: string): void {
    this.erase();
    this.io.err(`${text}\n`);
    this.draw();
  }

  private erase(): void {
    if (this.drawn > 0) this.io.err(`\u001b[${this.drawn}A\u001b[0J`);
    this.drawn = 0;
  }

  private draw(): void {
    const width = (this.io.columns ?? 80) - 1;
    const lines = [...this.running].map(([name, live]) => stateLine(name, live).slice(0, width));
    const up = this.drawn > 0 ? `\u001b[${this.drawn}A\u001b[0J` : "";
    this.io.err(up + lines.map((line) => `${line}\n`).join(""));
    this.drawn = lines.length;
  }
}

function stateLine(name: string, { since, why, progress }: Live): string {
  const seconds = `${((performance.now() - since) / 1000).toFixed(1)} s`;
  if (!progress || progress.state === "starting the kernel") {
    return `${name}: starting the kernel, ${seconds} (${why})`;
  }
  const cell = `cell ${Math.min(progress.done + 1, progress.of)} of ${progress.of}`;
  const within = progress.within ? `, ${progressWords(progress.within)}` : "";
  return `${name}: ${cell}${within}, ${progress.state}, ${seconds}`;
}

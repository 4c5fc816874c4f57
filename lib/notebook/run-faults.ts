import { itemAt } from "../entry.js";
import type { CellFault } from "./cell-fault.js";
import type { CellPlace, Fault } from "./fault.js";
import type { Answer, Kernel } from "./kernel.js";
import type { Ending } from "./kernel-process.js";
import type { CodeCell, Notebook } from "./nbformat.js";
import { withoutMachine } from "./outputs.js";
import type { Reach, ReadFiles } from "./reads.js";
import type { RunLimits } from "./run-limits.js";

/** What our kernel adds to a reply. */
export interface Told {
  /** Files that the kernel has read since its start. */
  readonly files?: ReadFiles;
  /** Files that the last run of this cell read, with the hash of what they held then. */
  readonly cellFiles?: ReadFiles;
  /** What cells did that the record cannot account for. */
  readonly reaches?: readonly Reach[];
  /** Why the cell failed. */
  readonly fault?: CellFault;
  /** Seconds that the kernel was busy with the cell. */
  readonly seconds?: number;
}

/** What our kernel added to a reply; nothing when a kernel of another make answered. */
export function toldIn(answer: Answer): Told {
  return answer.kind === "reply" ? ((answer.metadata.tautline ?? {}) as Told) : {};
}

const graceAfterInterrupt = 2000;
/** A timer for longer than this many milliseconds would ring at once. */
const longestTimer = 2 ** 31 - 1;

/**
 * Waits for a cell up to the limit, then interrupts it, then ends the kernel.
 * @param onLate called when the limit is passed
 */
export async function answerWithin(
  seconds: number,
  answering: Promise<Answer>,
  kernel: Kernel,
  onLate: () => void,
): Promise<{ answer: Answer; late: boolean }> {
  let late = false;
  let stopping = () => {};
  const limit = setTimeout(
    () => {
      late = true;
      onLate();
      stopping = interruptOrEnd(kernel);
    },
    Math.min(seconds * 1000, longestTimer),
  );
  const answer = await answering;
  clearTimeout(limit);
  stopping();
  return { answer, late };
}

/**
 * Interrupts the running cell; a kernel that does not react within two seconds is ended.
 * @returns to be called when the cell has ended
 */
export function interruptOrEnd(kernel: Kernel): () => void {
  kernel.interrupt();
  const killing = setTimeout(() => void kernel.stop(), graceAfterInterrupt);
  return () => clearTimeout(killing);
}

/** Puts the failures of a notebook's cells into the words of a fault. */
export class RunFaults {
  private readonly notebook: Notebook;
  private readonly options: {
    readonly name: string;
    readonly root: string;
    readonly limits: RunLimits;
  };

  constructor(notebook: Notebook, options: RunFaults["options"]) {
    this.notebook = notebook;
    this.options = options;
  }

  /** The fault of a cell; undefined when it ran to its end. */
  ofCell(
    { answer, late }: { readonly answer: Answer; readonly late: boolean },
    cell: CodeCell | undefined,
    stderr: string,
  ): Fault | undefined {
    if (late && cell) return this.overTime(cell, answer, stderr);
    const isFine = answer.kind === "reply" && answer.content.status === "ok";
    return isFine ? undefined : this.of(answer, cell, stderr);
  }

  /** The fault of a kernel that did not start. */
  notStarted(message: string): Fault {
    return this.fault({ kind: "kernel did not start", name: "", message, frames: [] });
  }

  /** The fault of a cell whose answer is no success. */
  of(answer: Answer, cell: CodeCell | undefined, stderr: string | undefined): Fault {
    if (answer.kind === "ended") return this.kernelEnded(answer.ending, cell);
    const { fault } = toldIn(answer);
    return fault ? this.cellFailed(fault, cell, stderr) : this.unexplained(answer, cell, stderr);
  }

  private cellFailed(
    fault: CellFault,
    running: CodeCell | undefined,
    stderr: string | undefined,
  ): Fault {
    const at = fault.cell ?? running?.id;
    return this.fault({
      kind: fault.kind,
      cell: at === undefined ? undefined : this.place(at, fault.place),
      ...(running && at !== running.id && { running: this.numberOf(running.id) }),
      name: fault.name,
      message: fault.message,
      sourceLine: fault.place?.text,
      frames: fault.frames.map((frame) => {
        const line = frame.line ? `, line ${frame.line}` : "";
        return `${frame.name || "the cell itself"} (cell ${this.numberOf(frame.cell)}${line})`;
      }),
      stderr,
    });
  }

  /** A kernel of another make, which tells no more than that the cell failed. */
  private unexplained(
    answer: Answer & { kind: "reply" },
    cell: CodeCell | undefined,
    written = "",
  ): Fault {
    const { ename, evalue } = answer.content;
    const stderr = written.trim();
    return this.fault({
      kind: "exception",
      cell: cell && this.place(cell.id),
      name: typeof ename === "string" ? ename : "",
      message:
        typeof evalue === "string" && evalue ? evalue : firstLine(stderr) || "the cell failed",
      frames: [],
      stderr,
    });
  }

  /** The fault of a cell that went on past its limit. */
  overTime(cell: CodeCell, answer: Answer, stderr: string | undefined): Fault {
    const end =
      answer.kind === "ended" ? "did not stop when interrupted and was ended" : "was interrupted";
    return this.fault({
      kind: "time limit",
      cell: this.place(cell.id),
      name: "",
      message: `went on past its limit of ${this.options.limits.cellSeconds} s and ${end}`,
      frames: [],
      stderr,
      advice: "If the cell needs longer, give rebuild a higher --limit in seconds.",
    });
  }

  private kernelEnded(ending: Ending, cell: CodeCell | undefined): Fault {
    const limit = this.options.limits.memoryMegabytes;
    const how = ending.signal ?? `exit code ${ending.code}`;
    return this.fault({
      kind: ending.outOfMemory ? "memory limit" : "kernel died",
      cell: cell && this.place(cell.id),
      name: "",
      message: ending.outOfMemory
        ? `used more than its limit of ${limit} MB of memory`
        : `the kernel died while this cell ran (${how})`,
      frames: [],
      stderr: ending.outOfMemory ? undefined : withoutMachine(ending.stderr, this.options.root),
      ...(ending.outOfMemory && {
        advice: "If the cell needs more, give rebuild a higher --memory in megabytes.",
      }),
    });
  }

  /** Cells are counted as a reader counts them: all of them, from 1. */
  numberOf(id: string): number {
    return this.notebook.cells.findIndex((cell) => cell.id === id) + 1;
  }

  private fault(fault: Omit<Fault, "notebook">): Fault {
    const message = withoutMachine(fault.message, this.options.root);
    return { ...fault, message, notebook: this.options.name };
  }

  private place(id: string, at?: { line: number; column: number }): CellPlace {
    return { number: this.numberOf(id), id, line: at?.line, column: at?.column };
  }
}

/** The first line of a text, at most 200 characters. */
export function firstLine(text: string): string {
  return itemAt(text.split("\n", 1), 0).slice(0, 200);
}

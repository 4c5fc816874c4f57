import { type ChildProcess, fork } from "node:child_process";
import { join } from "node:path";
import { itemAt } from "../entry.js";
import { buildFolder } from "./build.js";
import type { Converted } from "./tslab.js";

/** Marks by which tslab gives a cell another meaning than code of the notebook. */
export const cellMarks = /@(?:module|browser|node|jsx)\b/;
/** An import of a file beside the notebook: compiled on the side, once for each kernel. */
const importOfAFile = /(?:from|import|require)\s*\(?\s*["']\.{1,2}\//;

/** What is asked of the checker's process: a cell, and the declarations of the cells before it. */
export interface CheckRequest {
  /** Number of the request, which the answer repeats. */
  readonly id: number;
  /** Path of the notebook's folder, from which imports are resolved. */
  readonly folder: string;
  /** Type declarations of all cells before this one. */
  readonly previous: string;
  /** The code of the cell as its author wrote it. */
  readonly source: string;
}

/** The reply of the checker's process to one request. */
export interface CheckAnswer {
  /** Number of the request that this answers. */
  readonly id: number;
  /** The compiled cell; left out when the process could not compile it. */
  readonly converted?: Converted;
}

/**
 * Checks the types of cells and compiles them, in a process beside the kernels. tslab's converter
 * turns a cell and the declarations before it into code and declarations, and depends on nothing
 * else: what it makes here is what it would make in the kernel. Here it starts once for all
 * notebooks and gets ready while kernels run what it compiled.
 *
 * When it cannot answer it gives no code, and the kernel compiles the cell itself.
 */
export class TypeChecker {
  private readonly child: ChildProcess;
  private readonly gone: Promise<void>;
  private readonly waiting = new Map<number, (converted: Converted | undefined) => void>();
  private asked = 0;
  private readonly stopAtExit = () => void this.stop();

  constructor() {
    this.child = fork(join(buildFolder, "notebook", "type-checker-process.js"), {
      stdio: ["ignore", "ignore", "ignore", "ipc"],
      execArgv: [],
    });
    this.child.on("message", ({ id, converted }: CheckAnswer) => {
      this.waiting.get(id)?.(converted);
      this.waiting.delete(id);
    });
    this.gone = new Promise((resolve) => {
      for (const end of ["error", "exit"]) {
        this.child.on(end, () => {
          this.giveUp();
          resolve();
        });
      }
    });
    process.on("exit", this.stopAtExit);
  }

  /** @returns undefined when the process is gone, or could not compile the cell */
  convert(folder: string, previous: string, source: string): Promise<Converted | undefined> {
    if (!this.child.connected) return Promise.resolve(undefined);
    const id = ++this.asked;
    const request: CheckRequest = { id, folder, previous, source };
    return new Promise((resolve) => {
      this.waiting.set(id, resolve);
      this.child.send(request, (error) => {
        if (error) this.giveUp();
      });
    });
  }

  /** Settles when the process is gone, so that it cannot hold a folder after the run. */
  stop(): Promise<void> {
    process.off("exit", this.stopAtExit);
    this.child.kill("SIGKILL");
    return this.gone;
  }

  private giveUp(): void {
    for (const resolve of this.waiting.values()) resolve(undefined);
    this.waiting.clear();
  }
}

/** The cells of one notebook, compiled ahead of the kernel one after the other. */
export class ConvertedCells {
  private readonly ready: Promise<Converted | undefined>[] = [];

  constructor(checker: TypeChecker | undefined, folder: string, sources: readonly string[]) {
    const alone = sources.some((source) => cellMarks.test(source) || importOfAFile.test(source));
    let before: Promise<Converted | undefined> = Promise.resolve(undefined);
    for (const [i, source] of sources.entries()) {
      const earlier = before;
      before = this.after(earlier, i === 0, async (previous) =>
        alone ? undefined : await checker?.convert(folder, previous, source),
      );
      this.ready.push(before);
    }
  }

  /** The code of a cell, or undefined for a cell that the kernel has to compile itself. */
  of(index: number): Promise<Converted | undefined> {
    return itemAt(this.ready, index);
  }

  /** A cell is checked against the one before it; after one that failed nothing is known. */
  private async after(
    earlier: Promise<Converted | undefined>,
    isFirst: boolean,
    convert: (previous: string) => Promise<Converted | undefined>,
  ): Promise<Converted | undefined> {
    const previous = await earlier;
    if (isFirst) return await convert("");
    if (!previous || previous.diagnostics.length > 0) return undefined;
    return await convert(previous.declOutput ?? "");
  }
}

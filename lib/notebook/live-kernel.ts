import { dirname, join } from "node:path";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import type { FileHashes } from "./file-hashes.js";
import { type Answer, type Kernel, type KernelOptions, startKernel } from "./kernel.js";
import { answerWithin, interruptOrEnd } from "./run-faults.js";
import type { RunLimits } from "./run-limits.js";
import type { TypeChecker } from "./type-checker.js";
import type { Message } from "./wire.js";

/** What a live notebook needs of the program around it. */
export interface LiveSurroundings {
  /** Path of the study's root folder. */
  readonly root: string;
  /** Time per cell and memory of the kernel. */
  readonly limits: RunLimits;
  /** The checker of types that compiles the cells; asked for at each cell. */
  readonly checker: () => TypeChecker;
  /** The compiler that reads the syntax of cells. */
  readonly ts: typeof TypeScript;
  /** Hashes of the data files as they are now. */
  readonly hashes: FileHashes;
  /** Starts a kernel; left out, the usual one. */
  readonly start?: ((options: KernelOptions) => Promise<Kernel>) | undefined;
}

/** The kernel of a live notebook, started by its first cell, and the declarations of what ran in it. */
export class LiveKernel {
  private readonly name: string;
  private readonly around: LiveSurroundings;
  private kernel: Promise<Kernel> | undefined;
  /** Declarations of the cells that ran; undefined once a cell was compiled in the kernel. */
  private declarations: string | undefined = "";

  /** @param name path of the notebook from the root */
  constructor(name: string, around: LiveSurroundings) {
    this.name = name;
    this.around = around;
  }

  /**
   * Runs a cell.
   * @param isUseless asked when the cell is compiled: whether a later save made this run useless
   * @throws KernelStartError when there is no kernel and none starts
   */
  async run(
    { id, source }: { readonly id: string; readonly source: string },
    isUseless: () => boolean,
    onOutput: (message: Message) => void,
  ): Promise<{ answer: Answer; late: boolean }> {
    const { root, limits, checker, start = startKernel } = this.around;
    const folder = dirname(join(root, this.name));
    this.kernel ??= start({ folder, root, memoryMegabytes: limits.memoryMegabytes });
    const { declarations } = this;
    const converting =
      declarations === undefined ? undefined : checker().convert(folder, declarations, source);
    const [kernel, converted] = await Promise.all([this.kernel, converting]);
    if (isUseless()) return { answer: notBegun, late: false };
    const answering = kernel.execute(source, id, onOutput, converted);
    const answered = await answerWithin(limits.cellSeconds, answering, kernel, () => {});
    const { answer } = answered;
    if (!converted || converted.sideOutputs) this.declarations = undefined;
    else if (answer.kind === "reply" && answer.content.status === "ok") {
      this.declarations = converted.declOutput ?? "";
    }
    return answered;
  }

  /** Whether it was started and runs no longer. */
  async hasEnded(): Promise<boolean> {
    const kernel = await this.started();
    return kernel !== undefined && !kernel.isAlive();
  }

  /**
   * Interrupts the running cell; a kernel that does not react is ended.
   * @returns to be called when the cell has ended
   */
  async interrupt(): Promise<() => void> {
    const kernel = await this.started();
    return kernel ? interruptOrEnd(kernel) : () => {};
  }

  /** Ends it. */
  async stop(): Promise<void> {
    await (await this.started())?.stop();
  }

  private async started(): Promise<Kernel | undefined> {
    return await this.kernel?.catch(() => undefined);
  }
}

const notBegun: Answer = { kind: "reply", content: { status: "aborted" }, metadata: {} };

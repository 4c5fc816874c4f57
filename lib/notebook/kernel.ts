import { randomBytes } from "node:crypto";
import type { Dealer, Subscriber } from "zeromq";
import { present } from "../entry.js";
import { type ChoosePorts, type Connection, openConnection, type Transport } from "./connection.js";
import {
  type Ending,
  type KernelProcess,
  type ProcessOptions,
  startProcess,
} from "./kernel-process.js";
import type { Converted } from "./tslab.js";
import { type Message, type Part, pack, request, unpack } from "./wire.js";

/** How a kernel is started and reached. */
export interface KernelOptions extends ProcessOptions {
  /** The sort of address; by default Unix sockets where the system has them. */
  readonly transport?: Transport | undefined;
  /** Picks the ports when the transport is "tcp"; by default any free ones. */
  readonly choosePorts?: ChoosePorts | undefined;
  /** Milliseconds until a kernel that does not answer is given up. */
  readonly startLimit?: number | undefined;
}

/** What became of a request: the kernel's reply, or the end of the kernel. */
export type Answer =
  | { readonly kind: "reply"; readonly content: Part; readonly metadata: Part }
  | { readonly kind: "ended"; readonly ending: Ending };

/** A running kernel, as a notebook's run sees it. */
export interface Kernel {
  /** Id of the kernel's process. */
  readonly pid: number;
  /**
   * Runs code; `onOutput` gets every message the cell publishes.
   * @param converted the code as the type checker compiled it; without it the kernel compiles
   */
  execute(
    code: string,
    cellId: string,
    onOutput: (message: Message) => void,
    converted?: Converted,
  ): Promise<Answer>;
  /** Waits for work that cells left behind; the reply is an error if some of it failed. */
  settle(): Promise<Answer>;
  /** Asks the running cell to stop; the kernel keeps running. */
  interrupt(): void;
  /** Whether its process still runs. */
  isAlive(): boolean;
  /** Ends the kernel and removes its sockets; resolves when the process is gone. */
  stop(): Promise<Ending>;
  /** Messages that were not taken, by reason. */
  readonly dropped: Readonly<Record<string, number>>;
}

interface Pending {
  readonly onOutput: (message: Message) => void;
  reply?: Message;
  idle: boolean;
  readonly settle: (answer: Answer) => void;
}

const triesForAPort = 5;
const usualStartLimit = 60_000;

/** The kernel could not be started; `ending` tells how far it came. */
export class KernelStartError extends Error {
  constructor(reason: string, stderr = "") {
    const last = stderr
      .split("\n")
      .filter((line) => line.trim() !== "" && !/^\s+at |^Node\.js v/.test(line))
      .slice(-6)
      .join("\n");
    super(`the kernel did not start: ${reason}${last ? `\n${last}` : ""}`);
    this.name = "KernelStartError";
  }
}

/** Starts a fresh kernel and returns once it answers on all channels. */
export async function startKernel(options: KernelOptions): Promise<Kernel> {
  const zeromq = import("zeromq"); // loads while the kernel starts
  for (let attempt = 1; ; attempt++) {
    const connection = await openConnection(options.transport, options.choosePorts);
    const child = startProcess(connection, options);
    const limit = options.startLimit ?? usualStartLimit;
    const announcement = await within(child.announced, limit);
    if (announcement === "ready")
      return await connectKernel(await zeromq, connection, child, limit);
    child.kill();
    const { stderr, outOfMemory } = await child.ended;
    if (outOfMemory) throw new KernelStartError("it passed its memory limit");
    if (announcement === "address taken" && attempt < triesForAPort) continue;
    throw new KernelStartError(announcement ?? "it did not answer in time", stderr);
  }
}

function within<T>(promise: Promise<T>, milliseconds: number): Promise<T | undefined> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, milliseconds, undefined);
    promise.then((value) => {
      clearTimeout(timer);
      resolve(value);
    });
  });
}

/** Talks to a kernel that listens; returns once it answers on all channels. */
export async function connectKernel(
  zeromq: typeof import("zeromq"),
  connection: Connection,
  child: KernelProcess,
  startLimit = usualStartLimit,
): Promise<Kernel> {
  const shell = new zeromq.Dealer({ linger: 0, routingId: randomBytes(8).toString("hex") });
  const iopub = new zeromq.Subscriber({ linger: 0, receiveHighWaterMark: 0 });
  shell.connect(connection.address("shell"));
  iopub.connect(connection.address("iopub"));
  iopub.subscribe();
  const client = new Client(connection.key, child, shell, iopub);
  await client.greet(startLimit);
  return client;
}

class Client implements Kernel {
  readonly dropped: Record<string, number> = {};
  readonly pid: number;
  private readonly session = randomBytes(16).toString("hex");
  private readonly pending = new Map<string, Pending>();
  private readonly key: string;
  private readonly child: KernelProcess;
  private readonly shell: Dealer;
  private readonly iopub: Subscriber;

  constructor(key: string, child: KernelProcess, shell: Dealer, iopub: Subscriber) {
    this.key = key;
    this.child = child;
    this.shell = shell;
    this.iopub = iopub;
    this.pid = child.pid;
    void this.listen(shell, (message) => this.onReply(message));
    void this.listen(iopub, (message) => this.onPublished(message));
    void child.ended.then((ending) => this.onEnd(ending));
  }

  /** Asks who is there until both channels work: a subscription takes a moment to arrive. */
  async greet(limit: number): Promise<void> {
    const patience = 50;
    const start = performance.now();
    while (performance.now() - start < limit) {
      const answer = await within(
        this.ask("kernel_info_request", {}, {}, () => {}),
        patience,
      );
      if (answer?.kind === "reply") return;
      if (answer?.kind === "ended") throw new KernelStartError("it ended", answer.ending.stderr);
    }
    await this.stop();
    throw new KernelStartError("it does not answer");
  }

  execute(
    code: string,
    cellId: string,
    onOutput: (message: Message) => void,
    converted?: Converted,
  ): Promise<Answer> {
    const content = {
      code,
      silent: false,
      store_history: true,
      user_expressions: {},
      allow_stdin: false,
      stop_on_error: false, // nothing is sent before the answer
    };
    return this.ask("execute_request", content, { cellId, converted }, onOutput);
  }

  settle(): Promise<Answer> {
    return this.ask("execute_request", { code: "", silent: true }, { settle: true }, () => {});
  }

  interrupt(): void {
    this.child.interrupt();
  }

  isAlive(): boolean {
    return this.child.ending() === undefined;
  }

  async stop(): Promise<Ending> {
    this.child.kill();
    return await this.child.ended;
  }

  private ask(
    type: string,
    content: Part,
    metadata: Part,
    onOutput: (message: Message) => void,
  ): Promise<Answer> {
    const ending = this.child.ending();
    if (ending) return Promise.resolve({ kind: "ended", ending });
    const message = request(this.session, type, content, metadata);
    return new Promise((settle) => {
      this.pending.set(message.header.msg_id, { onOutput, idle: false, settle });
      this.shell.send(pack(message, this.key)).catch(() => {}); // a closed socket: the kernel ended
    });
  }

  private async listen(socket: Dealer | Subscriber, take: (message: Message) => void) {
    try {
      for await (const frames of socket) {
        const received = unpack(frames, this.key);
        if (received.kind === "message") this.hand(received.message, take);
        else this.dropped[received.reason] = (this.dropped[received.reason] ?? 0) + 1;
      }
    } catch {
      // the socket was closed while it waited
    }
  }

  /** A message that cannot be taken fails the request it belongs to, so that nothing is lost unsaid. */
  private hand(message: Message, take: (message: Message) => void): void {
    try {
      take(message);
    } catch (error) {
      const evalue = `a message of the kernel could not be taken: ${(error as Error).message}`;
      const id = message.parent.msg_id ?? "";
      const content = { status: "error", ename: "", evalue };
      this.pending.get(id)?.settle({ kind: "reply", content, metadata: {} });
      this.pending.delete(id);
    }
  }

  private onReply(message: Message): void {
    const pending = this.pending.get(message.parent.msg_id ?? "");
    if (!pending) return;
    pending.reply = message;
    this.settleIfDone(present(message.parent.msg_id), pending);
  }

  private onPublished(message: Message): void {
    const pending = this.pending.get(message.parent.msg_id ?? "");
    if (!pending) return;
    if (message.header.msg_type !== "status") {
      pending.onOutput(message);
    } else if (message.content.execution_state === "idle") {
      pending.idle = true;
      this.settleIfDone(present(message.parent.msg_id), pending);
    }
  }

  /** Replies and outputs come by different sockets: a cell is done when both have said so. */
  private settleIfDone(id: string, pending: Pending): void {
    if (!pending.reply || !pending.idle) return;
    this.pending.delete(id);
    const { content, metadata } = pending.reply;
    pending.settle({ kind: "reply", content, metadata });
  }

  private onEnd(ending: Ending): void {
    this.shell.close();
    this.iopub.close();
    for (const pending of this.pending.values()) pending.settle({ kind: "ended", ending });
    this.pending.clear();
  }
}

import { present } from "../entry.js";
import { type CellFault, traceback } from "./cell-fault.js";
import type { CellRuns, Run } from "./cell-runs.js";
import type { CellTracking } from "./cell-tracking.js";
import { answeredHere, withoutFailures } from "./front-end-requests.js";
import { leftWork, nextTurn } from "./left-work.js";
import { answersInTurn, keepEveryMessage, type Outlet } from "./message-queue.js";
import { OutputCap } from "./output-cap.js";
import { ProgressDisplay } from "./progress-display.js";
import type { Converted, Executor, Tslab } from "./tslab.js";
import { isSigned } from "./wire.js";

/** The parts of tslab's messages that are used here; its declarations keep the class private. */
interface KernelMessage {
  readonly header: { readonly msg_type: string; readonly msg_id: string };
  readonly content: unknown;
  readonly metadata: {
    readonly cellId?: unknown;
    readonly settle?: unknown;
    readonly converted?: Converted;
  };
  createReply(): ReplyMessage;
}

interface ReplyMessage {
  header: { msg_type: string };
  metadata: object;
  content: object;
  signAndSend(key: string, socket: unknown): void;
}

/** What became of a cell, in tslab's words. */
interface Result {
  readonly status: string;
  readonly execution_count: number;
  readonly seconds?: number;
}

type Handler = InstanceType<Tslab["jupyter"]["JupyterHandlerImpl"]>;
type ExecuteRequest = Parameters<Handler["handleExecute"]>[0];
type WriteStream = (name: string, text: string) => void;
type HandleShell = (socket: Outlet, ...frames: Buffer[]) => Promise<void>;

/** The parts of tslab's server that are used or replaced here. */
interface Server {
  readonly connInfo: { readonly key: string };
  iopub: Outlet;
  init(): Promise<void>;
  bindSocket(socket: Outlet, port: number): Promise<void>;
  handleShellMessage: HandleShell;
  handleExecute(socket: unknown, message: KernelMessage): Promise<void>;
}

interface CellOfRequest {
  readonly cell: string;
  readonly converted?: Converted | undefined;
}

/** tslab's server with the corrections that startStudyKernel tells of. */
export class StudyServer {
  private readonly runs: CellRuns;
  private readonly handler: Handler;
  private readonly server: Server;
  private readonly ofRequest = new WeakMap<object, Run>();
  private readonly cellOf = new WeakMap<object, CellOfRequest>();
  private readonly progress = new ProgressDisplay();
  private requests = 0;
  private stopsOnError = true;
  private readonly tracking: CellTracking | undefined;
  private readonly interrupt: () => void;

  /** @param tracking follows the cells that a person runs; a run for the record needs none */
  constructor(
    tslab: Tslab,
    runs: CellRuns,
    executor: Executor,
    configPath: string,
    tracking?: CellTracking,
  ) {
    this.tracking = tracking;
    this.runs = runs;
    this.interrupt = () => executor.interrupt();
    this.handler = new tslab.jupyter.JupyterHandlerImpl(executor, false);
    // tslab declares these parts of its server as private; they are replaced here.
    this.server = new tslab.jupyter.ZmqServer(this.handler, configPath) as unknown as Server;
    withoutFailures(this.handler);
    this.followRuns();
    this.heedStopOnError();
    this.checkSignatures();
    this.server.handleExecute = (socket, message) => this.execute(socket, message);
    keepEveryMessage(this.server);
  }

  init(): Promise<void> {
    return this.server.init();
  }

  /** Tells the runs which cell tslab executes, and fails it for what went wrong beside its call. */
  private followRuns(): void {
    // tslab declares this method as private, and has no other place where a cell begins and ends.
    const inner = this.handler as unknown as {
      handleExecuteImpl(request: object, ...writers: [WriteStream, unknown]): Promise<object>;
    };
    const executeCell = inner.handleExecuteImpl.bind(inner);
    inner.handleExecuteImpl = async (content, ...writers) => {
      const { cell, converted } = present(this.cellOf.get(content));
      const run = this.runs.begin(cell, converted);
      this.ofRequest.set(content, run);
      try {
        const count = await this.restoring(executeCell(content, ...writers), writers[0]);
        await nextTurn();
        if (run.fault) throw count;
        return count;
      } finally {
        this.runs.end();
      }
    };
  }

  /** The kernel's own work goes on with the globals as they were; the cell is told what it changed. */
  private async restoring(running: Promise<object>, write: WriteStream): Promise<object> {
    try {
      return await running;
    } finally {
      this.runs.restoreGlobals();
      write("stderr", this.runs.takeAboutGlobals());
    }
  }

  /**
   * After a cell that failed, tslab refuses all requests for 200 ms. A front end that runs many cells
   * at once wants that, and a client that says stop_on_error: false does not.
   */
  private heedStopOnError(): void {
    // tslab declares the queue as private
    const { execQueue } = this.handler as unknown as {
      execQueue: { reset(delay?: number): void };
    };
    const reset = execQueue.reset.bind(execQueue);
    execQueue.reset = (delay) => reset(this.stopsOnError ? delay : undefined);
  }

  /** tslab parses a message before it looks at the signature; here nothing unsigned reaches it. */
  private checkSignatures(): void {
    const { server } = this;
    const handle = server.handleShellMessage.bind(server);
    server.handleShellMessage = async (socket, ...frames) => {
      this.runs.restoreGlobals(); // what a timer of a cell may have changed since
      const at = frames.findIndex((frame) => frame.toString("latin1") === "<IDS|MSG>");
      const [signed, ...parts] = frames.slice(at + 1);
      const { key } = server.connInfo;
      if (at < 0 || !signed || !isSigned(parts, signed, key)) return;
      const outlet = answersInTurn(socket);
      const { iopub } = server;
      if (answeredHere(outlet, frames, { key, iopub, interrupt: this.interrupt })) return;
      await handle(outlet, ...frames);
    };
  }

  private async execute(socket: unknown, request: KernelMessage): Promise<void> {
    if (request.metadata.settle === true) return await this.settle(socket, request);
    const content = request.content as object & { code?: string; stop_on_error?: boolean };
    const { cellId: id, converted } = request.metadata;
    this.requests++;
    this.stopsOnError = content.stop_on_error !== false;
    const cell = typeof id === "string" && id ? id : `request-${this.requests}`;
    this.cellOf.set(content, { cell, converted });
    this.say(request, "execute_input", { code: content.code, execution_count: this.requests });
    this.progress.begin((type, part) => this.say(request, type, part, true));
    const result = await this.result(request, content);
    this.progress.end();
    const fault = this.ofRequest.get(content)?.fault;
    this.track(request, result, fault);
    this.answer(socket, request, result, fault);
  }

  /** A cell that did not compile, or was not begun, changed nothing. */
  private track(request: KernelMessage, { status }: Result, fault: CellFault | undefined): void {
    if (!this.tracking || status === "abort" || fault?.kind === "types") return;
    const { code = "" } = request.content as { code?: string };
    const { cellId: id } = request.metadata;
    const cell = this.cellOf.get(request.content as object)?.cell;
    const reaches = this.runs.reads.reaches().filter((reach) => reach.cell === cell);
    this.tracking.ran(
      {
        id: typeof id === "string" && id ? id : undefined,
        count: this.requests,
        source: code,
        reaches: reaches.map(({ what }) => what),
        files: this.runs.reads.filesOf(cell ?? ""),
        finished: status === "ok",
      },
      (type, content) => this.say(request, type, content),
    );
  }

  private async result(request: KernelMessage, content: object): Promise<Result> {
    const start = performance.now();
    const cap = new OutputCap((type, part) => this.say(request, type, part));
    const reply = await this.handler.handleExecute(
      content as ExecuteRequest,
      (name, text) => cap.stream(name, text),
      (data, update) => {
        this.runs.restoreGlobals();
        cap.display(data, update);
      },
    );
    cap.flush();
    return { ...reply, seconds: (performance.now() - start) / 1000 };
  }

  /** Waits for work that cells left behind, then tells whether any of it failed. */
  private async settle(socket: unknown, request: KernelMessage): Promise<void> {
    const run = this.runs.begin("end");
    await leftWork();
    this.runs.end();
    const status = run.fault ? "error" : "ok";
    this.answer(socket, request, { status, execution_count: 0 }, run.fault);
  }

  private answer(socket: unknown, request: KernelMessage, result: Result, fault?: CellFault): void {
    const { status, seconds } = result;
    const error = fault && {
      ename: fault.name,
      evalue: fault.message,
      traceback: traceback(fault),
    };
    if (error && status === "error") this.say(request, "error", error);
    const reply = request.createReply();
    reply.header.msg_type = "execute_reply";
    const { reads } = this.runs;
    const cell = this.cellOf.get(request.content as object)?.cell ?? "";
    const cellFiles = reads.filesOf(cell);
    const told = { files: reads.files(), cellFiles, reaches: reads.reaches(), seconds };
    reply.metadata = { tautline: { ...told, ...(fault && { fault }) } };
    reply.content = replyContent(result, error);
    reply.signAndSend(this.server.connInfo.key, socket);
  }

  private say(request: KernelMessage, type: string, content: object, atOnce = false): void {
    this.runs.restoreGlobals(); // a cell that waits may have changed them
    const message = request.createReply();
    message.header.msg_type = type;
    message.content = content;
    const { iopub } = this.server;
    const outlet = atOnce ? { send: (frames: unknown) => iopub.sendNow?.(frames) } : iopub;
    message.signAndSend(this.server.connInfo.key, outlet);
  }
}

/** An execute_reply of the Jupyter messaging protocol. */
function replyContent({ status, execution_count }: Result, error: object | undefined): object {
  return {
    status: status === "abort" ? "aborted" : status,
    execution_count,
    ...(status === "ok" && { payload: [], user_expressions: {} }),
    ...(status === "error" && (error ?? { ename: "Error", evalue: "", traceback: [] })),
  };
}

import { type CellFault, traceback } from "./cell-fault.js";
import { CellRuns, type Run } from "./cell-runs.js";
import { OutputCap } from "./output-cap.js";
import { type Converted, type Executor, loadTslab, type Tslab } from "./tslab.js";
import { guardAgainstParent, isGuarded } from "./watchman-start.js";
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

/**
 * Starts tslab's kernel in this process: its converter, executor, handler and server, with four
 * corrections that the study engine relies on. A message is parsed only after its signature was
 * checked; a failed cell is answered with name, text and place of the error; a promise that was
 * rejected and never awaited fails its cell; the data files that were read are told in the reply.
 */
export function startStudyKernel(configPath: string): void {
  const interactive = !isGuarded();
  if (interactive) Object.assign(globalThis, { [Symbol.for("tautline.front-end")]: true });
  const tell = guardAgainstParent(configPath);
  const tslab = loadTslab(interactive);
  const runs = new CellRuns(tslab);
  const converters = runs.converters();
  if (interactive) converters.node.convert("", ""); // the first cell shall not wait for the compiler
  const executor = runs.executor(converters);
  const server = studyServer(tslab, runs, executor, configPath);
  process.on("SIGINT", () => executor.interrupt());
  process.on("unhandledRejection", (reason) => runs.late(reason, true));
  process.on("uncaughtException", (error) => runs.late(error, false));
  server.init().then(
    () => tell("ready"),
    (error: NodeJS.ErrnoException) => {
      tell(error.code === "EADDRINUSE" ? "address taken" : `not started: ${error.message}`);
      process.exit(1);
    },
  );
}

/** Rejections surface one turn of the event loop after the code that caused them. */
function nextTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

const longestSettling = 2000;

/** Resolves when no timer that cells started is pending, or after two seconds. */
async function leftWork(): Promise<void> {
  const until = performance.now() + longestSettling;
  await nextTurn();
  const pending = () =>
    process.getActiveResourcesInfo().filter((name) => name === "Timeout").length;
  while (pending() > 0 && performance.now() < until) {
    await new Promise((resolve) => setTimeout(resolve, 5));
    await nextTurn();
  }
}

function studyServer(tslab: Tslab, runs: CellRuns, executor: Executor, configPath: string) {
  type Handler = InstanceType<Tslab["jupyter"]["JupyterHandlerImpl"]>;
  const handler = new tslab.jupyter.JupyterHandlerImpl(executor, false);
  const ofRequest = new WeakMap<object, Run>();
  const cellOf = new WeakMap<object, { cell: string; converted?: Converted | undefined }>();

  const inner = handler as unknown as {
    handleExecuteImpl(request: object, ...writers: unknown[]): Promise<object>;
  };
  const executeCell = inner.handleExecuteImpl.bind(handler);
  inner.handleExecuteImpl = async (content, ...writers) => {
    const { cell, converted } = cellOf.get(content)!;
    const run = runs.begin(cell, converted);
    ofRequest.set(content, run);
    try {
      const count = await executeCell(content, ...writers);
      await nextTurn();
      if (run.fault) throw count;
      return count;
    } finally {
      runs.end();
    }
  };

  const server = new (class extends tslab.jupyter.ZmqServer {
    private requests = 0;

    override async handleShellMessage(socket: never, ...frames: Buffer[]): Promise<void> {
      const at = frames.findIndex((frame) => frame.toString("latin1") === "<IDS|MSG>");
      const [signed, ...parts] = frames.slice(at + 1);
      if (at < 0 || !signed || !isSigned(parts, signed, this.connInfo.key)) return;
      await super.handleShellMessage(socket, ...frames);
    }

    override async handleExecute(socket: unknown, message: never): Promise<void> {
      const request = message as KernelMessage;
      const content = request.content as object & { code?: string };
      const { cellId: id, converted } = request.metadata;
      if (request.metadata.settle === true) return await this.settle(socket, request);
      this.requests++;
      const cell = typeof id === "string" && id ? id : `request-${this.requests}`;
      cellOf.set(content, { cell, converted });
      this.say(request, "execute_input", { code: content.code, execution_count: this.requests });
      const start = performance.now();
      const cap = new OutputCap((type, part) => this.say(request, type, part));
      const reply = await (handler as Handler).handleExecute(
        content as never,
        (name, text) => cap.stream(name, text),
        (data, update) => cap.display(data, update),
      );
      cap.flush();
      const seconds = (performance.now() - start) / 1000;
      this.answer(socket, request, { ...reply, seconds }, ofRequest.get(content)?.fault);
    }

    /** Waits for work that cells left behind, then tells whether any of it failed. */
    private async settle(socket: unknown, request: KernelMessage): Promise<void> {
      const run = runs.begin("end");
      await leftWork();
      runs.end();
      this.answer(
        socket,
        request,
        { status: run.fault ? "error" : "ok", execution_count: 0 },
        run.fault,
      );
    }

    private answer(socket: unknown, request: KernelMessage, reply: object, fault?: CellFault) {
      const { status, execution_count, seconds } = reply as {
        status: string;
        execution_count: number;
        seconds?: number;
      };
      const told = request.createReply();
      told.header.msg_type = "execute_reply";
      told.metadata = { tautline: { files: runs.reads.files(), seconds, ...(fault && { fault }) } };
      const error = fault && {
        ename: fault.name,
        evalue: fault.message,
        traceback: traceback(fault),
      };
      if (error && status === "error") this.say(request, "error", error);
      told.content = {
        status: status === "abort" ? "aborted" : status,
        execution_count,
        ...(status === "ok" && { payload: [], user_expressions: {} }),
        ...(status === "error" && (error ?? { ename: "Error", evalue: "", traceback: [] })),
      };
      told.signAndSend(this.connInfo.key, socket);
    }

    private say(request: KernelMessage, type: string, content: object): void {
      const message = request.createReply();
      message.header.msg_type = type;
      message.content = content;
      message.signAndSend(this.connInfo.key, this.iopub);
    }
  })(handler, configPath);
  keepEveryMessage(server);
  return server;
}

interface Outlet {
  send(frames: unknown): Promise<void>;
  close(): void;
}
type Publisher = Outlet & { sendHighWaterMark: number };

/**
 * tslab sends without waiting. Its socket takes some five hundred messages that way within one turn
 * of the event loop and refuses the rest, and its publisher drops what exceeds its limit of a
 * thousand: a cell that prints much would lose lines in silence. Here messages wait for their turn.
 */
function keepEveryMessage(server: object): void {
  const sockets = server as {
    iopub: Outlet;
    bindSocket(socket: Outlet, port: number): Promise<void>;
  };
  const bind = sockets.bindSocket.bind(server);
  sockets.bindSocket = (socket, port) => {
    if (socket === sockets.iopub) sockets.iopub = inTurn(socket as Publisher);
    return bind(socket, port);
  };
}

function inTurn(publisher: Publisher): Outlet {
  publisher.sendHighWaterMark = 0;
  let turn: Promise<void> = Promise.resolve();
  return {
    send(frames) {
      turn = turn.then(() => publisher.send(frames)).catch(() => {}); // closed: nobody listens
      return turn;
    },
    close: () => publisher.close(),
  };
}

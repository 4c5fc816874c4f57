import { createRequire } from "node:module";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import { cellFileName, type Transpile } from "./cell-place.js";
import {
  type CellCode,
  type CellFault,
  type Diagnostic,
  thrownFault,
  traceback,
  typeFault,
} from "./cell-run.js";
import { OutputCap } from "./output-cap.js";
import { watchReads } from "./reads.js";
import { guardAgainstParent } from "./watchman-start.js";
import { isSigned } from "./wire.js";

type Tslab = {
  converter: typeof import("tslab/dist/converter.js");
  executor: typeof import("tslab/dist/executor.js");
  jupyter: typeof import("tslab/dist/jupyter.js");
};
type Executor = ReturnType<Tslab["executor"]["createExecutor"]>;
type ConverterSet = Parameters<Tslab["executor"]["createExecutor"]>[1];

/** The parts of tslab's messages that are used here; its declarations keep the class private. */
interface KernelMessage {
  readonly header: { readonly msg_type: string; readonly msg_id: string };
  readonly content: unknown;
  readonly metadata: { readonly cellId?: unknown; readonly settle?: unknown };
  createReply(): ReplyMessage;
}
interface ReplyMessage {
  header: { msg_type: string };
  metadata: object;
  content: object;
  signAndSend(key: string, socket: unknown): void;
}

/** What is known of one execute request while it runs. */
interface Run {
  readonly cell: string;
  fault?: CellFault;
}

const require = createRequire(import.meta.url);

/**
 * Starts tslab's kernel in this process: its converter, executor, handler and server, with four
 * corrections that the study engine relies on. A message is parsed only after its signature was
 * checked; a failed cell is answered with name, text and place of the error; a promise that was
 * rejected and never awaited fails its cell; the data files that were read are told in the reply.
 */
export function startStudyKernel(configPath: string): void {
  const tslab: Tslab = {
    converter: require("tslab/dist/converter.js"),
    executor: require("tslab/dist/executor.js"),
    jupyter: require("tslab/dist/jupyter.js"),
  };
  const runs = new CellRuns(tslab);
  const converters = runs.converters();
  const executor = runs.executor(converters);
  const server = studyServer(tslab, runs, executor, configPath);
  process.on("SIGINT", () => executor.interrupt());
  process.on("unhandledRejection", (reason) => runs.late(reason, true));
  process.on("uncaughtException", (error) => runs.late(error, false));
  const tell = guardAgainstParent(configPath);
  server.init().then(
    () => tell("ready"),
    (error: NodeJS.ErrnoException) => {
      tell(error.code === "EADDRINUSE" ? "address taken" : `not started: ${error.message}`);
      process.exit(1);
    },
  );
}

/** Follows the cells of one kernel: which runs now, what went wrong in it, what it compiled to. */
class CellRuns {
  readonly reads = watchReads(process.env.TAUTLINE_ROOT ?? process.cwd());
  private readonly cells = new Map<string, CellCode>();
  private readonly transpile: Transpile;
  private current: Run | undefined;
  /** A fault that surfaced while no cell ran; the next request reports it. */
  private leftOver: CellFault | undefined;
  private readonly tslab: Tslab;

  constructor(tslab: Tslab) {
    this.tslab = tslab;
    const ts = createRequire(require.resolve("tslab/dist/converter.js"))(
      "@tslab/typescript-for-tslab",
    ) as typeof TypeScript;
    ignoreInstalledFiles(ts);
    this.transpile = (source) =>
      ts.transpileModule(source, {
        compilerOptions: {
          module: ts.ModuleKind.CommonJS,
          target: ts.ScriptTarget.ES2022,
          esModuleInterop: true,
          sourceMap: true,
        },
      });
    this.nameCells();
  }

  begin(cell: string): Run {
    this.current = { cell, ...(this.leftOver && { fault: this.leftOver }) };
    this.leftOver = undefined;
    return this.current;
  }

  end(): void {
    this.current = undefined;
  }

  /** A rejection or an exception outside the cell's own call. The first one is the one told. */
  late(thrown: unknown, rejected: boolean): void {
    const fault = thrownFault(thrown, rejected, this.cells, this.transpile);
    if (this.current) this.current.fault ??= fault;
    else this.leftOver ??= fault;
  }

  converters(): ConverterSet {
    const node = this.tslab.converter.createConverter({ isJS: false, isBrowser: false });
    const convert = node.convert;
    node.convert = (previous, source) => {
      const converted = convert(previous, source);
      const found: readonly Diagnostic[] = converted.diagnostics;
      if (this.current && found.length > 0) {
        this.current.fault ??= typeFault(this.current.cell, source, found);
      }
      return converted;
    };
    let browser: ConverterSet["browser"] | undefined;
    return {
      node,
      get browser() {
        browser ??= require("tslab/dist/converter.js").createConverter({ isBrowser: true });
        return browser!;
      },
      close() {
        node.close();
        browser?.close();
      },
    };
  }

  executor(converters: ConverterSet): Executor {
    const executor = this.tslab.executor.createExecutor(process.cwd(), converters, {
      log: (value, ...rest) => {
        if (!isShown(value)) console.log(value, ...rest);
      },
      error: (thrown, ...rest) => this.failed(thrown, rest),
    });
    const execute = executor.execute;
    executor.execute = (source) => {
      if (this.current) this.cells.set(this.current.cell, { source, compiled: "" });
      return execute(source);
    };
    return executor;
  }

  /** tslab prints what a cell threw; diagnostics arrive here too and are already known. */
  private failed(thrown: unknown, rest: readonly unknown[]): void {
    if (rest.length > 0 || !this.current) return;
    this.current.fault ??= thrownFault(thrown, false, this.cells, this.transpile);
  }

  /** Gives a cell's code a file name in stacks; tslab compiles it without one. */
  private nameCells(): void {
    const vm = require("node:vm") as typeof import("node:vm");
    const run = vm.runInThisContext;
    vm.runInThisContext = (code, options) => {
      const cell = this.current && this.cells.get(this.current.cell);
      if (!cell || typeof options !== "object" || !("breakOnSigint" in options)) {
        return run(code, options);
      }
      cell.compiled = code;
      return run(code, { ...options, filename: cellFileName(this.current!.cell) });
    };
  }
}

/** A record that its maker has shown already; as a cell's last expression it is not printed again. */
function isShown(value: unknown): boolean {
  const kind = (value as { kind?: unknown } | null | undefined)?.kind;
  return Object.isFrozen(value) && /^(?:finding|claim|figure|table|prose)$/.test(String(kind));
}

/** Installed files do not change under a running kernel; watching each of them costs start-up time. */
function ignoreInstalledFiles(ts: typeof TypeScript): void {
  const watchFile = ts.sys.watchFile!;
  ts.sys.watchFile = (path, callback, interval, options) =>
    /[\\/](?:node_modules|dist)[\\/]/.test(path)
      ? { close() {} }
      : watchFile.call(ts.sys, path, callback, interval, options);
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
  const cellOf = new WeakMap<object, string>();

  const inner = handler as unknown as {
    handleExecuteImpl(request: object, ...writers: unknown[]): Promise<object>;
  };
  const executeCell = inner.handleExecuteImpl.bind(handler);
  inner.handleExecuteImpl = async (content, ...writers) => {
    const run = runs.begin(cellOf.get(content)!);
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

  return new (class extends tslab.jupyter.ZmqServer {
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
      const id = request.metadata.cellId;
      if (request.metadata.settle === true) return await this.settle(socket, request);
      this.requests++;
      cellOf.set(content, typeof id === "string" && id ? id : `request-${this.requests}`);
      this.say(request, "execute_input", { code: content.code, execution_count: this.requests });
      const cap = new OutputCap((type, part) => this.say(request, type, part));
      const reply = await (handler as Handler).handleExecute(
        content as never,
        (name, text) => cap.stream(name, text),
        (data, update) => cap.display(data, update),
      );
      this.answer(socket, request, reply, ofRequest.get(content)?.fault);
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
      const { status, execution_count } = reply as { status: string; execution_count: number };
      const told = request.createReply();
      told.header.msg_type = "execute_reply";
      told.metadata = { tautline: { files: runs.reads.files(), ...(fault && { fault }) } };
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
}

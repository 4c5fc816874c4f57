import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { JSDOM } from "jsdom";
import { run as kernelCommand } from "../../lib/cli/kernel.js";
import { freePorts } from "../../lib/notebook/connection.js";
import type { TemporaryStudy } from "./temporary-study.js";

const python = "/usr/bin/python3";

function hasModule(name: string): boolean {
  return existsSync(python) && spawnSync(python, ["-c", `import ${name}`]).status === 0;
}

/** Which of the peers are installed: their tests are left out where they are not. */
export const hasNbclient = hasModule("nbclient");
export const hasServer = existsSync("/usr/bin/jupyter-notebook") && hasModule("notebook");

/** Jupyter folders of a test's own, with our kernel registered in them. */
export class JupyterFolders {
  readonly folder = mkdtempSync(join(tmpdir(), "jupyter-"));
  readonly env: NodeJS.ProcessEnv = {
    ...process.env,
    JUPYTER_DATA_DIR: join(this.folder, "data"),
    JUPYTER_CONFIG_DIR: join(this.folder, "config"),
    JUPYTER_RUNTIME_DIR: join(this.folder, "runtime"),
    HOME: this.folder,
  };

  async register(study: TemporaryStudy): Promise<void> {
    const earlier = process.env.JUPYTER_DATA_DIR;
    process.env.JUPYTER_DATA_DIR = this.env.JUPYTER_DATA_DIR;
    await kernelCommand([], { out() {}, err() {}, cwd: study.root });
    if (earlier === undefined) delete process.env.JUPYTER_DATA_DIR;
    else process.env.JUPYTER_DATA_DIR = earlier;
  }

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

const executeScript = `
import sys, nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError
nb = nbformat.read(sys.argv[1], 4)
try:
    NotebookClient(nb, timeout=120, kernel_name="tautline",
                   resources={"metadata": {"path": sys.argv[2]}}).execute()
except CellExecutionError as error:
    sys.stderr.write(str(error))
    sys.exit(7)
nbformat.validate(nb)
sys.stdout.write(nbformat.writes(nb))
`;

/** Runs a notebook with nbclient through the registered kernel, in the notebook's folder. */
export function nbclientRun(jupyter: JupyterFolders, path: string, folder: string) {
  const options = { env: jupyter.env, encoding: "utf8", maxBuffer: 2 ** 28 } as const;
  return spawnSync(python, ["-c", executeScript, path, folder], options);
}

/** A Jupyter notebook server on the loopback, spoken to as a front end does. */
export class NotebookServer {
  private readonly child: ChildProcess;
  private readonly address: string;
  private readonly token: string;

  private constructor(child: ChildProcess, address: string, token: string) {
    this.child = child;
    this.address = address;
    this.token = token;
  }

  static async start(jupyter: JupyterFolders, root: string): Promise<NotebookServer> {
    const [port] = await freePorts(1);
    const token = randomUUID();
    const settings = [`--port=${port}`, `--NotebookApp.token=${token}`, `--notebook-dir=${root}`];
    const child = spawn(
      "/usr/bin/jupyter-notebook",
      ["--no-browser", "--ip=127.0.0.1", "--allow-root", ...settings],
      { env: jupyter.env, stdio: "ignore" },
    );
    const server = new NotebookServer(child, `127.0.0.1:${port}`, token);
    for (let tries = 0; tries < 200; tries++) {
      const up = await server.ask("GET", "/api").catch(() => undefined);
      if (up) return server;
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
    child.kill("SIGKILL");
    throw new Error("the notebook server did not start");
  }

  // biome-ignore lint/suspicious/noExplicitAny: the server's JSON, checked by what the tests expect
  async ask(method: string, path: string, body?: unknown): Promise<any> {
    const response = await fetch(`http://${this.address}${path}`, {
      method,
      headers: { authorization: `token ${this.token}`, "content-type": "application/json" },
      ...(body !== undefined && { body: JSON.stringify(body) }),
    });
    if (!response.ok) throw new Error(`${method} ${path}: ${response.status}`);
    const text = await response.text();
    return text === "" ? undefined : JSON.parse(text);
  }

  /** Opens the channels of a kernel; the returned function runs a cell and collects its messages. */
  async channels(kernel: string): Promise<KernelChannels> {
    // the server answers pages of its own address only
    const { window } = new JSDOM("", { url: `http://${this.address}/` } as never);
    const path = `/api/kernels/${kernel}/channels?token=${this.token}`;
    const socket = new window.WebSocket(`ws://${this.address}${path}`);
    await new Promise<void>((resolve, reject) => {
      socket.onopen = () => resolve();
      socket.onerror = () => reject(new Error("the channels did not open"));
    });
    return new KernelChannels(socket);
  }

  async stop(): Promise<void> {
    const ended = new Promise((resolve) => this.child.once("exit", resolve));
    this.child.kill("SIGTERM");
    setTimeout(() => this.child.kill("SIGKILL"), 5000).unref();
    await ended;
  }
}

interface ChannelMessage {
  readonly channel: string;
  readonly header: { readonly msg_type: string };
  readonly parent_header: { readonly msg_id?: string };
  readonly content: Record<string, unknown>;
}

export class KernelChannels {
  private readonly socket: WebSocket;

  constructor(socket: WebSocket) {
    this.socket = socket;
  }

  /** Runs code as a front end does and returns everything that was said about it. */
  async run(code: string, cellId: string): Promise<ChannelMessage[]> {
    const id = randomUUID();
    const heard: ChannelMessage[] = [];
    const done = new Promise<void>((resolve) => {
      this.socket.onmessage = ({ data }) => {
        const message = JSON.parse(String(data)) as ChannelMessage;
        if (message.parent_header.msg_id !== id) return;
        heard.push(message);
        const replied = heard.some(({ channel }) => channel === "shell");
        const idle = heard.some(({ content }) => content.execution_state === "idle");
        if (replied && idle) resolve();
      };
    });
    const header = { msg_id: id, msg_type: "execute_request", session: "test", username: "" };
    this.socket.send(
      JSON.stringify({
        channel: "shell",
        header: { ...header, date: new Date().toISOString(), version: "5.3" },
        parent_header: {},
        metadata: { cellId },
        content: { code, silent: false, store_history: true, allow_stdin: false },
        buffers: [],
      }),
    );
    await done;
    return heard;
  }

  close(): void {
    this.socket.close();
  }
}

import { type ChildProcess, spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { join } from "node:path";
import { Dealer, type Socket, Subscriber } from "zeromq";
import { buildFolder } from "../../lib/notebook/build.js";
import { type Connection, closeConnection, openConnection } from "../../lib/notebook/connection.js";
import { type Message, type Part, pack, request, unpack } from "../../lib/notebook/wire.js";

type Channel = "shell" | "control";

/** A kernel as a front end starts it, and a raw client on its sockets. */
export class FrontEndKernel {
  private readonly child: ChildProcess;
  private readonly connection: Connection;
  private readonly ended: Promise<void>;
  private readonly sockets: { shell: Dealer; control: Dealer; iopub: Subscriber };
  private readonly waiting = new Map<string, (reply: Message) => void>();
  /** Everything that was published, in order. */
  readonly published: Message[] = [];

  private constructor(child: ChildProcess, connection: Connection) {
    this.child = child;
    this.connection = connection;
    this.ended = new Promise((resolve) => {
      child.once("exit", () => resolve());
    });
    const dealer = (channel: Channel) => {
      const socket = new Dealer({ linger: 0, routingId: randomUUID() });
      socket.connect(connection.address(channel));
      void this.listen(socket, (message) => {
        const id = message.parent.msg_id ?? "";
        this.waiting.get(id)?.(message);
        this.waiting.delete(id);
      });
      return socket;
    };
    const iopub = new Subscriber({ linger: 0, receiveHighWaterMark: 0 });
    iopub.connect(connection.address("iopub"));
    iopub.subscribe();
    void this.listen(iopub, (message) => this.published.push(message));
    this.sockets = { shell: dealer("shell"), control: dealer("control"), iopub };
  }

  /** Starts one in a folder and waits until it answers and its publications arrive. */
  static async start(folder: string): Promise<FrontEndKernel> {
    const connection = await openConnection();
    const host = join(buildFolder, "notebook", "host.js");
    const args = [host, "--config-path", connection.file];
    const kernel = new FrontEndKernel(
      spawn(process.execPath, args, { cwd: folder, stdio: "ignore" }),
      connection,
    );
    while (kernel.published.length === 0) await kernel.ask("kernel_info_request", {});
    return kernel;
  }

  /** Sends a request; resolves with its reply. */
  ask(type: string, content: Part, on: Channel = "shell", metadata: Part = {}): Promise<Message> {
    const message = request("front-end", type, content, metadata);
    const answered = new Promise<Message>((resolve) => {
      this.waiting.set(message.header.msg_id, resolve);
    });
    this.tell(message, on);
    return answered;
  }

  /** Sends several messages at once, as far as a socket does that. */
  tell(message: Message, on: Channel = "shell"): void {
    void this.sockets[on].send(pack(message, this.connection.key));
  }

  /** Runs a cell; resolves with its reply and what it printed on the standard output. */
  async run(code: string, cellId: string): Promise<{ reply: Message; out: string }> {
    const content = {
      code,
      silent: false,
      store_history: true,
      user_expressions: {},
      stop_on_error: false,
    };
    const from = this.published.length;
    const reply = await this.ask("execute_request", content, "shell", { cellId });
    const id = reply.parent.msg_id;
    const about = () => this.published.slice(from).filter(({ parent }) => parent.msg_id === id);
    while (!about().some(({ content }) => content.execution_state === "idle")) {
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    const streams = about().filter(({ content }) => content.name === "stdout");
    return { reply, out: streams.map(({ content }) => content.text).join("") };
  }

  async stop(): Promise<void> {
    this.child.kill("SIGKILL");
    await this.ended;
    for (const socket of Object.values(this.sockets)) socket.close();
    closeConnection(this.connection);
  }

  private async listen(socket: Socket & AsyncIterable<Buffer[]>, take: (message: Message) => void) {
    try {
      for await (const frames of socket) {
        const received = unpack(frames, this.connection.key);
        if (received.kind === "message") take(received.message);
      }
    } catch {
      // closed while it waited
    }
  }
}

import { statSync } from "node:fs";
import { createServer, type Server } from "node:net";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import * as zeromq from "zeromq";
import {
  type Connection,
  closeConnection,
  freePorts,
  openConnection,
} from "../../lib/notebook/connection.js";
import { connectKernel, type Kernel, startKernel } from "../../lib/notebook/kernel.js";
import type { Ending, KernelProcess } from "../../lib/notebook/kernel-process.js";
import { type Message, type Part, pack, request, unpack } from "../../lib/notebook/wire.js";
import { type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

/** A kernel that says what a test wants it to say. */
class SpeakingKernel {
  readonly connection: Connection;
  private readonly shell = new zeromq.Router();
  private readonly iopub = new zeromq.Publisher();
  private end: (ending: Ending) => void = () => {};
  readonly process: KernelProcess;

  constructor(connection: Connection) {
    this.connection = connection;
    const ended = new Promise<Ending>((resolve) => {
      this.end = resolve;
    });
    this.process = {
      pid: 0,
      announced: Promise.resolve("ready"),
      ended,
      ending: () => undefined,
      interrupt() {},
      kill: () => this.close(),
    };
  }

  async listen(onExecute: (message: Message) => Promise<void>): Promise<void> {
    await this.shell.bind(this.connection.address("shell"));
    await this.iopub.bind(this.connection.address("iopub"));
    void this.answer(onExecute);
  }

  private async answer(onExecute: (message: Message) => Promise<void>): Promise<void> {
    for await (const [peer, ...frames] of this.shell) {
      const received = unpack(frames, this.connection.key);
      if (received.kind !== "message") throw new Error(received.reason);
      const { message } = received;
      if (message.header.msg_type === "execute_request") await onExecute(message);
      const type = message.header.msg_type.replace("request", "reply");
      const reply = this.about(message, type, { status: "ok" });
      await this.shell.send([peer!, ...pack(reply, this.connection.key)]);
      await this.publish(this.about(message, "status", { execution_state: "idle" }));
    }
  }

  about(parent: Message, type: string, content: Part): Message {
    return { ...request("kernel", type, content), parent: parent.header };
  }

  async publish(message: Message, change: (frames: Buffer[]) => Buffer[] = (same) => same) {
    await this.iopub.send(change(pack(message, this.connection.key)));
  }

  close(): void {
    this.shell.close();
    this.iopub.close();
    closeConnection(this.connection);
    this.end({ code: 0, signal: null, outOfMemory: false, stderr: "" });
  }
}

describe("a message that was not signed rightly", () => {
  it("is dropped and counted, and the ones around it are taken", async () => {
    const speaking = new SpeakingKernel(await openConnection());
    const say = (parent: Message, text: string) =>
      speaking.about(parent, "stream", { name: "stdout", text });
    await speaking.listen(async (parent) => {
      await speaking.publish(say(parent, "first"));
      await speaking.publish(say(parent, "forged"), (frames) => {
        frames[1] = Buffer.from("0".repeat(64));
        return frames;
      });
      await speaking.publish(say(parent, "changed"), (frames) => {
        frames.splice(-1, 1, Buffer.from('{"name":"stdout","text":"other"}'));
        return frames;
      });
      await speaking.publish(say(parent, "cut"), (frames) => frames.slice(0, 3));
      await speaking.publish(say(parent, "last"));
    });
    const kernel = await connectKernel(zeromq, speaking.connection, speaking.process);
    const heard: unknown[] = [];
    await kernel.execute("1", "c1", ({ content }) => heard.push(content.text));
    expect(heard).toEqual(["first", "last"]);
    expect(kernel.dropped).toEqual({ "bad signature": 2, "no delimiter": 1 });
    await kernel.stop();
  });
});

describe("a message that cannot be taken", () => {
  it("fails its own request with words, and no other", async () => {
    const speaking = new SpeakingKernel(await openConnection());
    await speaking.listen(async (parent) => {
      await speaking.publish(speaking.about(parent, "stream", { name: "stdout", text: "one" }));
    });
    const kernel = await connectKernel(zeromq, speaking.connection, speaking.process);
    const broken = await kernel.execute("1", "c1", () => {
      throw new Error("no room for it");
    });
    expect(broken).toMatchObject({
      content: {
        status: "error",
        evalue: "a message of the kernel could not be taken: no room for it",
      },
    });
    const fine = await kernel.execute("2", "c2", () => {});
    expect(fine).toMatchObject({ kind: "reply", content: { status: "ok" } });
    await kernel.stop();
  });
});

describe("a kernel that listens and never answers", () => {
  it("is given up after the limit of its start", async () => {
    const connection = await openConnection();
    const { process } = new SpeakingKernel(connection);
    await expect(connectKernel(zeromq, connection, process, 300)).rejects.toThrow(
      "it does not answer",
    );
  }, 30_000); // half the usual limit of a start
});

describe("a real kernel", () => {
  let study: TemporaryStudy;
  beforeAll(() => {
    study = temporaryStudy([]);
  });
  afterAll(() => study.remove());

  const options = () => ({ folder: study.root, root: study.root, memoryMegabytes: 1024 });

  it("has a connection file that only its owner reads, in a folder that only its owner opens", async () => {
    const connection = await openConnection();
    expect(statSync(connection.file).mode & 0o777).toBe(0o600);
    expect(statSync(connection.folder).mode & 0o777).toBe(0o700);
    expect(connection.address("shell")).toMatch(/^ipc:\/\//);
    closeConnection(connection);
    expect(() => statSync(connection.folder)).toThrow("ENOENT");
  });

  it("listens on the loopback alone where it uses ports", async () => {
    const connection = await openConnection("tcp");
    expect(connection.address("iopub")).toMatch(/^tcp:\/\/127\.0\.0\.1:\d+$/);
    closeConnection(connection);
  });

  it("gets other ports when one was taken between choice and bind", async () => {
    const taken = await listening();
    const { port } = taken.address() as { port: number };
    let choices = 0;
    const kernel = await startKernel({
      ...options(),
      transport: "tcp",
      choosePorts: async (count) => {
        const ports = await freePorts(count);
        return choices++ === 0 ? [port, ...ports.slice(1)] : ports;
      },
    });
    expect(choices).toBe(2);
    await saysTwo(kernel);
    await kernel.stop();
    taken.close();
  });
});

function listening(): Promise<Server> {
  return new Promise((resolve) => {
    const server = createServer();
    server.listen(0, "127.0.0.1", () => resolve(server));
  });
}

async function saysTwo(kernel: Kernel): Promise<void> {
  const heard: unknown[] = [];
  const answer = await kernel.execute("console.log(1 + 1)", "c1", ({ header, content }) => {
    if (header.msg_type === "stream") heard.push(content.text);
  });
  expect(answer).toMatchObject({ kind: "reply", content: { status: "ok" } });
  expect(heard).toEqual(["2\n"]);
}

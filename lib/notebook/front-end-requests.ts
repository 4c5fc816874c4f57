import type { Outlet } from "./message-queue.js";
import type { Tslab } from "./tslab.js";
import { type Message, pack, request, unpack } from "./wire.js";

type Handler = InstanceType<Tslab["jupyter"]["JupyterHandlerImpl"]>;

/** What is needed to answer: the key of the signatures, the socket that publishes, and the cells. */
export interface Answering {
  /** Key that signs messages. */
  readonly key: string;
  /** Publishes whether the kernel is busy. */
  readonly iopub: Outlet;
  /** Ends a cell that waits. */
  interrupt(): void;
}

/** Requests that tslab answers rightly itself. */
const ofTslab =
  /^(?:kernel_info|execute|is_complete|inspect|complete|shutdown)_request$|^input_reply$/;

/**
 * Answers a request of the Jupyter protocol that tslab does not know, or answers with a reply of
 * another name. tslab prints the names of such requests, under the cell that ran last.
 * @param socket the channel on which the request came
 * @param frames of the request, with the routing prefix before the delimiter
 * @returns false for a request that tslab shall answer, and for what is no message
 * @see "Messaging in Jupyter", version 5.3
 */
export function answeredHere(
  socket: Outlet,
  frames: readonly Buffer[],
  { key, iopub, interrupt }: Answering,
): boolean {
  const received = unpack(frames, key);
  if (received.kind !== "message") return false;
  const { message } = received;
  const type = message.header.msg_type;
  if (ofTslab.test(type)) return false;
  const at = frames.findIndex((frame) => frame.toString("latin1") === "<IDS|MSG>");
  const about = (name: string, content: object) => pack(reply(message, name, content), key);
  iopub.send(about("status", { execution_state: "busy" }));
  if (type === "interrupt_request") interrupt();
  const content = contentOf(type);
  if (content) {
    const routed = [...frames.slice(0, at), ...about(type.replace("request", "reply"), content)];
    socket.send(routed);
  }
  iopub.send(about("status", { execution_state: "idle" }));
  return true;
}

function contentOf(type: string): object | undefined {
  if (type === "interrupt_request") return { status: "ok" };
  if (type === "comm_info_request") return { status: "ok", comms: {} };
  return type === "history_request" ? { status: "ok", history: [] } : undefined;
}

function reply(to: Message, type: string, content: object): Message {
  const made = request(to.header.session, type, { ...content });
  return { ...made, parent: to.header };
}

/**
 * A question about code that is half typed may be too much for the compiler. The person then gets no
 * help at this place; without this the request would have no answer, and the next cell would fail.
 */
export function withoutFailures(handler: Handler): void {
  const { handleComplete, handleInspect, handleIsComplete } = handler;
  handler.handleComplete = (asked) => {
    const nothing = { cursor_start: asked.cursor_pos, cursor_end: asked.cursor_pos, matches: [] };
    return orElse(() => handleComplete.call(handler, asked), {
      ...nothing,
      metadata: {},
      status: "ok",
    });
  };
  handler.handleInspect = (asked) =>
    orElse(() => handleInspect.call(handler, asked), {
      status: "ok",
      found: false,
      data: {},
      metadata: {},
    });
  handler.handleIsComplete = (asked) =>
    orElse(() => handleIsComplete.call(handler, asked), { status: "unknown" });
}

function orElse<T>(work: () => T, otherwise: T): T {
  try {
    return work();
  } catch {
    return otherwise;
  }
}

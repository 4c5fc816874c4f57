import { createHmac, randomBytes, timingSafeEqual } from "node:crypto";

/** The header every Jupyter message carries. */
export interface Header {
  /** Id of the message, new for each message. */
  readonly msg_id: string;
  /** What the message is, such as "execute_request" or "stream". */
  readonly msg_type: string;
  /** Id of the session, the same for all messages of one sender. */
  readonly session: string;
  /** Name of the sender; requests of this library have "tautline". */
  readonly username: string;
  /** Time at which the message was made, in ISO 8601. */
  readonly date: string;
  /** Version of the Jupyter protocol. */
  readonly version: string;
}

/** Free-form parts of a message, as JSON objects. */
export type Part = Record<string, unknown>;

/** One message of the Jupyter protocol, without its routing prefix and signature. */
export interface Message {
  /** Says what the message is and who sent it. */
  readonly header: Header;
  /** Header of the request that the message answers; empty in a request. */
  readonly parent: Partial<Header>;
  /** Additional data beside the content, such as our own timings and faults in a reply. */
  readonly metadata: Part;
  /** The data of the message; its fields depend on the type of message. */
  readonly content: Part;
}

/** Either a message, or the reason why the frames were not taken for one. */
export type Received =
  | { readonly kind: "message"; readonly message: Message }
  | { readonly kind: "dropped"; readonly reason: "no delimiter" | "bad signature" | "not JSON" };

const delimiter = Buffer.from("<IDS|MSG>");
const partsOfAMessage = 4;

/** The HMAC-SHA256 of the message parts, as the protocol writes it: 64 hexadecimal digits. */
export function signature(parts: readonly Uint8Array[], key: string): string {
  const hash = createHmac("sha256", key);
  for (const part of parts) hash.update(part);
  return hash.digest("hex");
}

/** Whether the parts were signed with this key; the time taken does not depend on the answer. */
export function isSigned(parts: readonly Uint8Array[], given: Uint8Array, key: string): boolean {
  const expected = Buffer.from(signature(parts, key));
  return given.length === expected.length && timingSafeEqual(expected, given);
}

/** A request's frames in the order of the wire: delimiter, signature, header, parent, metadata, content. */
export function pack(message: Message, key: string): Buffer[] {
  const parts = [message.header, message.parent, message.metadata, message.content].map((part) =>
    Buffer.from(JSON.stringify(part)),
  );
  return [delimiter, Buffer.from(signature(parts, key)), ...parts];
}

/**
 * Reads frames from the wire. The signature is checked over the raw bytes before any of them is
 * parsed, so that nobody without the key can reach the JSON parser.
 * @see the wire protocol of jupyter-client, "Messaging in Jupyter", version 5.3
 */
export function unpack(frames: readonly Uint8Array[], key: string): Received {
  const at = frames.findIndex((frame) => delimiter.equals(frame));
  const signed = frames[at + 1];
  const parts = frames.slice(at + 2);
  if (at < 0 || signed === undefined || parts.length < partsOfAMessage) {
    return { kind: "dropped", reason: "no delimiter" };
  }
  if (!isSigned(parts, signed, key)) return { kind: "dropped", reason: "bad signature" };
  try {
    const [header, parent, metadata, content] = parts
      .slice(0, partsOfAMessage)
      .map((part) => JSON.parse(Buffer.from(part).toString("utf8")));
    return { kind: "message", message: { header, parent, metadata, content } };
  } catch {
    return { kind: "dropped", reason: "not JSON" };
  }
}

/** A request with a fresh id; `date` is part of the protocol and never reaches a notebook. */
export function request(
  session: string,
  type: string,
  content: Part,
  metadata: Part = {},
): Message {
  return {
    header: {
      msg_id: randomBytes(16).toString("hex"),
      msg_type: type,
      session,
      username: "tautline",
      date: new Date().toISOString(),
      version: "5.3",
    },
    parent: {},
    metadata,
    content,
  };
}

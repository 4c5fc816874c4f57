import { inflateRawSync } from "node:zlib";
import { present } from "../entry.js";
import type { ArchiveFiles } from "./zip.js";

/** The most that an archive may contain; more is an attack or a mistake. */
export interface ArchiveLimits {
  /** Size of the archive itself, bytes. */
  readonly packedBytes: number;
  /** Size of all its files unpacked, bytes. */
  readonly bytes: number;
  /** Number of files. */
  readonly files: number;
}

/** The limits that every archive is read with. */
export const archiveLimits: ArchiveLimits = {
  packedBytes: 256 * 2 ** 20,
  bytes: 512 * 2 ** 20,
  files: 20_000,
};

/** A zip file that cannot be unpacked safely; the message says why. */
export class ArchiveFault extends Error {
  constructor(message: string) {
    super(message);
    this.name = "ArchiveFault";
  }
}

const signatures = { end: 0x06054b50, central: 0x02014b50, local: 0x04034b50 } as const;
const methods = { stored: 0, deflated: 8 } as const;

/** One file as the archive's directory announces it. */
interface Entry {
  readonly name: string;
  readonly method: number;
  readonly packed: number;
  readonly size: number;
  readonly offset: number;
  readonly time: number;
}

/**
 * Unpacks a zip file into memory. Names, sizes and
 * offsets in the file are checked, not trusted, and unpacking stops at the limits.
 * @throws ArchiveFault for a name that leads out of the folder, a link, two files of one name, a
 *   file that is larger than it says, too much of anything, or a damaged archive
 * @see PKWARE, .ZIP File Format Specification 6.3, sections 4.3.7, 4.3.12, 4.3.16 and 4.4
 */
export function readArchive(bytes: Uint8Array, limits = archiveLimits): ArchiveFiles {
  if (bytes.length > limits.packedBytes) {
    throw new ArchiveFault(`it is larger than ${megabytes(limits.packedBytes)}`);
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    const entries = entriesOf(bytes, view, limits);
    refuseTwins(entries.map(({ name }) => name));
    const files = new Map<string, Uint8Array>();
    let room = limits.bytes;
    for (const entry of entries) {
      const content = unpacked(bytes, view, entry, room, limits);
      room -= content.length;
      files.set(entry.name, content);
    }
    return files;
  } catch (error) {
    if (error instanceof ArchiveFault) throw error;
    throw new ArchiveFault("it is damaged or not a zip file");
  }
}

function megabytes(bytes: number): string {
  return bytes < 2 ** 20 ? `${bytes} bytes` : `${Math.floor(bytes / 2 ** 20)} MB`;
}

/** Date and time of every file, as the archive's directory and the file's own head give them. */
export function entryTimes(bytes: Uint8Array): { name: string; times: readonly string[] }[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return entriesOf(bytes, view, archiveLimits).map(({ name, offset, time }) => ({
    name,
    times: [time, view.getUint32(offset + 10, true)].map(timeText),
  }));
}

/**
 * What a zip holds beside its files, in a clause: a comment, or bytes before, between or after them,
 * which no list of files names. Undefined when there is nothing.
 */
export function strayPart(bytes: Uint8Array): string | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = endRecord(view);
  const comment = view.getUint16(end + 20, true);
  if (comment > 0) return "it carries a comment, which is not a part of the study";
  if (end + 22 !== bytes.length) return "bytes follow after its end";
  const entries = [...entriesOf(bytes, view, archiveLimits)].sort((a, b) => a.offset - b.offset);
  let at = 0;
  for (const { name, offset, packed } of entries) {
    if (offset !== at) return `bytes that belong to no file stand before ${JSON.stringify(name)}`;
    const [nameLength, extra] = [26, 28].map((field) => view.getUint16(offset + field, true));
    at = offset + 30 + present(nameLength) + present(extra) + packed;
  }
  const directory = view.getUint32(end + 16, true);
  return directory === at ? undefined : "bytes that belong to no file stand after its files";
}

/** A zip's time of two 16-bit words (section 4.4.6): day of the year 1980 on, and steps of 2 s. */
function timeText(time: number): string {
  const [day, clock] = [time >>> 16, time & 0xffff];
  const two = (value: number) => String(value).padStart(2, "0");
  const date = [1980 + (day >> 9), two((day >> 5) & 15), two(day & 31)].join("-");
  return `${date} ${[clock >> 11, (clock >> 5) & 63, 2 * (clock & 31)].map(two).join(":")}`;
}

function entriesOf(bytes: Uint8Array, view: DataView, limits: ArchiveLimits): Entry[] {
  const end = endRecord(view);
  const count = view.getUint16(end + 10, true);
  if (count > limits.files) throw new ArchiveFault(`it contains more than ${limits.files} files`);
  const entries: Entry[] = [];
  let at = view.getUint32(end + 16, true);
  for (let i = 0; i < count; i++) {
    if (view.getUint32(at, true) !== signatures.central) throw new Error("no central record");
    const [name, extra, comment] = [28, 30, 32].map((field) => view.getUint16(at + field, true));
    const entry = entryAt(bytes, view, at, present(name));
    if (entry) entries.push(entry);
    at += 46 + present(name) + present(extra) + present(comment);
  }
  if (at !== end) throw new Error("the directory does not fill its place");
  return entries;
}

function endRecord(view: DataView): number {
  let at = view.byteLength - 22;
  const lowest = Math.max(0, at - 65_535);
  while (at >= lowest && view.getUint32(at, true) !== signatures.end) at--;
  if (at < lowest) throw new Error("no end record");
  return at;
}

/** One directory record; a folder has no content of its own and is left out. */
function entryAt(bytes: Uint8Array, view: DataView, at: number, length: number): Entry | undefined {
  const name = textOf(bytes.subarray(at + 46, at + 46 + length));
  const fault = nameFault(name.replace(/\/$/, ""));
  if (fault) throw new ArchiveFault(`the name ${JSON.stringify(name)} ${fault}`);
  if ((view.getUint16(at + 8, true) & 1) !== 0) {
    throw new ArchiveFault(`${JSON.stringify(name)} is encrypted`);
  }
  const kind = (view.getUint32(at + 38, true) >>> 16) & 0o170000;
  if (kind !== 0 && kind !== 0o100000 && kind !== 0o040000) {
    throw new ArchiveFault(`${JSON.stringify(name)} is a link or a device, not a file`);
  }
  const entry = {
    name,
    method: view.getUint16(at + 10, true),
    packed: view.getUint32(at + 20, true),
    size: view.getUint32(at + 24, true),
    offset: view.getUint32(at + 42, true),
    time: view.getUint32(at + 12, true),
  };
  return name.endsWith("/") ? undefined : entry;
}

function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new ArchiveFault("a file's name is not UTF-8");
  }
}

/** Names that Windows keeps for devices, whatever follows the dot. */
const deviceName = /^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/i;

/** Why a name cannot be a path inside a folder on every system, or undefined. */
function nameFault(name: string): string | undefined {
  if (name === "") return "is empty";
  if (/^[/\\]|^[A-Za-z]:/.test(name)) return "is an absolute path";
  const parts = name.split("/");
  if (parts.includes("..")) return "leads out of the folder";
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is refused
  if (/[\\\x00-\x1f\x7f<>:"|?*]/.test(name)) return "contains a character that no path should have";
  if (parts.some((part) => part === "" || part === "." || /[. ]$/.test(part))) {
    return "is not a plain path";
  }
  if (parts.some((part) => deviceName.test(part))) return "is the name of a device";
  if (name.length > 500) return "is too long";
  return undefined;
}

/** Two names are one where letters' case or the way accents are written does not count. */
function refuseTwins(names: readonly string[]): void {
  const seen = new Map<string, string>();
  for (const name of names) {
    const plain = name.normalize("NFC").toLowerCase();
    const twin = seen.get(plain);
    if (twin !== undefined) throw new ArchiveFault(`${twinsText(twin, name)}`);
    seen.set(plain, name);
  }
  for (const plain of seen.keys()) {
    const parts = plain.split("/");
    for (let i = 1; i < parts.length; i++) {
      const folder = seen.get(parts.slice(0, i).join("/"));
      if (folder) throw new ArchiveFault(`${JSON.stringify(folder)} is a file and a folder`);
    }
  }
}

function twinsText(one: string, other: string): string {
  if (one === other) return `it contains two files named ${JSON.stringify(one)}`;
  return `${JSON.stringify(one)} and ${JSON.stringify(other)} are one name on some systems`;
}

function unpacked(
  bytes: Uint8Array,
  view: DataView,
  entry: Entry,
  room: number,
  limits: ArchiveLimits,
): Uint8Array {
  const packed = packedContent(bytes, view, entry);
  if (entry.size > room) {
    throw new ArchiveFault(`it is more than ${megabytes(limits.bytes)} when unpacked`);
  }
  if (entry.method === methods.stored) {
    if (packed.length !== entry.size) throw new ArchiveFault(sizeText(entry));
    return packed;
  }
  if (entry.method !== methods.deflated) {
    throw new ArchiveFault(`${JSON.stringify(entry.name)} is compressed in an unusual way`);
  }
  return inflated(packed, entry);
}

function sizeText({ name }: Entry): string {
  return `${JSON.stringify(name)} does not have the size that it says`;
}

function packedContent(bytes: Uint8Array, view: DataView, entry: Entry): Uint8Array {
  const { offset, name, packed } = entry;
  if (view.getUint32(offset, true) !== signatures.local) throw new Error("no local record");
  const nameLength = view.getUint16(offset + 26, true);
  const nameInside = textOf(bytes.subarray(offset + 30, offset + 30 + nameLength));
  if (nameInside !== name) {
    throw new ArchiveFault(`${JSON.stringify(name)} is named ${JSON.stringify(nameInside)} inside`);
  }
  const start = offset + 30 + nameLength + view.getUint16(offset + 28, true);
  if (start + packed > bytes.length) throw new Error("cut short");
  return bytes.subarray(start, start + packed);
}

/** Unpacks into at most the announced size; a file that holds more is refused before it is held. */
function inflated(packed: Uint8Array, entry: Entry): Uint8Array {
  let content: Uint8Array;
  try {
    content = new Uint8Array(inflateRawSync(packed, { maxOutputLength: Math.max(entry.size, 1) }));
  } catch (error) {
    if (error instanceof RangeError) throw new ArchiveFault(sizeText(entry));
    throw error;
  }
  if (content.length !== entry.size) throw new ArchiveFault(sizeText(entry));
  return content;
}

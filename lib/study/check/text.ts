import { byteAt } from "../../entry.js";

/** Which encoding a file was read in. */
export type Encoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

/** Text of a file in UTF-8, with the encoding that it had. */
export interface DecodedText {
  /** The text as UTF-8 bytes without a byte-order mark. */
  readonly bytes: Uint8Array;
  /** Encoding of the file as it was. */
  readonly encoding: Encoding;
  /** True when the encoding was found out from the bytes, not declared or marked. */
  readonly guessed: boolean;
}

/**
 * Turns a file's bytes into UTF-8: by its byte-order mark, by the declared encoding, or by looking.
 * Bytes that are not valid UTF-8 are read as Windows-1252, which spreadsheets write on Western
 * systems; UTF-16 without a mark is recognised by its zero bytes.
 * @see Encoding Standard, https://encoding.spec.whatwg.org
 */
export function decodeText(bytes: Uint8Array, declared?: string): DecodedText {
  const marked = byMark(bytes);
  if (marked) return marked;
  const wanted = declared === undefined ? undefined : knownEncoding(declared);
  if (wanted !== undefined && wanted !== "utf-8") return recoded(bytes, wanted, false);
  const wide = looksWide(bytes);
  if (wide) return recoded(bytes, wide, true);
  if (isUtf8(bytes)) return { bytes, encoding: "utf-8", guessed: false };
  return recoded(bytes, "windows-1252", true);
}

function byMark(bytes: Uint8Array): DecodedText | null {
  const [a, b, c] = bytes;
  if (a === 0xef && b === 0xbb && c === 0xbf)
    return { bytes: bytes.subarray(3), encoding: "utf-8", guessed: false };
  if (a === 0xff && b === 0xfe) return recoded(bytes.subarray(2), "utf-16le", false);
  if (a === 0xfe && b === 0xff) return recoded(bytes.subarray(2), "utf-16be", false);
  return null;
}

/** The encoding a datapackage names, if it is one that is read here. */
export function knownEncoding(name: string): Encoding | undefined {
  const plain = name.toLowerCase().replace(/_/g, "-");
  if (plain === "utf-8" || plain === "utf8") return "utf-8";
  if (plain === "utf-16" || plain === "utf-16le") return "utf-16le";
  if (plain === "utf-16be") return "utf-16be";
  if (/^(windows-1252|cp1252|iso-8859-1|latin-?1)$/.test(plain)) return "windows-1252";
  return undefined;
}

/**
 * What Windows-1252 has from 0x80 to 0x9f; elsewhere it agrees with Unicode. Given here because
 * some versions of Node read these as control characters.
 * @see Encoding Standard, index windows-1252
 */
const windowsMarks = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";

function windowsText(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let at = 0; at < bytes.length; at += 8192) {
    const codes = Array.from(bytes.subarray(at, at + 8192), (byte) =>
      byte >= 0x80 && byte <= 0x9f ? windowsMarks.charCodeAt(byte - 0x80) : byte,
    );
    pieces.push(String.fromCharCode(...codes));
  }
  return pieces.join("");
}

function recoded(bytes: Uint8Array, encoding: Encoding, guessed: boolean): DecodedText {
  const text =
    encoding === "windows-1252" ? windowsText(bytes) : new TextDecoder(encoding).decode(bytes);
  return { bytes: new TextEncoder().encode(text), encoding, guessed };
}

/** A text of mostly Latin letters in UTF-16 has a zero in every second byte. */
function looksWide(bytes: Uint8Array): Encoding | null {
  const seen = Math.min(bytes.length & ~1, 512);
  if (seen < 8) return null;
  let evenZeros = 0;
  let oddZeros = 0;
  for (let i = 0; i < seen; i += 2) {
    if (bytes[i] === 0) evenZeros++;
    if (bytes[i + 1] === 0) oddZeros++;
  }
  const most = seen * 0.4;
  if (oddZeros > most && evenZeros === 0) return "utf-16le";
  if (evenZeros > most && oddZeros === 0) return "utf-16be";
  return null;
}

/** Plain ASCII is recognised four bytes at a time; anything else is decoded piece by piece. */
function isUtf8(bytes: Uint8Array): boolean {
  if (isAscii(bytes)) return true;
  const piece = 2 ** 20;
  const decoder = new TextDecoder("utf-8", { fatal: true });
  try {
    for (let at = 0; at < bytes.length; at += piece)
      decoder.decode(bytes.subarray(at, at + piece), { stream: true });
    decoder.decode();
    return true;
  } catch {
    return false;
  }
}

function isAscii(bytes: Uint8Array): boolean {
  const head = Math.min(bytes.length, (4 - (bytes.byteOffset % 4)) % 4);
  const words = Math.floor((bytes.length - head) / 4);
  for (let i = 0; i < head; i++) if (byteAt(bytes, i) > 127) return false;
  const view = new Uint32Array(bytes.buffer, bytes.byteOffset + head, words);
  for (let i = 0; i < words; i++) if (((view[i] ?? 0) & 0x80808080) !== 0) return false;
  for (let i = head + 4 * words; i < bytes.length; i++) if (byteAt(bytes, i) > 127) return false;
  return true;
}

const utf8 = new TextDecoder("utf-8");

/** Text between two places of a UTF-8 file; short plain cells without the decoder's cost. */
export function textBetween(bytes: Uint8Array, start: number, end: number): string {
  if (end - start > 24) return utf8.decode(bytes.subarray(start, end));
  let text = "";
  for (let i = start; i < end; i++) {
    const byte = byteAt(bytes, i);
    if (byte > 127) return utf8.decode(bytes.subarray(start, end));
    text += String.fromCharCode(byte);
  }
  return text;
}

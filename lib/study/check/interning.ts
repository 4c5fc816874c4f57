import { wholeAt } from "../../entry.js";
import { textBetween } from "./text.js";

/**
 * Gives each different text of a column one small number, straight from the file's bytes: an open
 * hash table whose keys are places in the file, so that a text is made only once however often it
 * is repeated. Equal hashes are always compared byte by byte.
 */
export class Interning {
  private readonly bytes: Uint8Array;
  private slots = new Int32Array(64);
  private starts = new Int32Array(32);
  private ends = new Int32Array(32);
  private hashes = new Int32Array(32);
  private count = 0;
  /** The code of the cell above, or −1 when there is none that may simply be repeated. */
  last = -1;

  constructor(bytes: Uint8Array) {
    this.bytes = bytes;
  }

  /**
   * Where the cell at a place ends if it is the same as the one above it, else −1. Most cells of a
   * trial file are, and need no hash.
   */
  endOfRepeat(start: number, delimiter: number): number {
    if (this.last < 0) return -1;
    const { bytes } = this;
    const end = wholeAt(this.ends, this.last);
    let i = start;
    for (let at = wholeAt(this.starts, this.last); at < end; at++, i++)
      if (bytes[i] !== bytes[at]) return -1;
    const next = bytes[i];
    return next === delimiter || next === 10 || next === 13 ? i : -1;
  }

  /** The number of the text between two places whose bytes have this hash. */
  code(start: number, end: number, hash: number): number {
    const mask = this.slots.length - 1;
    let slot = (hash ^ (hash >>> 15)) & mask;
    for (;;) {
      const found = wholeAt(this.slots, slot) - 1;
      if (found < 0) break;
      if (this.same(found, start, end, hash)) {
        this.last = found;
        return found;
      }
      slot = (slot + 1) & mask;
    }
    return this.add(slot, start, end, hash);
  }

  private same(code: number, start: number, end: number, hash: number): boolean {
    if (this.hashes[code] !== hash) return false;
    let at = wholeAt(this.starts, code);
    if (wholeAt(this.ends, code) - at !== end - start) return false;
    const { bytes } = this;
    for (let i = start; i < end; i++, at++) if (bytes[i] !== bytes[at]) return false;
    return true;
  }

  private add(slot: number, start: number, end: number, hash: number): number {
    const code = this.count++;
    if (code === this.starts.length) this.lengthen();
    this.starts[code] = start;
    this.ends[code] = end;
    this.hashes[code] = hash;
    this.slots[slot] = code + 1;
    this.last = code;
    if (this.count * 2 > this.slots.length) this.rehash();
    return code;
  }

  private lengthen(): void {
    this.starts = longer(this.starts);
    this.ends = longer(this.ends);
    this.hashes = longer(this.hashes);
  }

  private rehash(): void {
    this.slots = new Int32Array(this.slots.length * 2);
    const mask = this.slots.length - 1;
    for (let code = 0; code < this.count; code++) {
      const hash = wholeAt(this.hashes, code);
      let slot = (hash ^ (hash >>> 15)) & mask;
      while (this.slots[slot] !== 0) slot = (slot + 1) & mask;
      this.slots[slot] = code + 1;
    }
  }

  /** Every different text, in order of first appearance. */
  levels(): string[] {
    const texts = new Array<string>(this.count);
    for (let code = 0; code < this.count; code++)
      texts[code] = textBetween(this.bytes, wholeAt(this.starts, code), wholeAt(this.ends, code));
    return texts;
  }
}

/** Twice the room, same contents. */
export function longer(column: Int32Array): Int32Array<ArrayBuffer> {
  const grown = new Int32Array(column.length * 2);
  grown.set(column);
  return grown;
}

import { byteAt } from "../../entry.js";

/** The byte of a quotation mark. */
export const QUOTE = 34;
/** The byte of a line feed. */
export const NEWLINE = 10;
/** The byte of a carriage return. */
export const RETURN = 13;

/**
 * Walks through the cells of delimited text, one after another, without making a text of any: start,
 * end and hash of the cell read last stay here.
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 */
export class CsvCells {
  /** The file. */
  protected readonly bytes: Uint8Array;
  /** Code of the character between cells. */
  protected readonly delimiter: number;
  /** Where the next cell begins. */
  protected at = 0;
  /** First byte of the cell read last. */
  protected start = 0;
  /** The byte after it. */
  protected end = 0;
  /** Hash of its bytes. */
  protected hash = 0;
  /** Whether it stood in quotation marks. */
  protected quoted = false;
  /** Whether its closing quotation mark is missing. */
  protected unclosed = false;

  constructor(bytes: Uint8Array, delimiter: number) {
    this.bytes = bytes;
    this.delimiter = delimiter;
  }

  /** Reads one cell; true when another of the same row follows. */
  protected cell(): boolean {
    const { bytes } = this;
    this.unclosed = false;
    let i = this.at;
    this.quoted = bytes[i] === QUOTE;
    if (this.quoted) return this.quotedCell();
    this.start = i;
    i = this.plainCell(i);
    this.end = i;
    return this.passEnd(i);
  }

  /** Where a cell without quotation marks ends; its hash stays here. */
  protected plainCell(start: number): number {
    const { bytes, delimiter } = this;
    let hash = 0;
    let i = start;
    for (; i < bytes.length; i++) {
      const byte = byteAt(bytes, i);
      if (byte === delimiter || byte === NEWLINE || byte === RETURN) break;
      hash = (Math.imul(hash, 31) + byte) | 0;
    }
    this.hash = hash;
    return i;
  }

  private quotedCell(): boolean {
    const { bytes } = this;
    let i = this.at + 1;
    let write = i;
    let hash = 0;
    this.start = i;
    let open = true;
    for (; i < bytes.length; i++) {
      const byte = byteAt(bytes, i);
      if (open && byte === QUOTE) {
        if (bytes[i + 1] !== QUOTE) {
          open = false;
          continue;
        }
        i++;
      } else if (!open) {
        if (byte === this.delimiter || byte === NEWLINE || byte === RETURN) break;
      }
      bytes[write++] = byte;
      hash = (Math.imul(hash, 31) + byte) | 0;
    }
    this.end = write;
    this.hash = hash;
    this.unclosed = open;
    return this.passEnd(i);
  }

  /** Steps over the delimiter or line end that stopped a cell. */
  protected passEnd(i: number): boolean {
    const { bytes } = this;
    if (i < bytes.length && bytes[i] === this.delimiter) {
      this.at = i + 1;
      // A delimiter as the file's last byte is followed by one more, empty, cell.
      return true;
    }
    if (bytes[i] === RETURN && bytes[i + 1] === NEWLINE) i++;
    this.at = i + 1;
    return false;
  }
}

import { Inflate } from "fflate";

/** What a workbook may hold once it is unpacked; more is a bomb or a mistake. */
export const archiveLimits = {
  packedBytes: 64 * 2 ** 20,
  bytes: 192 * 2 ** 20,
  entries: 2000,
} as const;

const endRecord = 0x06054b50;
const centralRecord = 0x02014b50;
const localRecord = 0x04034b50;

/**
 * Unpacks every entry of a zip file, piece by piece and to nowhere, to learn whether it stays within
 * its limits; what the file says of its own sizes is not believed.
 * @returns null when the archive is fit to be read, else what is wrong with it
 * @see PKWARE, .ZIP File Format Specification 6.3, sections 4.3.7, 4.3.12 and 4.3.16
 */
export function archiveFault(
  bytes: Uint8Array,
  limits: { readonly [limit in keyof typeof archiveLimits]: number } = archiveLimits,
): string | null {
  if (bytes.length > limits.packedBytes) return `${bytes.length} bytes packed`;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    const entries = entriesOf(view);
    if (entries.length > limits.entries) return `${entries.length} files inside`;
    let room = limits.bytes;
    for (const entry of entries) {
      room -= unpackedSize(bytes, view, entry, room);
      if (room < 0) return `more than ${limits.bytes >> 20} MB when unpacked`;
    }
    return null;
  } catch {
    return "damaged";
  }
}

interface Entry {
  readonly method: number;
  readonly packed: number;
  readonly offset: number;
}

function entriesOf(view: DataView): Entry[] {
  let at = view.byteLength - 22;
  const lowest = Math.max(0, at - 65_535);
  while (at >= lowest && view.getUint32(at, true) !== endRecord) at--;
  if (at < lowest) throw new Error("no end record");
  const count = view.getUint16(at + 10, true);
  const entries: Entry[] = [];
  let place = view.getUint32(at + 16, true);
  for (let i = 0; i < count; i++) {
    if (view.getUint32(place, true) !== centralRecord) throw new Error("no central record");
    entries.push({
      method: view.getUint16(place + 10, true),
      packed: view.getUint32(place + 20, true),
      offset: view.getUint32(place + 42, true),
    });
    const lengths = [28, 30, 32].map((field) => view.getUint16(place + field, true));
    place += 46 + lengths.reduce((sum, length) => sum + length, 0);
  }
  return entries;
}

/** Size of one entry when unpacked, or just more than `room`. */
function unpackedSize(
  bytes: Uint8Array,
  view: DataView,
  { method, packed, offset }: Entry,
  room: number,
): number {
  if (view.getUint32(offset, true) !== localRecord) throw new Error("no local record");
  const start = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
  if (start + packed > bytes.length) throw new Error("cut short");
  if (method === 0) return packed;
  if (method !== 8) throw new Error("packed in an unusual way");
  let size = 0;
  const inflate = new Inflate((piece) => {
    size += piece.length;
  });
  const step = 32_768;
  for (let at = start; at < start + packed && size <= room; at += step) {
    const end = Math.min(at + step, start + packed);
    inflate.push(bytes.subarray(at, end), end === start + packed);
  }
  return size;
}

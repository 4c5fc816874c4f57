import { createHash } from "node:crypto";
import { crc32 } from "node:zlib";

/** What a picture of a manuscript says about itself. */
export interface FigureStamp {
  /** Name of the study's folder. */
  readonly study: string;
  /** Id of the figure. */
  readonly id: string;
  /** The first characters of the SHA-256 of the drawing that it was painted from. */
  readonly drawing: string;
  /** The same of its pixels as compressed in the file. */
  readonly pixels: string;
}

const signatureBytes = 8;
const keyword = "Tautline figure";

interface Chunk {
  readonly type: string;
  readonly body: Uint8Array;
  /** Where the chunk begins and ends in the file, bytes. */
  readonly start: number;
  readonly end: number;
}

/** The chunks of a PNG file; none where it is no PNG or is cut short. */
function chunksOf(png: Uint8Array): Chunk[] {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  const chunks: Chunk[] = [];
  if (png.length < signatureBytes || view.getUint32(0) !== 0x89504e47) return chunks;
  for (let at = signatureBytes; at + 12 <= png.length; ) {
    const length = view.getUint32(at);
    const end = at + 12 + length;
    if (end > png.length) return chunks;
    const type = Buffer.from(png.subarray(at + 4, at + 8)).toString("latin1");
    chunks.push({ type, body: png.subarray(at + 8, at + 8 + length), start: at, end });
    at = end;
  }
  return chunks;
}

function shortHash(...parts: readonly (string | Uint8Array)[]): string {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part);
  return hash.digest("hex").slice(0, 16);
}

/** A hash of the drawing that a figure is painted from. */
export function drawingHash(svg: string): string {
  return shortHash(svg);
}

function pixelHash(chunks: readonly Chunk[]): string {
  const telling = chunks.filter(({ type }) => ["IHDR", "PLTE", "IDAT"].includes(type));
  return shortHash(...telling.map(({ body }) => body));
}

/** A PNG file with a text chunk that names its figure, its drawing and its pixels. */
export function stampedFigure(
  png: Uint8Array,
  figure: { readonly study: string; readonly id: string; readonly svg: string },
): Uint8Array {
  const chunks = chunksOf(png);
  const header = chunks[0];
  if (header === undefined) return png;
  const { study, id, svg } = figure;
  const stamped = JSON.stringify({
    study,
    id,
    drawing: drawingHash(svg),
    pixels: pixelHash(chunks),
  });
  const body = Buffer.from(`tEXt${keyword}\0${stamped}`, "latin1");
  const stamp = Buffer.alloc(body.length + 8);
  stamp.writeUInt32BE(body.length - 4, 0);
  body.copy(stamp, 4);
  stamp.writeUInt32BE(crc32(body), body.length + 4);
  return Buffer.concat([png.subarray(0, header.end), stamp, png.subarray(header.end)]);
}

/** The stamp of a picture; undefined where it has none, or its pixels are not those it was made with. */
export function figureStamp(png: Uint8Array): FigureStamp | undefined {
  const chunks = chunksOf(png);
  for (const { type, body } of chunks) {
    const text = type === "tEXt" ? Buffer.from(body).toString("latin1") : "";
    if (!text.startsWith(`${keyword}\0`)) continue;
    const stamp = stampIn(text.slice(keyword.length + 1));
    return stamp?.pixels === pixelHash(chunks) ? stamp : undefined;
  }
  return undefined;
}

function stampIn(text: string): FigureStamp | undefined {
  try {
    const { study, id, drawing, pixels } = JSON.parse(text);
    const parts = [study, id, drawing, pixels];
    return parts.every((part) => typeof part === "string")
      ? { study, id, drawing, pixels }
      : undefined;
  } catch {
    return undefined;
  }
}

/** Width and height of a PNG file in pixels. */
export function pictureSize(png: Uint8Array): { readonly width: number; readonly height: number } {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  return { width: view.getUint32(16), height: view.getUint32(20) };
}

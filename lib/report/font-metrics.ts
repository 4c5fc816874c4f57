import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import opentype from "opentype.js";

interface Glyph {
  advanceWidth?: number;
}

interface Face {
  readonly unitsPerEm: number;
  readonly ascender: number;
  readonly descender: number;
  charToGlyph(character: string): Glyph;
}

const require = createRequire(import.meta.url);

/** The files of the figures' font: what is measured with and what a PNG is painted with. */
export const fontFiles = {
  regular: require.resolve("dejavu-fonts-ttf/ttf/DejaVuSans.ttf"),
  bold: require.resolve("dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf"),
} as const;

function face(path: string): Face {
  const bytes = readFileSync(path);
  return opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
}

const faces = new Map<string, Face>();
const widths = new Map<string, number>();

function faceOf(bold: boolean): Face {
  const path = bold ? fontFiles.bold : fontFiles.regular;
  const known = faces.get(path);
  if (known) return known;
  const loaded = face(path);
  faces.set(path, loaded);
  return loaded;
}

function advance(character: string, bold: boolean): number {
  const key = `${bold ? "b" : "r"}${character}`;
  const known = widths.get(key);
  if (known !== undefined) return known;
  const from = faceOf(bold);
  const width = (from.charToGlyph(character).advanceWidth ?? 0) / from.unitsPerEm;
  widths.set(key, width);
  return width;
}

export interface Lettering {
  /** Size of the letters, px. */
  readonly size: number;
  /** Whether letters are bold. */
  readonly bold: boolean;
}

/** Width of a line of text in px. Kerning is left out: browsers differ on it by under a pixel. */
export function textWidth(text: string, { size, bold }: Lettering): number {
  let width = 0;
  for (const character of text) width += advance(character, bold);
  return width * size;
}

/** Distance of the font's top and bottom from the baseline, in px. */
export function lineExtent({ size, bold }: Lettering): { ascent: number; descent: number } {
  const { ascender, descender, unitsPerEm } = faceOf(bold);
  return { ascent: (ascender / unitsPerEm) * size, descent: (-descender / unitsPerEm) * size };
}

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import opentype from "opentype.js";
import type { FaceMeasures, LetterWidths } from "./letter-widths.js";

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

function measuresOf(path: string): FaceMeasures {
  let loaded: Face | undefined;
  const widths = new Map<string, number>();
  const read = () => {
    loaded ??= face(path);
    return loaded;
  };
  return {
    get ascent() {
      return read().ascender / read().unitsPerEm;
    },
    get descent() {
      return -read().descender / read().unitsPerEm;
    },
    width(character) {
      const known = widths.get(character);
      if (known !== undefined) return known;
      const width = (read().charToGlyph(character).advanceWidth ?? 0) / read().unitsPerEm;
      widths.set(character, width);
      return width;
    },
  };
}

/** The measures of the figures' font, read from its files when they are first needed. */
export const fontLetters: LetterWidths = {
  regular: measuresOf(fontFiles.regular),
  bold: measuresOf(fontFiles.bold),
};

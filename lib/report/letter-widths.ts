/** How letters are set. */
export interface Lettering {
  /** Size of the letters, px. */
  readonly size: number;
  /** Whether letters are bold. */
  readonly bold: boolean;
}

/** The measures of one face, in shares of the size of its letters. */
export interface FaceMeasures {
  /** Top of the face above the baseline. */
  readonly ascent: number;
  /** Bottom of the face below the baseline. */
  readonly descent: number;
  /** Width of one character. */
  width(character: string): number;
}

/** The measures of the figures' font: a drawing is laid out with them wherever it is made. */
export interface LetterWidths {
  /** The upright face. */
  readonly regular: FaceMeasures;
  /** The bold face. */
  readonly bold: FaceMeasures;
}

/** Width of a line of text in px. Kerning is left out: browsers differ on it by under a pixel. */
export function textWidth(text: string, { size, bold }: Lettering, letters: LetterWidths): number {
  const face = bold ? letters.bold : letters.regular;
  let width = 0;
  for (const character of text) width += face.width(character);
  return width * size;
}

/** Distance of the font's top and bottom from the baseline, in px. */
export function lineExtent(
  { size, bold }: Lettering,
  letters: LetterWidths,
): { ascent: number; descent: number } {
  const { ascent, descent } = bold ? letters.bold : letters.regular;
  return { ascent: ascent * size, descent: descent * size };
}

/** One face as a page carries it. */
interface CarriedFace {
  readonly ascent: number;
  readonly descent: number;
  readonly widths: Readonly<Record<string, number>>;
}

/** Letter widths as JSON: the measures that a page needs to draw its figures again. */
export interface CarriedLetters {
  /** The upright face, with the width of every character. */
  readonly regular: CarriedFace;
  /** The bold face, with the width of every character. */
  readonly bold: CarriedFace;
}

function carriedFace({ ascent, descent, width }: FaceMeasures, all: string): CarriedFace {
  const widths = Object.fromEntries([...all].map((one) => [one, width(one)]));
  return { ascent, descent, widths };
}

/** The measures of these characters, for a page. */
export function carriedLetters(letters: LetterWidths, characters: string): CarriedLetters {
  return {
    regular: carriedFace(letters.regular, characters),
    bold: carriedFace(letters.bold, characters),
  };
}

function faceFrom({ ascent, descent, widths }: CarriedFace): FaceMeasures {
  return { ascent, descent, width: (character) => widths[character] ?? 0 };
}

/** The measures that a page carries; a character that it does not carry has no width. */
export function lettersFrom({ regular, bold }: CarriedLetters): LetterWidths {
  return { regular: faceFrom(regular), bold: faceFrom(bold) };
}

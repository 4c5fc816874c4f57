import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const require = createRequire(import.meta.url);

interface Face {
  readonly family: string;
  readonly weight: 400 | 600;
  readonly source: string;
}

/** The text face and the face of headings, under the Open Font Licence; Latin letters, signs and digits only. */
const faces: readonly Face[] = [
  {
    family: "Source Sans 3",
    weight: 400,
    source: "@fontsource/source-sans-3/files/source-sans-3-latin-400-normal.woff2",
  },
  {
    family: "Source Sans 3",
    weight: 600,
    source: "@fontsource/source-sans-3/files/source-sans-3-latin-600-normal.woff2",
  },
  {
    family: "Source Serif 4",
    weight: 600,
    source: "@fontsource/source-serif-4/files/source-serif-4-latin-600-normal.woff2",
  },
];

function nameOf({ source }: Face): string {
  return source.slice(source.lastIndexOf("/") + 1);
}

function rule({ family, weight }: Face, address: string): string {
  return `@font-face{font-family:"${family}";font-style:normal;font-weight:${weight};font-display:swap;src:url(${address}) format("woff2")}`;
}

/** Names of the font files beside the pages. */
export const fontNames: readonly string[] = faces.map(nameOf);

/** The bytes of a font file. */
export function fontFile(name: string): Uint8Array {
  const face = faces.find((one) => nameOf(one) === name);
  return readFileSync(require.resolve(face?.source ?? name));
}

/** The rules that load the font files from beside the style sheet. */
export const fontFaces: string = faces.map((one) => rule(one, `fonts/${nameOf(one)}`)).join("");

let inside: string | undefined;

/** The rules with the fonts inside them, for a page that is one file. */
export function inlineFontFaces(): string {
  inside ??= faces
    .map((one) => {
      const bytes = Buffer.from(fontFile(nameOf(one))).toString("base64");
      return rule(one, `data:font/woff2;base64,${bytes}`);
    })
    .join("");
  return inside;
}

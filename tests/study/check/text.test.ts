import { describe, expect, it } from "vitest";
import { decodeText, textBetween } from "../../../lib/study/check/text.js";

const sentence = "participant,note\n007,Müller – « épaule »\n";
const utf8 = new TextEncoder().encode(sentence);

function utf16(text: string, { big = false, mark = true } = {}): Uint8Array {
  const bytes: number[] = mark ? (big ? [0xfe, 0xff] : [0xff, 0xfe]) : [];
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    bytes.push(...(big ? [unit >> 8, unit & 255] : [unit & 255, unit >> 8]));
  }
  return Uint8Array.from(bytes);
}

/** Windows-1252 puts the dash at 0x96 and Latin letters where ISO 8859-1 has them. */
function windows1252(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => (letter === "–" ? 0x96 : letter.charCodeAt(0)));
}

const decoded = (bytes: Uint8Array, declared?: string) => {
  const { bytes: out, encoding, guessed } = decodeText(bytes, declared);
  return { text: textBetween(out, 0, out.length), encoding, guessed };
};

describe("encodings", () => {
  it.each([
    ["UTF-8", utf8, "utf-8", false],
    ["UTF-8 with a mark", Uint8Array.from([0xef, 0xbb, 0xbf, ...utf8]), "utf-8", false],
    ["UTF-16 little-endian with a mark", utf16(sentence), "utf-16le", false],
    ["UTF-16 big-endian with a mark", utf16(sentence, { big: true }), "utf-16be", false],
    ["UTF-16 without a mark", utf16(sentence, { mark: false }), "utf-16le", true],
    ["Windows-1252", windows1252(sentence), "windows-1252", true],
  ] as const)(
    "%s is read, and said to be guessed only when it is",
    (_, bytes, encoding, guessed) => {
      expect(decoded(bytes)).toEqual({ text: sentence, encoding, guessed });
    },
  );

  it("a declared encoding is believed", () => {
    expect(decoded(windows1252("é"), "windows-1252")).toEqual({
      text: "é",
      encoding: "windows-1252",
      guessed: false,
    });
  });

  it("letters beyond ASCII are found wherever they stand", () => {
    for (let at = 0; at < 12; at++) {
      const bytes = Uint8Array.from([...new Array<number>(at).fill(0x61), 0xe9, 0x61]).subarray(
        at % 3,
      );
      expect(decoded(bytes).encoding, `byte ${at}`).toBe("windows-1252");
    }
  });
});

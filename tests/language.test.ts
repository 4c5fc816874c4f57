import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readTexts } from "./reading-text.js";

/**
 * Phrases that a reader may not meet: old-fashioned, or a riddle to somebody who learned English
 * later. They are looked for as whole words in comments, strings, documents and notebooks.
 */
const refused: readonly RegExp[] = [
  "held against",
  "told by",
  "told from",
  "verdict turns",
  "leaves? zero out",
  "holds? zero",
  "(?:by|drew|draws?|drawn by) lots?",
  "how surely",
  "in silence",
  "heaps?",
  "crowds?",
  "yardsticks?",
  "(?:a|the|old) sayings?",
  "sayings",
  "words? of the trade",
  "keeps its promise",
  "asks? (?:less|more) of",
  "hangs on",
  "at odds with",
  "mend(?:s|ed)?",
  "kin",
  "lately",
  "the middle of",
  "would not fit",
  "one(?: (?:row|line|dot|box|bar|column|person|mark))? a(?= (?!priori)\\w+)",
  "(?:block|measured|after|before|mean|last|value|grip|trained|arm|rows) less(?! than)(?= \\w+)",
  "less the (?:mean|first|value|threshold|fit|control)",
  "taken off",
  "by another road",
  "goes? the road",
  "whoever",
  "hearsay",
  "a trick of",
  "chances? to be fooled",
  "stands? twice",
].map((phrase) => new RegExp(`(?<![\\w-])(?:${phrase})(?![\\w-])`, "i"));

/** Texts in which a refused word is right, each with its reason. */
const exceptions: readonly { readonly text: RegExp; readonly because: string }[] = [
  { text: /heap out of memory|max-old-space-size|its heap|\(Heap 1963/, because: "memory; a name" },
];

/** Lines of a text with a refused phrase in them, as `place: phrase: the words around it`. */
function faults(place: string, text: string): string[] {
  const plain = text
    .replaceAll(/`[^`\n]+`/g, "…")
    .replaceAll(/\s*\n[ \t]*(?:\*|\/\/)?[ \t]*/g, " ");
  if (exceptions.some((one) => one.text.test(plain))) return [];
  return refused.flatMap((phrase) => {
    const at = phrase.exec(plain);
    if (at === null) return [];
    const around = plain.slice(Math.max(0, at.index - 40), at.index + 60);
    return [`${place}: “${at[0]}” in “${around}”`];
  });
}

function filesBelow(folder: string, ending: RegExp): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    if (["dist", "node_modules"].includes(entry.name) || entry.name.startsWith(".")) return [];
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return filesBelow(path, ending);
    return ending.test(entry.name) ? [path] : [];
  });
}

interface Cell {
  readonly cell_type: string;
  readonly source: string | readonly string[];
  readonly outputs?: readonly { readonly data?: Readonly<Record<string, unknown>> }[];
}

function cellsOf(path: string): readonly Cell[] {
  return (JSON.parse(readFileSync(path, "utf8")) as { cells: readonly Cell[] }).cells;
}

const joined = (source: string | readonly string[]) =>
  typeof source === "string" ? source : source.join("");

/** Every text below a recorded value; pictures, which are base64 or SVG, are left out. */
function textsOf(value: unknown): string[] {
  if (typeof value === "string") return /^<svg|^<figure|;base64,/.test(value) ? [] : [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(textsOf);
}

/** Sentences of Markdown with more than 30 words; code, links and emphasis are not counted. */
function longSentences(markdown: string): string[] {
  return markdown
    .replaceAll(/```[\s\S]*?```/g, "")
    .split(/\n\s*\n|\n(?=\s*(?:[-*>#|]|\d+\.) ?)/)
    .flatMap((block) =>
      block.replaceAll(/\s+/g, " ").split(/(?<=[.?!][)”"*]*)\s+(?=["“*(]*[A-Z\d`])/),
    )
    .filter((sentence) => sentence.split(" ").filter((word) => /\p{L}|\d/u.test(word)).length > 30);
}

const notebooks = filesBelow("notebooks", /\.ipynb$/);

describe("plain, modern English", () => {
  it("no refused phrase in a comment or a string of the library", () => {
    const found = filesBelow("lib", /\.(?:ts|js)$/).flatMap((path) =>
      readTexts(readFileSync(path, "utf8")).flatMap(({ line, text }) =>
        faults(`${path}:${line}`, text),
      ),
    );
    expect(found).toEqual([]);
  });

  it("no refused phrase in the documents and the descriptors of the data", () => {
    const documents = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "lib/README.md"];
    const descriptors = filesBelow("data", /^datapackage\.json$/);
    const found = [...documents, ...descriptors].flatMap((path) =>
      readFileSync(path, "utf8")
        .split("\n")
        .flatMap((line, index) => faults(`${path}:${index + 1}`, line)),
    );
    expect(found).toEqual([]);
  });

  it.each(notebooks)("no refused phrase in text, code or outputs of %s", (path) => {
    const found = cellsOf(path).flatMap((cell, index) => {
      const source = joined(cell.source);
      const read = cell.cell_type === "code" ? readTexts(source).map(({ text }) => text) : [source];
      const shown = (cell.outputs ?? []).flatMap(({ data }) => textsOf(data));
      return [...new Set([...read, ...shown])].flatMap((text) =>
        faults(`${path}, cell ${index + 1}`, text),
      );
    });
    expect(found).toEqual([]);
  });

  it.each(notebooks)("no sentence of more than 30 words in the text of %s", (path) => {
    const markdown = cellsOf(path).filter(({ cell_type }) => cell_type === "markdown");
    expect(markdown.flatMap(({ source }) => longSentences(joined(source)))).toEqual([]);
  });

  it("finds a refused phrase, and a long sentence, that somebody adds", () => {
    const added = readTexts("const a = f('told by its mark'); // a heap of means\n");
    expect(added.flatMap(({ text }) => faults("here", text))).toHaveLength(2);
    expect(readTexts("const crowd = heap / 2; const r = /kin/;")).toEqual([]);
    expect(faults("here", "Golfers (one a row) by lot")).toHaveLength(2);
    expect(faults("here", "Grip block less swing practice")).toHaveLength(1);
    expect(faults("here", "mankind, crowdfunding, less than one")).toEqual([]);
    const words = (count: number) => Array(count).fill("word").join(" ");
    expect(longSentences(`${words(30)}. And more.\n\n${words(31)}.`)).toHaveLength(1);
  });
});

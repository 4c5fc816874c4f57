import { join, relative, resolve } from "node:path";
import { writeArchive } from "../archive/zip.js";
import type { Draft } from "../manuscript/draft.js";
import { manuscriptDraft } from "../manuscript/manuscript-draft.js";
import { markdownText } from "../manuscript/markdown-draft.js";
import { wordFiles } from "../manuscript/word-draft.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { unreadableOutputs } from "../report/recorded.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { manuscriptRecord, withFigures } from "./manuscript-facts.js";
import { namedStudy } from "./study-word.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Writes a manuscript of a study from its record: a Word document, the same as Markdown, figures. What only the author knows is a visible gap: [author: …].",
  usage: "tautline manuscript <study> [options]",
  options: [
    { name: "--out <folder>", what: "where the files go (out/<study>)" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline manuscript winter-block", what: "out/winter-block/manuscript.docx and .md" },
    { line: "tautline manuscript winter-block --out paper", what: "the same in the folder paper" },
  ],
};

const shapes = { out: "text", json: "flag" } as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const folder = namedStudy(words, io.cwd);
  const root = studyRoot(folder);
  const record = manuscriptRecord(root, folder);
  const { name } = record.facts.study;
  const problems = unreadableOutputs(record.notebooks);
  for (const problem of problems) io.err(`${printable(problem)}\n`);
  const asked = options.out === undefined ? join(root, "out", name) : resolve(io.cwd, options.out);
  const out = outputFolder(root, asked);
  const facts = await withFigures(record, join(out, "figures"));
  const draft = manuscriptDraft(facts);
  const svgs = new Map(
    facts.questions.flatMap(({ figures }) => figures.map(({ id, svg }) => [id, svg] as const)),
  );
  const files = [
    placeFile(out, "manuscript.docx", writeArchive(wordFiles(draft), facts.day)),
    placeFile(out, "manuscript.md", markdownText(draft)),
    ...figureFiles(draft, svgs, out),
  ].map((path) => relative(io.cwd, path));
  const gaps = gapsIn(draft);
  if (options.json) io.out(`${JSON.stringify({ files, gaps, problems })}\n`);
  else {
    io.out(`${files.map((file) => `${file}\n`).join("")}`);
    io.out(`${gaps} gaps are left for the author: search for “[author:”.\n`);
  }
  return problems.length > 0 ? exitCodes.differences : exitCodes.fine;
}

function figureFiles(draft: Draft, svgs: ReadonlyMap<string, string>, out: string): string[] {
  return draft.blocks.flatMap((block) =>
    block.kind === "figure"
      ? [
          placeFile(out, `figures/${block.file}.png`, block.png),
          placeFile(out, `figures/${block.file}.svg`, svgs.get(block.id) ?? ""),
        ]
      : [],
  );
}

function gapsIn({ blocks }: Draft): number {
  return (
    JSON.stringify(blocks.filter(({ kind }) => kind !== "figure")).split('"kind":"gap"').length - 1
  );
}

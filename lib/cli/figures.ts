import { join, relative, resolve } from "node:path";
import {
  type FigureFormat,
  type FigureWidth,
  journalWidths,
  type StudyFlow,
  writeFigureFiles,
  writeFlowFiles,
} from "../report/figure-files.js";
import { outputFolder } from "../report/folder.js";
import { recordedFindings } from "../report/ledger.js";
import { type RecordedNotebook, readNotebooks, unreadableOutputs } from "../report/recorded.js";
import { analysisDone } from "../show/analysis-done.js";
import { studyAccounts } from "../study/study-account.js";
import { chosenNotebooks, notebookPaths } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Writes every recorded figure, and the flow of participants of each study, as SVG, PNG and CSV, without a browser.",
  usage: "tautline figures [notebook…] [options]",
  options: [
    { name: "--width <width>", what: "one or two columns of a journal page, or millimetres (two)" },
    { name: "--dpi <number>", what: "resolution of the PNG files (300)" },
    { name: "--format <list>", what: "svg, png, csv, separated by commas (all three)" },
    { name: "--background <colour>", what: "white, none or a colour such as #f4f1ea (white)" },
    { name: "--out <folder>", what: "where the files go (out/figures)" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline figures", what: "all figures, two columns wide" },
    { line: "tautline figures --width one --dpi 600", what: "for one column of a page" },
    {
      line: "tautline figures winter-block/3-change --width 120 --format svg",
      what: "120 mm wide, SVG only",
    },
  ],
};

const shapes = {
  background: "text",
  width: "text",
  dpi: "number",
  format: "text",
  out: "text",
  json: "flag",
} as const;
const formats = ["svg", "png", "csv"] as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  const out = outputFolder(root, resolve(io.cwd, options.out ?? join(root, "out", "figures")));
  const notebooks = recordedAmong(words, root, io.cwd);
  for (const problem of unreadableOutputs(notebooks)) io.err(`${printable(problem)}\n`);
  const look = {
    out,
    width: widthOf(options.width ?? "two"),
    dpi: options.dpi ?? 300,
    background: backgroundOf(options.background ?? "white"),
    formats: formatsOf(options.format),
  };
  const files = [
    ...(await writeFigureFiles({ notebooks, ...look })),
    ...writeFlowFiles(flowsOf(notebooks, root), look),
  ];
  const named = files.map((file) => relative(io.cwd, file));
  if (options.json) io.out(`${JSON.stringify({ files: named })}\n`);
  else io.out(`${named.map((name) => `${name}\n`).join("")}${named.length} files written.\n`);
  return exitCodes.fine;
}

/** The studies all of whose notebooks are chosen: their flow of participants is a figure too. */
function flowsOf(chosen: readonly RecordedNotebook[], root: string): StudyFlow[] {
  const own = new Map<string, RecordedNotebook[]>();
  for (const notebook of readNotebooks(root, notebookPaths(root)))
    own.set(notebook.study, [...(own.get(notebook.study) ?? []), notebook]);
  const paths = new Set(chosen.map(({ path }) => path));
  const whole = [...own].filter(([, all]) => all.every(({ path }) => paths.has(path)));
  return studyAccounts(
    root,
    whole.map(([name]) => name),
  ).map((study) => {
    const findings = (own.get(study.name) ?? []).flatMap(recordedFindings);
    return { study, done: analysisDone(study.plan, findings) };
  });
}

/** The recorded notebooks that the words name; all of them without a word. */
export function recordedAmong(
  words: readonly string[],
  root: string,
  cwd: string,
): RecordedNotebook[] {
  const all = readNotebooks(root, notebookPaths(root));
  if (words.length === 0) return all;
  const chosen = new Set(chosenNotebooks(words, root, cwd));
  return all.filter(({ path }) => chosen.has(path));
}

function widthOf(text: string): FigureWidth {
  if (text === "one" || text === "two") return journalWidths[text];
  const mm = Number(text.replace(/\s*mm$/, ""));
  if (!(mm >= 40 && mm <= 400)) {
    throw new UsageError(
      `--width needs one, two, or 40 to 400 millimetres, got ${JSON.stringify(text)}`,
    );
  }
  return { name: `${mm}mm`, mm };
}

function backgroundOf(text: string): string {
  if (text === "white") return "#ffffff";
  if (text === "none") return "rgba(0,0,0,0)";
  if (/^#[0-9a-f]{6}$/i.test(text)) return text;
  throw new UsageError(
    `--background is white, none or such as #f4f1ea, got ${JSON.stringify(text)}`,
  );
}

function formatsOf(text: string | undefined): FigureFormat[] {
  const asked = text === undefined ? [...formats] : text.split(",").map((part) => part.trim());
  const unknown = asked.find((format) => !(formats as readonly string[]).includes(format));
  if (unknown !== undefined) {
    throw new UsageError(`--format knows svg, png and csv, got ${JSON.stringify(unknown)}`);
  }
  return asked as FigureFormat[];
}

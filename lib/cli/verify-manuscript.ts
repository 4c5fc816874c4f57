import { existsSync, readFileSync } from "node:fs";
import { basename, dirname, extname, join, relative, resolve } from "node:path";
import { ArchiveFault, readArchive } from "../archive/reading.js";
import { writeArchive } from "../archive/zip.js";
import { InputError } from "../errors.js";
import type { ComparedNumber } from "../manuscript/compared-number.js";
import {
  compareManuscript,
  type ManuscriptComparison,
} from "../manuscript/manuscript-comparison.js";
import { manuscriptDraft } from "../manuscript/manuscript-draft.js";
import { quotedNumbers } from "../manuscript/quoted-text.js";
import { type ReturnedPackage, returnedPackage } from "../manuscript/returned-package.js";
import { type ReturnedText, returnedText } from "../manuscript/returned-text.js";
import { revisedFiles } from "../manuscript/tracked-revision.js";
import { placeFile } from "../report/folder.js";
import { studyRoot } from "../workspace/study-root.js";
import { UsageError } from "./arguments.js";
import { exitCodes, type Io, plainWords } from "./io.js";
import { manuscriptRecord, type StudyRecordForText, textDrawings } from "./manuscript-facts.js";
import { namedStudy } from "./study-word.js";

/** What a Word document may at most contain; a manuscript is far below. */
const documentLimits = { packedBytes: 64 * 2 ** 20, bytes: 192 * 2 ** 20, files: 2000 };

/** The options of verify that matter here. */
interface ManuscriptOptions {
  readonly update: boolean;
  readonly json: boolean;
  /** The study, where the document does not say it. */
  readonly words: readonly string[];
}

/** Compares a returned manuscript with the record; with `update` also writes a revision beside it. */
export async function verifyManuscript(
  file: string,
  { update, json, words }: ManuscriptOptions,
  io: Io,
): Promise<number> {
  const path = resolve(io.cwd, file);
  const document = openDocument(path, file);
  const text = returnedText(document);
  const record = recordFor(document, text, words, file, io);
  const drawings = await textDrawings(record.notebooks);
  const questions = record.facts.questions.map((question) => {
    const drawn = drawings.get(question.notebook) ?? [];
    return { ...question, figures: drawn.map((one) => ({ ...one, png: new Uint8Array() })) };
  });
  const facts = { ...record.facts, questions };
  const comparison = compareManuscript(facts, manuscriptDraft(facts), text);
  const updated = update ? writeUpdate(path, document, comparison, facts.day) : undefined;
  const named = updated && relative(io.cwd, updated);
  const { outdated: _, ...shown } = comparison;
  if (json) io.out(`${JSON.stringify({ ...shown, study: facts.study.name, updated: named })}\n`);
  else io.out(plainLines(comparisonText(file, facts.study.name, comparison, named)));
  return comparison.agrees ? exitCodes.fine : exitCodes.differences;
}

/** Reads and checks the file. @throws UsageError where there is none, InputError where it is refused */
function openDocument(path: string, file: string): ReturnedPackage {
  if (!existsSync(path)) throw new UsageError(`there is no file ${file}`);
  try {
    return returnedPackage(readArchive(readFileSync(path), documentLimits), file);
  } catch (error) {
    if (!(error instanceof ArchiveFault)) throw error;
    throw new InputError({
      expected: "a Word document (.docx); save it as one in your word processor",
      got: `a file that was refused: ${error.message}`,
      where: file,
    });
  }
}

/** The record of the study that the document is about, by its own word, by its tags, or as named. */
function recordFor(
  document: ReturnedPackage,
  text: ReturnedText,
  words: readonly string[],
  file: string,
  io: Io,
): StudyRecordForText {
  const stated = document.study ?? studyOfTags(text);
  const asked = words.length > 0 ? namedStudy(words, io.cwd) : undefined;
  if (asked !== undefined && stated !== undefined && basename(asked) !== stated) {
    throw new InputError({
      expected: `a manuscript of the study ${basename(asked)}`,
      got: `a manuscript of the study ${stated}; name that study, or leave the name out`,
      where: file,
    });
  }
  if (asked === undefined && stated === undefined) {
    throw new InputError({
      expected: "a manuscript written by tautline manuscript",
      got: "a document without tagged numbers; name its study, or check its text with --text",
      where: file,
    });
  }
  const folder = asked ?? statedStudy(stated ?? "", file, io);
  return manuscriptRecord(studyRoot(folder), folder);
}

function statedStudy(name: string, file: string, io: Io): string {
  try {
    if (/^[^\\/.][^\\/]*$/.test(name)) return namedStudy([name], io.cwd);
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
  }
  throw new InputError({
    expected: "a manuscript of a study in this workspace",
    got: `a manuscript of the study ${JSON.stringify(name)}; call the command in its workspace`,
    where: file,
  });
}

/** The study that most tags name. */
function studyOfTags({ units }: ReturnedText): string | undefined {
  const counts = new Map<string, number>();
  for (const { control } of units.flatMap(({ pieces }) => pieces)) {
    if (control) counts.set(control.tag.study, (counts.get(control.tag.study) ?? 0) + 1);
  }
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0];
}

/** Writes the revision beside the original, under a name that is not taken. */
function writeUpdate(
  path: string,
  document: ReturnedPackage,
  { outdated }: ManuscriptComparison,
  day: string,
): string | undefined {
  if (outdated.length === 0) return undefined;
  const base = basename(path, extname(path));
  const names = [`${base}-updated.docx`];
  while (existsSync(join(dirname(path), names.at(-1) ?? ""))) {
    names.push(`${base}-updated-${names.length + 1}.docx`);
  }
  const revised = writeArchive(revisedFiles(document, outdated), day);
  return placeFile(dirname(path), names.at(-1) ?? "", revised);
}

/** Text of a document must not control the terminal. */
function plainLines(lines: readonly string[]): string {
  return lines.map((line) => `${plainWords(line)}\n`).join("");
}

function counted(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? "" : "s"}`;
}

function comparisonText(
  file: string,
  study: string,
  comparison: ManuscriptComparison,
  updated: string | undefined,
): string[] {
  const { numbers, figures, missing, typedByHand, unknownVersions, agrees, outdated } = comparison;
  const of = (state: ComparedNumber["state"]) => numbers.filter((one) => one.state === state);
  const agreeing = of("agrees");
  const untagged = agreeing.filter(({ isUntagged }) => isUntagged);
  const lostNote = untagged.length > 0 ? `, ${untagged.length} of them without a tag` : "";
  return [
    `${file}: a manuscript of ${study}.`,
    `${counted(agreeing.length, "number")} agree with the record${lostNote}.`,
    ...untagged.map(
      ({ id, part, inText, place }) =>
        `  lost tag     ${id}, ${part}: “${inText}” was found by the text around it (${place})`,
    ),
    ...of("differs").map(differenceText),
    ...of("unknown").map(
      ({ id, part, inText, place }) =>
        `  not recorded ${id}, ${part}: “${inText}” has no number in the record (${place})`,
    ),
    ...missing.map(({ id, title }) => `  missing      ${id}: the plan's ${title} appears nowhere`),
    ...figures
      .filter(({ state }) => state !== "recorded")
      .map(({ state, id, place }) =>
        state === "earlier"
          ? `  figure       ${id}: drawn from an earlier record (${place})`
          : `  figure       ${id}: not a recorded picture, or saved again by another program (${place})`,
      ),
    ...typedByHand.map(({ inText, sources, place }) => {
      const [first] = sources;
      const from = first ? `may come from ${first.id}, ${first.part}` : "is in no finding";
      return `  by hand      “${inText}” ${from} (${place})`;
    }),
    ...unknownVersions.map(
      ({ notebook, version }) =>
        `  version      ${notebook} has no version ${version}: get the record that has it, or write the manuscript again`,
    ),
    ...(updated
      ? [`${counted(outdated.length, "number")} brought up to date as tracked changes: ${updated}`]
      : []),
    agrees ? "Everything agrees." : "The manuscript does not agree with the record.",
  ];
}

function differenceText({ id, part, inText, recorded, place, isUntagged }: ComparedNumber): string {
  if (id === "~text") {
    return `  differs      the manuscript says “${inText}”, the text as written from the record “${recorded}” (${place})`;
  }
  const lost = isUntagged ? "; its tag is lost" : "";
  return `  differs      ${id}, ${part}: the manuscript says “${inText}”, the record “${recorded}”${lost} (${place})`;
}

/** Lists the numbers with units of a text and the findings that they may come from. */
export function verifyText(
  file: string,
  { json, words }: Pick<ManuscriptOptions, "json" | "words">,
  io: Io,
): number {
  const path = resolve(io.cwd, file);
  if (!existsSync(path)) throw new UsageError(`there is no file ${file}`);
  const bytes = readFileSync(path);
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new InputError({
      expected: "a text in UTF-8; for a Word document use --manuscript",
      got: "other bytes",
      where: file,
    });
  }
  const folder = namedStudy(words, io.cwd);
  const { facts } = manuscriptRecord(studyRoot(folder), folder);
  const numbers = quotedNumbers(facts.study.name, facts.questions, text);
  const agrees = numbers.every(({ sources }) => sources.length > 0);
  if (json) io.out(`${JSON.stringify({ kind: "quotedNumbers", agrees, numbers })}\n`);
  else {
    const lines = numbers.flatMap(({ line, inText, sources }) => [
      `line ${line}: ${inText}${sources.length === 0 ? " is in no finding" : " may come from"}`,
      ...sources.map(({ id, part, recorded, title }) => `  ${id}, ${part}: ${recorded}. ${title}`),
    ]);
    const closing = numbers.length === 0 ? "The text has no number with a unit." : "";
    io.out(plainLines(closing === "" ? lines : [closing]));
  }
  return agrees ? exitCodes.fine : exitCodes.differences;
}

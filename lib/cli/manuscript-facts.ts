import { existsSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { itemAt } from "../entry.js";
import { drawingHash, figureStamp, stampedFigure } from "../manuscript/figure-stamp.js";
import { onWhitePaper } from "../manuscript/print-drawing.js";
import type {
  ClaimFacts,
  FigureFacts,
  ManuscriptFacts,
  QuestionFacts,
  ResultFacts,
} from "../manuscript/study-facts.js";
import { figureWidthMm } from "../manuscript/word-draft.js";
import { fileNames } from "../report/file-name.js";
import { inComparison } from "../report/flow-words.js";
import { recordedFindings } from "../report/ledger.js";
import { partsUsed } from "../report/programs-used.js";
import { type RecordedNotebook, readNotebooks, shownOf } from "../report/recorded.js";
import { record } from "../report/recorded-outputs.js";
import { certItems, consortItems } from "../report/reporting-items.js";
import { analysisDone } from "../show/analysis-done.js";
import type { Claim } from "../show/claim-record.js";
import type { Figure } from "../show/figure-record.js";
import { isAnswered, type RecordedFinding } from "../show/finding-record.js";
import { descriptorName, readStudyFiles, type StudyFiles } from "../study/files.js";
import { openStudy, readStudy } from "../study/open.js";
import { readDescriptor } from "../study/package/read-descriptor.js";
import { studyAccount } from "../study/study-account.js";
import { baselineByArm } from "../study/tables/baseline-by-arm.js";
import { notebookPaths } from "../workspace/notebook-files.js";
import { UsageError } from "./arguments.js";

const dpi = 600;
/** Lessons, checks of the library, and series of studies are not a study's own results. */
const notOfOneStudy = /^notebooks\/(?:learn|checks|series)\//;
const programsNamed = ["tautline", "Node.js"];

/** The record of a study, before its figures are painted. */
export interface StudyRecordForText {
  /** Everything but the figures. */
  readonly facts: ManuscriptFacts;
  /** The recorded notebooks of the study. */
  readonly notebooks: readonly RecordedNotebook[];
}

/**
 * Gathers what a manuscript of a study is written from: its files, its plan and its recorded notebooks.
 * @param folder of the study, below root/data
 * @throws UsageError when no recorded notebook is about the study
 */
export function manuscriptRecord(root: string, folder: string): StudyRecordForText {
  const name = basename(folder);
  const notebooks = readNotebooks(root, notebookPaths(root)).filter(
    ({ study, path }) => study === name && !notOfOneStudy.test(path),
  );
  if (notebooks.length === 0) {
    throw new UsageError(
      `no recorded notebook is about the study ${name}: run tautline rebuild first`,
    );
  }
  const checklist = [
    ...consortItems.map(({ id, matter }) => ({ guideline: "consort", id, matter })),
    ...certItems.map(({ id, matter }) => ({ guideline: "cert", id, matter })),
  ];
  const days = notebooks.flatMap(({ changes }) => changes.map(({ date }) => date)).sort();
  const facts: ManuscriptFacts = {
    study: studyFacts(folder, notebooks.flatMap(recordedFindings)),
    questions: notebooks.map(questionOf),
    checklist,
    programs: partsUsed().filter((part) => programsNamed.includes(part.name)),
    day: days.at(-1) ?? "1980-01-01",
  };
  return { facts, notebooks };
}

function studyFacts(
  folder: string,
  findings: readonly RecordedFinding[],
): ManuscriptFacts["study"] {
  const files = readStudyFiles(folder);
  const study = readStudy(files).study ?? openStudy(folder); // which says what is wrong
  const account = studyAccount(study, files);
  const counts = new Map<string, number>();
  for (const { reason } of account.setAside) counts.set(reason, (counts.get(reason) ?? 0) + 1);
  const done = analysisDone(account.plan, findings);
  const { people, words } = inComparison(account.flow, done);
  const arms = account.flow.arms.map((arm, i) => ({ ...arm, analysed: itemAt(people, i) }));
  return {
    ...account,
    done,
    flow: { enrolled: account.flow.enrolled, analysedWords: words, arms },
    version: packageVersion(files),
    plan: { ...account.plan, correctsCalibration: study.plan.calibration === "correct" },
    devices: study.calibrationLines,
    baseline: baselineByArm(study).rows,
    setAside: [...counts].map(([reason, rows]) => ({ reason, rows })),
  };
}

function packageVersion({ files }: StudyFiles): string {
  const bytes = files.get(descriptorName);
  const { version } = record(bytes && readDescriptor(bytes));
  return typeof version === "string" && version !== "" ? version : "0";
}

function questionOf(notebook: RecordedNotebook): QuestionFacts {
  const results = recordedFindings(notebook).map(resultFacts);
  const planned = new Set(results.flatMap(({ id, planned }) => (planned ? [id] : [])));
  const tests = new Set(results.flatMap(({ id, quantity }) => (quantity === "test" ? [id] : [])));
  const claims = shownOf(notebook, "claim").map(({ shown }) => claimFacts(shown.claim, planned));
  const { path, title, version, changes } = notebook;
  return {
    notebook: path,
    title,
    version,
    versions: [...new Set([...changes.map((change) => change.version), version])],
    results,
    // A p value has no direction: "is above 0" says nothing about a test of several arms at once.
    claims: claims.filter(({ finding }) => !tests.has(finding)),
    figures: [],
  };
}

/** By the contract of ids, `primary` is the plan's own finding also where a cell does not say so. */
function isPlanned({ id, planned }: Pick<RecordedFinding, "id" | "planned">): boolean | undefined {
  return planned ?? (id === "primary" ? true : undefined);
}

function resultFacts(finding: RecordedFinding): ResultFacts {
  const { id, title, unit, count, method, quantity } = finding;
  const common = { id, title, unit, count, method, quantity, planned: isPlanned(finding) };
  if (!isAnswered(finding)) {
    const { unanswered } = finding;
    return { ...common, unanswered, ...none };
  }
  const { value, low, high, level, p, warnings = [], references = [], leaveOneOut } = finding;
  return {
    ...common,
    ...{ value, low, high, level, p, warnings, references },
    changesConclusion: leaveOneOut?.changesConclusion ?? [],
    leaving: leaveOneOut?.leaving ?? "person",
  };
}

const none = { warnings: [], references: [], changesConclusion: [], leaving: "person" };

function claimFacts(claim: Claim, planned: ReadonlySet<string>): ClaimFacts {
  const { id, statement, finding, support } = claim;
  return { id, statement, finding, support, planned: claim.planned ?? planned.has(finding) };
}

/** The drawing of one figure of a notebook. */
interface Drawing {
  readonly id: string;
  /** Name of its files, without extension. */
  readonly file: string;
  readonly caption: string;
  readonly alt: string;
  readonly svg: string;
}

/**
 * The figures of the manuscript, drawn as they are recorded, by the path of their notebook: of those
 * that show data the first of each notebook, and every one in a cell with a planned finding.
 */
export async function textDrawings(
  notebooks: readonly RecordedNotebook[],
): Promise<Map<string, readonly Drawing[]>> {
  const chosen = notebooks.flatMap((notebook) => {
    const planned = plannedCells(notebook);
    return shownOf(notebook, "figure")
      .filter(({ shown }) => showsData(shown.figure))
      .filter(({ cell }, i) => i === 0 || planned.has(cell.number))
      .map(({ shown }) => ({ path: notebook.path, ...shown }));
  });
  const files = fileNames(chosen.map(({ figure }) => figure.id));
  const drawings = new Map<string, Drawing[]>();
  for (const [i, { path, figure, svg: recorded }] of chosen.entries()) {
    const { id, caption, alt } = figure;
    const drawn = recorded ?? (await drawnNow(figure));
    if (drawn === undefined) continue;
    const drawing = { id, file: itemAt(files, i), caption, alt, svg: onWhitePaper(drawn) };
    drawings.set(path, [...(drawings.get(path) ?? []), drawing]);
  }
  return drawings;
}

/** A figure that only says why there is nothing to draw is left out: the text gives the reason. */
function showsData({ data }: Figure): boolean {
  return data.some(({ x }) => !Array.isArray(x) || x.length > 0);
}

/** Numbers of the cells that show a finding of the plan. */
function plannedCells(notebook: RecordedNotebook): Set<number> {
  return new Set(
    shownOf(notebook, "finding")
      .filter(({ shown }) => isPlanned(shown.finding))
      .map(({ cell }) => cell.number),
  );
}

/** The drawing program is loaded only where a notebook was saved without its drawings. */
async function drawnNow(figure: Figure): Promise<string | undefined> {
  const { drawFigures } = await import("../report/drawing.js");
  return (await drawFigures([figure])).get(figure.id);
}

/**
 * The facts with the figures of each question painted at 600 dpi. A picture that an earlier run
 * left, made from the same drawing, is used again.
 * @param earlier folder in which an earlier run left its figures
 */
export async function withFigures(
  { facts, notebooks }: StudyRecordForText,
  earlier: string,
): Promise<ManuscriptFacts> {
  const drawings = await textDrawings(notebooks);
  const study = facts.study.name;
  const shown = facts.questions.flatMap(({ notebook }) => drawings.get(notebook) ?? []);
  const missing = shown.filter((drawing) => earlierPicture(earlier, study, drawing) === undefined);
  const width = Math.round((figureWidthMm / 25.4) * dpi);
  const { paintedPngs } = await import("../report/png.js");
  const painted = await paintedPngs(
    missing.map(({ svg }) => svg),
    { width, dpi },
  );
  const figureOf = (drawing: Drawing): FigureFacts[] => {
    const fresh = painted[missing.indexOf(drawing)];
    const png =
      fresh === undefined
        ? earlierPicture(earlier, study, drawing)
        : stampedFigure(fresh, { study, ...drawing });
    return png === undefined ? [] : [{ ...drawing, png }];
  };
  const questions = facts.questions.map((question) => {
    const drawn = drawings.get(question.notebook) ?? [];
    return { ...question, figures: drawn.flatMap(figureOf) };
  });
  return { ...facts, questions };
}

/** The picture that an earlier run painted from this drawing. */
function earlierPicture(
  folder: string,
  study: string,
  { id, file, svg }: Drawing,
): Uint8Array | undefined {
  const path = join(folder, `${file}.png`);
  if (!existsSync(path)) return undefined;
  const png = readFileSync(path);
  const stamp = figureStamp(png);
  const isSame = stamp?.study === study && stamp.id === id && stamp.drawing === drawingHash(svg);
  return isSame ? png : undefined;
}

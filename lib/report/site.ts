import { closeSync, existsSync, openSync, readSync } from "node:fs";
import { join } from "node:path";
import type { StudyAccount } from "../study/study-account.js";
import { checksPage } from "./checks-page.js";
import {
  figureDataPath,
  isCheck,
  type Part,
  type SiteContext,
  type SitePage,
  type SiteVerdict,
  studyGroups,
} from "./context.js";
import { drawnOnce } from "./drawings-kept.js";
import { figureCsv, figureData } from "./figure-data.js";
import { drawingKey, narrowKey } from "./figure-html.js";
import { isUnchanged, replaceFiles, writeFiles } from "./folder.js";
import { glossaryPage } from "./glossary-page.js";
import { indexPage } from "./index-page.js";
import { lessonPage } from "./lesson-page.js";
import { lessonsOf, lessonsPage } from "./lessons-page.js";
import { methodsPage } from "./methods-page.js";
import { narrowFigure } from "./narrow-figure.js";
import { notebookPage } from "./notebook-page.js";
import { documentHtml, type PageAssets } from "./page-frame.js";
import { papersIn } from "./papers.js";
import { plotlyHead, plotlyScript, siteScript, workerScript } from "./programs.js";
import { partsUsed } from "./programs-used.js";
import { type RecordedNotebook, shownOf, unreadableOutputs } from "./recorded.js";
import { studyPage } from "./study-page.js";
import { stylesheet } from "./stylesheet.js";
import { fontFaces, fontFile, fontNames, inlineFontFaces } from "./type-faces.js";
import { versionsPage } from "./versions-page.js";
import { type RawData, workerBundle } from "./worker-bundle.js";

/** What a report is made from. */
export interface ReportInput {
  /** The recorded notebooks, in the order of the pages. */
  readonly notebooks: readonly RecordedNotebook[];
  /** The folder that the site is written to; other files in it are left alone. */
  readonly out: string;
  /** The last comparison with a re-run; left out when there was none. */
  readonly verdict?: SiteVerdict | undefined;
  /** The studies whose methods and checks get pages; none when left out. */
  readonly studies?: readonly StudyAccount[] | undefined;
  /** The raw data that pages carry, so that they can run their notebooks again. */
  readonly data?: readonly RawData[] | undefined;
  /** The programs that the pages name; those installed here when left out. */
  readonly parts?: readonly Part[] | undefined;
  /** All pages, programs and figures in out/index.html alone. */
  readonly oneFile?: boolean | undefined;
}

/** What was written, and what could not be shown. */
export interface WrittenReport {
  /** Paths of the pages that were written. */
  readonly pages: readonly string[];
  /** Outputs that a page could not show, each with notebook, cell, field and what was found. */
  readonly problems: readonly string[];
}

/** The narrow drawings, and those of figures that their notebook holds no drawing of. */
async function pageDrawings(
  notebooks: readonly RecordedNotebook[],
  keeper: string | undefined,
): Promise<Map<string, string>> {
  const wanted = notebooks.flatMap((notebook) =>
    shownOf(notebook, "figure").flatMap(({ shown: { figure, svg } }) => {
      const id = drawingKey(notebook, figure.id);
      const narrow = { ...narrowFigure(figure), id: narrowKey(id) };
      return svg ? [narrow] : [{ ...figure, id }, narrow];
    }),
  );
  return drawnOnce(wanted, keeper);
}

function pagesOf(context: SiteContext): SitePage[] {
  const { notebooks, studies } = context;
  const checks = notebooks.filter(isCheck);
  const groups = studyGroups(context);
  return [
    indexPage(context),
    ...groups.flatMap(({ study, notebooks: own }) => [
      ...(study ? [studyPage(context, study, own)] : []),
      ...own.map((notebook) => notebookPage(context, notebook)),
    ]),
    ...lessonsPage(context),
    ...lessonsOf(context).map((notebook) => lessonPage(context, notebook)),
    ...(studies.length ? [methodsPage(context), checksPage(context)] : []),
    ...checks.map((notebook) => notebookPage(context, notebook)),
    versionsPage(context),
    ...(notebooks.length ? [glossaryPage()] : []),
  ];
}

/** File by file what the site consists of. */
function siteFiles(context: SiteContext, assets: PageAssets): Map<string, string | Uint8Array> {
  const pages = pagesOf(context);
  const files = new Map<string, string | Uint8Array>();
  if (context.oneFile) return files.set("index.html", documentHtml(context, pages, pages, assets));
  for (const page of pages)
    files.set(`${page.name}.html`, documentHtml(context, pages, [page], assets));
  files.set("assets/site.css", assets.style);
  files.set("assets/site.js", assets.script);
  for (const name of fontNames) files.set(`assets/fonts/${name}`, fontFile(name));
  for (const [name, text] of Object.entries(assets.asleep)) files.set(`assets/${name}.js`, text);
  for (const notebook of context.notebooks) {
    for (const { shown } of shownOf(notebook, "figure")) {
      const path = figureDataPath(notebook, shown.figure.id);
      files.set(path, figureCsv(figureData(shown.figure)));
    }
  }
  return files;
}

/** The start of a file, or nothing when there is none. */
function startOf(path: string, length: number): string {
  const bytes = Buffer.alloc(length);
  try {
    const file = openSync(path, "r");
    try {
      return bytes.subarray(0, readSync(file, bytes, 0, length, 0)).toString("utf8");
    } finally {
      closeSync(file);
    }
  } catch {
    return "";
  }
}

const plotlyPath = "assets/plotly.js";

/** plotly.js is large and changes with its version only: it is written when it is not there yet. */
async function sleepingPrograms(out: string, oneFile: boolean): Promise<Record<string, string>> {
  const head = plotlyHead();
  const there =
    !oneFile &&
    startOf(join(out, plotlyPath), Buffer.byteLength(head)) === head &&
    isUnchanged(out, plotlyPath);
  return there ? {} : { plotly: await plotlyScript() };
}

/**
 * Writes the report of all recorded notebooks: a page for each study and each question, a
 * first page that lists the studies, methods, data checks and versions. The pages need no network and no server, and read without scripts.
 */
export async function writeReport(input: ReportInput): Promise<WrittenReport> {
  const { notebooks, out, verdict, studies = [], data = [], oneFile = false } = input;
  const [worker, drawings, script, programs] = await Promise.all([
    workerBundle(notebooks, data),
    pageDrawings(notebooks, oneFile ? undefined : out),
    siteScript(),
    sleepingPrograms(out, oneFile),
  ]);
  const context: SiteContext = {
    notebooks,
    studies,
    verdict,
    parts: input.parts ?? partsUsed(),
    drawings,
    oneFile,
    reference: !oneFile && existsSync(join(out, "reference", "index.html")),
    papers: new Map(oneFile ? [] : studies.map(({ name }) => [name, papersIn(out, name)])),
    recomputes: worker.text !== undefined,
    unable: worker.problems,
  };
  const asleep = {
    ...programs,
    ...(worker.text !== undefined && { worker: oneFile ? worker.text : workerScript(worker.text) }),
  };
  const style = (oneFile ? inlineFontFaces() : fontFaces) + stylesheet;
  const assets = { style, script, asleep, inline: oneFile };
  const files = siteFiles(context, assets);
  if (oneFile) writeFiles(out, files);
  else
    replaceFiles(out, new Map([[plotlyPath, undefined as string | undefined], ...files]), [
      plotlyPath,
    ]);
  const pages = [...files.keys()].filter((path) => path.endsWith(".html"));
  return { pages: pages.map((path) => join(out, path)), problems: unreadableOutputs(notebooks) };
}

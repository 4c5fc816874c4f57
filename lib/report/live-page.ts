import { type Markup, markup } from "../markup.js";
import { studyAnswerHtml } from "./answer-sentences.js";
import { cellHtml, type PageParts } from "./cell-html.js";
import { anchorOf, type SiteContext } from "./context.js";
import { drawnOnce } from "./drawings-kept.js";
import { drawingKey, figureBeside, figureSection } from "./figure-html.js";
import { keyFinding, onlyUnanswered, statedIn } from "./ledger.js";
import { notebookPage } from "./notebook-page.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** A part of a page that takes the place of the part with the same id. */
export interface PagePiece {
  /** Id of the element. */
  readonly place: string;
  /** Its markup. */
  readonly html: string;
}

/** What a page needs to show the outputs of a live notebook before they are recorded. */
function liveContext(
  notebook: RecordedNotebook,
  drawings: ReadonlyMap<string, string>,
): SiteContext {
  return {
    notebooks: [notebook],
    studies: [],
    parts: [],
    drawings,
    oneFile: false,
    recomputes: false,
    unable: new Map(),
  };
}

/** Draws the figures that a live notebook holds no drawing of. */
export async function liveDrawings(notebook: RecordedNotebook): Promise<Map<string, string>> {
  const missing = shownOf(notebook, "figure").flatMap(({ shown: { figure, svg } }) =>
    svg === undefined ? [{ ...figure, id: drawingKey(notebook, figure.id) }] : [],
  );
  try {
    return await drawnOnce(missing, undefined);
  } catch {
    return new Map(); // the run from top to bottom says what cannot be drawn
  }
}

/** Loads the program that draws figures, so that the first live figure need not wait for it. */
export async function warmDrawing(notebook: RecordedNotebook): Promise<void> {
  const [first] = shownOf(notebook, "figure");
  if (!first) return;
  const { figure } = first.shown;
  await drawnOnce([{ ...figure, id: `${drawingKey(notebook, figure.id)}--warm` }], undefined).catch(
    () => {},
  );
}

/** Cells whose outputs a page starts a program for; they wait for the page to load again. */
const needsPrograms = new Set(["simulation", "exercise", "question"]);

/** The parts of a notebook's page that show these cells, and those at its top that show the same. */
export function livePieces(
  notebook: RecordedNotebook,
  cells: ReadonlySet<string>,
  drawings: ReadonlyMap<string, string>,
): PagePiece[] {
  const context = liveContext(notebook, drawings);
  const key = notebook.lesson ? undefined : keyFinding(statedIn(notebook));
  const first = notebook.lesson ? undefined : figureBeside(notebook, key?.cell.number);
  const page: PageParts = { context, notebook, first };
  const changed = notebook.cells.filter(
    ({ id, kind, shown }) =>
      cells.has(id) && kind === "code" && !shown.some((one) => needsPrograms.has(one.kind)),
  );
  const pieces = changed.map((cell) => ({
    place: anchorOf(notebook, "cell", String(cell.number)),
    html: String(cellHtml(page, cell)),
  }));
  const holdsFirst = changed.some(({ shown }) =>
    shown.some((one) => one.kind === "figure" && one.figure === first?.figure),
  );
  if (!first || !holdsFirst) return pieces;
  const place = anchorOf(notebook, "figure", first.figure.id);
  return [...pieces, { place, html: String(figureSection(context, notebook, first)) }];
}

/** The sentence at the top of a notebook's page; empty where there is none. */
export function liveAnswer(notebook: RecordedNotebook): string {
  if (notebook.lesson) return "";
  return String(studyAnswerHtml(keyFinding(statedIn(notebook)), onlyUnanswered(notebook)));
}

/** Everything below the title of a notebook's page, for a notebook whose cells are others than before. */
export function liveBody(
  notebook: RecordedNotebook,
  drawings: ReadonlyMap<string, string>,
): string {
  const { html, title } = notebookPage(liveContext(notebook, drawings), notebook);
  const heading: Markup = markup`<h1>${title}</h1>`;
  return String(markup`${heading}${html}`);
}

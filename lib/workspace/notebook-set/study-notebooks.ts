import { kernelName, kernelTitle } from "../../notebook/kernel-title.js";
import { type Cell, writeNotebook } from "../../notebook/nbformat.js";
import type { StudyOutline } from "../../study/package/study-outline.js";
import { changeNotebook } from "./change-notebook.js";
import { doseNotebook } from "./dose-notebook.js";
import { exploreNotebook } from "./explore-notebook.js";
import { gripAndSpeedNotebook } from "./grip-and-speed-notebook.js";
import { measurementsNotebook } from "./measurements-notebook.js";
import type { CellDraft, NotebookDraft } from "./notebook-draft.js";
import { planNotebook } from "./plan-notebook.js";
import { poolNotebook } from "./pool-notebook.js";
import { respondersNotebook } from "./responders-notebook.js";
import { swingDemandNotebook } from "./swing-demand-notebook.js";

/** The questions in the order of a study; each gives nothing where the design cannot answer it. */
const questions: readonly ((study: StudyOutline) => NotebookDraft | undefined)[] = [
  planNotebook,
  measurementsNotebook,
  changeNotebook,
  respondersNotebook,
  doseNotebook,
  gripAndSpeedNotebook,
  swingDemandNotebook,
  exploreNotebook,
];

/** The notebooks that a study of this design gets, before their first run. */
export function studyNotebooks(study: StudyOutline): readonly NotebookDraft[] {
  return questions.flatMap((question) => question(study) ?? []);
}

/** The files of these notebooks: text by path from the root, `notebooks/<study>/<name>.ipynb`. */
export function notebookFiles(study: StudyOutline): ReadonlyMap<string, string> {
  return new Map(
    studyNotebooks(study).map((draft) => [
      `notebooks/${study.name}/${draft.name}.ipynb`,
      notebookText(draft, study.name),
    ]),
  );
}

/** The file of the notebook that pools these studies; none where fewer than two can be pooled. */
export function seriesFiles(studies: readonly StudyOutline[]): ReadonlyMap<string, string> {
  const draft = poolNotebook(studies);
  return new Map(draft ? [[`notebooks/series/${draft.name}.ipynb`, notebookText(draft)]] : []);
}

/** The text of a notebook's file; a notebook of a series belongs to no single study. */
function notebookText({ cells }: NotebookDraft, study?: string): string {
  return writeNotebook({
    cells: cells.map(cellOf),
    metadata: {
      kernelspec: {
        display_name: kernelTitle,
        language: "typescript",
        name: kernelName,
      },
      language_info: { file_extension: ".ts", mimetype: "text/typescript", name: "typescript" },
      tautline: { changes: [], ...(study !== undefined && { study }), version: "1.0.0" },
    },
    nbformat: 4,
    nbformat_minor: 5,
  });
}

function cellOf({ id, type, source }: CellDraft): Cell {
  if (type === "markdown") return { cell_type: "markdown", id, metadata: {}, source };
  return { cell_type: "code", id, metadata: {}, source, execution_count: null, outputs: [] };
}

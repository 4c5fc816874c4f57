import type { StudyOutline } from "../../study/package/study-outline.js";
import { type NotebookDraft, notebookOfStudy, text } from "./notebook-draft.js";

/** An empty notebook: the study is open, the rest is the reader's. */
export function exploreNotebook(study: StudyOutline): NotebookDraft {
  const question = text(
    "question",
    `# What else do the data show?\n\nThis notebook is for questions of your own. They were not planned: report what is found here as exploratory.`,
  );
  return notebookOfStudy("explore", study, question, []);
}

import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  code,
  hasOneArm,
  hasVisits,
  type NotebookDraft,
  notebookOfStudy,
  text,
  when,
} from "./notebook-draft.js";

/** Did single golfers change beyond measurement error? Needs two visits. */
export function respondersNotebook(study: StudyOutline): NotebookDraft | undefined {
  if (!hasVisits(study) || !study.plan.primary) return undefined;
  const question = text(
    "question",
    "# Which golfers changed beyond measurement error?\n\nTwo questions are easily confused: which single changes exceed the error of two tests, and whether golfers truly differ in their response. Counting the first does not answer the second.",
  );
  return notebookOfStudy("4-responders", study, question, [
    text(
      "each",
      "## Each golfer\n\nEvery change with the interval that measurement error leaves around it. The typical error comes from the golfers who did not train for the outcome, where the study has such golfers.",
    ),
    code(
      "each-golfer",
      "const change = study.primary.change();",
      "const responders = respondersOf(change);",
      'findings("responders", responders);',
      'figure("each-golfer", responders);',
      'table("each-golfer-table", responders.golfers);',
    ),
    ...when(
      !hasOneArm(study),
      text(
        "differ",
        "## Do golfers differ in their response?\n\nGolfers change by different amounts without any training. Only the variance of changes in a trained arm beyond that in the control arm can be a difference in response. The estimate can be negative.",
      ),
      code(
        "differ-findings",
        "const response = individualResponseOf(change);",
        'findings("response-variance", response);',
        'claim("claim-golfers-differ", response, "is above 0");',
      ),
    ),
    text(
      "limits",
      "**What these numbers do not show:** that a named golfer is a responder, or that golfers beyond measurement error would be so again. They do not show that age, sex or training explains who these golfers are.",
    ),
  ]);
}

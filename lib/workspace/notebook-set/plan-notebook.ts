import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  code,
  hasGrip,
  hasVisits,
  type NotebookDraft,
  notebookOfStudy,
  text,
  when,
} from "./notebook-draft.js";

/** What was planned, and how many golfers and trials does the answer take? */
export function planNotebook(study: StudyOutline): NotebookDraft | undefined {
  if (!study.plan.primary) return undefined;
  const question = text(
    "question",
    "# How many golfers and trials does the study need?\n\nThe plan is recorded before the first test. The numbers below show what the study can detect with the spread of changes that its own golfers show. Before the first test, use a pilot study in the cell that defines the change.\n\n> **Caution.** Every additional trial is an additional maximal effort. Screen for pain, recent hand or wrist surgery and uncontrolled blood pressure, keep the rests, and stop at discomfort. Local ethics rules and licensed practice come first.",
  );
  return notebookOfStudy("1-plan", study, question, [
    text(
      "plan",
      "## The plan\n\nThe plan as the study records it, with every later change, its date and its reason.",
    ),
    code("plan-table", 'table("plan", planTable(study));'),
    ...when(
      hasVisits(study),
      text(
        "golfers",
        "## Golfers\n\nThe number of golfers follows from the difference that matters, the spread of changes between golfers and the power. A spread that few golfers show is itself uncertain, so the range when one golfer is left out belongs to the answer. Golfers who drop out are not counted.",
      ),
      code(
        "golfers-findings",
        "const size = studySize(study.primary.change());",
        'finding("golfers-per-arm", size);',
        'finding("spread-of-changes", size.spread);',
        'finding("power-of-this-size", size.power);',
        'table("golfers-needed", size.byDifference);',
      ),
    ),
    text(
      "trials",
      "## Trials\n\nMore trials at a visit reduce the error of a single trial. Differences between visits remain, however many trials are taken.",
    ),
    code("trials-table", 'table("more-trials", reliabilityOf(study.primary).moreTrials);'),
    ...when(
      hasGrip(study),
      text(
        "order",
        "## Arms and order\n\nA draw from the seed of the plan shows how golfers are allocated to arms and to orders of testing. Orders are balanced between golfers, so that fatigue does not always affect the same position.",
      ),
      code("order-draw", 'table("allocation", allocationDraw(study, 12));'),
    ),
    text(
      "limits",
      "**What these numbers do not show:** that a change of this size will happen, or what caused a change in a pilot study without a control arm.",
    ),
  ]);
}

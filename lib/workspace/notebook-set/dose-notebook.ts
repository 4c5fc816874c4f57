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

/** Did golfers who trained more change more? Needs two visits and a training log. */
export function doseNotebook(study: StudyOutline): NotebookDraft | undefined {
  const { plan, resources } = study;
  if (!hasVisits(study) || !plan.primary || !resources.includes("training-log")) return undefined;
  const question = text(
    "question",
    "# Did golfers who trained more change more?\n\nThe log shows how many sessions each golfer completed. Golfers chose to come or stayed away, so a relation with sessions is not the effect of a session.",
  );
  return notebookOfStudy("5-dose", study, question, [
    text("log", "## Sessions"),
    code(
      "log-tables",
      "const change = study.primary.change();",
      "const dose = doseOf(change);",
      'table("log-account", dose.account);',
      'table("training-people", dose.golfers);',
      'table("missed-reasons", dose.missed);',
    ),
    text(
      "relation",
      "## Sessions and change\n\nThe slope within the trained arms, adjusted for baseline, per session and per minute.",
    ),
    code(
      "relation-findings",
      'findings("slope-sessions", dose);',
      'figure("sessions-and-change", dose);',
      'findings("slope-minutes", doseOf(change, { dose: "minutes" }));',
      'findings("attendance", dose.attendance);',
    ),
    ...when(
      !hasOneArm(study),
      text(
        "negative",
        "## A check with the control arm\n\nSessions of the control arm did not train the outcome. A slope there shows that golfers who attend more differ in other ways. The comparison of the arms counts every golfer, whatever was missed.",
      ),
      code(
        "negative-findings",
        'findings("slope-control", dose.otherArms);',
        'findings("slope-difference", dose.difference);',
        'findings("effect-of-allocation", compareArms(change));',
      ),
    ),
    code("claims", 'claim("claim-more-sessions", dose, "is above 0");'),
    text(
      "limits",
      "**What these numbers do not show:** what one more session would have changed, or that missed sessions do no harm.",
    ),
  ]);
}

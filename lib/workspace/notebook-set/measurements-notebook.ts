import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  type CellDraft,
  code,
  hasGrip,
  hasSwings,
  hasVisits,
  type NotebookDraft,
  notebookOfStudy,
  speedSource,
  text,
  when,
} from "./notebook-draft.js";

/** Which data are there, and how reliable are they? */
export function measurementsNotebook(study: StudyOutline): NotebookDraft {
  const question = text(
    "question",
    "# How reliable are the measurements?\n\nWhich rows were used, how large is the error of one trial and of one visit, and is the device the same throughout?",
  );
  const hasPrimary = study.plan.primary !== undefined;
  return notebookOfStudy("2-measurements", study, question, [
    text(
      "rows",
      "## Rows and golfers\n\nEvery row of the raw files is either used or set aside with a reason.",
    ),
    code(
      "row-account",
      "const rows = rowsOfFiles(study);",
      'table("row-account", rows.files);',
      'table("set-aside-reasons", rows.setAside);',
      'table("check-questions", rows.questions);',
      ...(hasPrimary ? ['table("baseline", baselineOf(study, study.primary));'] : []),
    ),
    ...when(hasPrimary, ...trials()),
    ...when(hasGrip(study), ...places()),
    ...when(hasPrimary && otherRule(study) !== undefined, ...rule(study)),
    ...when(hasSwings(study) && study.plan.primary?.outcome !== "speed", ...swings(study)),
    ...when(hasPrimary && hasVisits(study), ...visits()),
    text(
      "devices",
      "## Device and handle\n\nA change of dynamometer or handle setting between visits would look like a change in grip.",
    ),
    code(
      "device-tables",
      "const devices = devicesOf(study);",
      'finding("one-device-one-handle", devices);',
      'table("calibration", devices.calibration);',
    ),
    text(
      "limits",
      "**What these numbers do not show:** the error of other golfers, devices or testers. A high intraclass correlation shows that golfers differ, not that a change in one golfer can be detected.",
    ),
  ]);
}

function trials(): CellDraft[] {
  return [
    text(
      "error",
      "## The error of one trial\n\nThe **typical error** is the standard deviation of a golfer's repeated trials, shifts that all golfers share taken out. The **minimal detectable change** is the smallest change of one golfer that exceeds this error. A shift from the first to the last trial shows learning or fatigue.",
    ),
    code(
      "trial-error",
      "const trials = reliabilityOf(study.primary);",
      'finding("typical-error-primary", trials);',
      'finding("mdc95-primary", trials.mdc);',
      'finding("icc-primary", trials.icc);',
      'finding("trial-shift-primary", trials.shift);',
      'table("icc-forms", trials.iccForms);',
      'figure("trials-in-order", trials);',
    ),
  ];
}

function places(): CellDraft[] {
  return [
    text("places", "## Every hand, position and club"),
    code(
      "place-tables",
      "const places = reliabilityByPlace(study);",
      'table("grip-reliability", places.table);',
      'table("trial-shift", places.shifts);',
      'figure("typical-error", places);',
    ),
  ];
}

/** The rule that takes the highest of as many trials as the planned mean takes. */
function otherRule({ plan }: StudyOutline): string | undefined {
  if (plan.primary?.outcome !== "grip") return undefined;
  const rules: Readonly<Record<string, string>> = { mean3: "max3", mean2: "max2", mean: "max" };
  const { grip } = plan.summaries;
  return typeof grip === "string" ? rules[grip] : undefined;
}

function rule(study: StudyOutline): CellDraft[] {
  const other = JSON.stringify(otherRule(study));
  return [
    text(
      "rule",
      "## Mean or highest trial\n\nPublished protocols differ: some take the mean of the trials, others the highest. The highest is larger than the mean by construction, so the rule must not change between visits.",
    ),
    code("rule-difference", `finding("max-over-mean", ruleDifference(study.primary, ${other}));`),
  ];
}

function swings(study: StudyOutline): CellDraft[] {
  return [
    text("swings", "## Club speed"),
    code(
      "swing-error",
      `const swings = reliabilityOf(${speedSource(study)});`,
      'finding("swing-typical-error", swings);',
      'finding("swing-cv", swings.cv);',
      'figure("swings-in-order", swings);',
    ),
  ];
}

function visits(): CellDraft[] {
  return [
    text(
      "retest",
      "## The error from visit to visit\n\nTrials of one visit share a day and a warm-up. A change over weeks has to exceed the error from visit to visit, which the golfers who did not train for the outcome show.",
    ),
    code(
      "retest-error",
      'const visits = reliabilityOf(study.primary, { between: "visits" });',
      'finding("retest-typical-error", visits);',
      'finding("retest-mdc95", visits.mdc);',
      'table("agreement", visits.agreement);',
    ),
  ];
}

import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  type CellDraft,
  code,
  hasOneArm,
  hasSwings,
  hasVisits,
  type NotebookDraft,
  notebookOfStudy,
  speedSource,
  text,
  when,
} from "./notebook-draft.js";

/** What changed between the visits, and did the arms differ? Needs two visits. */
export function changeNotebook(study: StudyOutline): NotebookDraft | undefined {
  if (!hasVisits(study) || !study.plan.primary) return undefined;
  const limits = hasOneArm(study)
    ? "The study has one arm: a change within it includes any change that would have happened without training."
    : "The arms are compared at the planned visit, adjusted for where each golfer started.";
  const question = text(
    "question",
    `# What changed?\n\nDid the planned outcome change between the visits, and by how much? ${limits}`,
  );
  return notebookOfStudy("3-change", study, question, [
    code(
      "change",
      "const outcome = study.primary;",
      "const change = outcome.change();",
      'table("who-is-missing", missingGolfers(change));',
      'figure("every-golfer", everyPerson(outcome));',
    ),
    ...(hasOneArm(study) ? oneArm() : arms()),
    ...percent(study),
    ...when(study.design.occasions.length > 2, ...visits()),
    ...when(isOneOfSeveral(study), ...others(study)),
    ...when(hasSwings(study) && study.plan.primary.outcome !== "speed", ...speed(study)),
    ...when(!hasOneArm(study), ...subgroupsAndChoices()),
    ...conclusions(study),
  ]);
}

/** Whether the primary outcome is one hand and position of several. */
function isOneOfSeveral({ design, plan }: StudyOutline): boolean {
  return plan.primary?.outcome === "grip" && design.hands.length * design.positions.length > 1;
}

function question(study: StudyOutline): string {
  return hasOneArm(study) ? "changeWithin" : "compareArms";
}

function arms(): CellDraft[] {
  return [
    text(
      "primary",
      "## The planned comparison\n\nThe difference between the arms after the block, adjusted for baseline. First from golfers measured at both visits, then with other standard errors and by the bootstrap. The last estimate uses every golfer as allocated and assumes that missing values are missing at random.",
    ),
    code(
      "primary-findings",
      "const effect = compareArms(change);",
      'findings("primary", effect);',
      'findings("primary-bootstrap", compareArms(change, { interval: "BCa" }));',
      'findings("primary-hc3", compareArms(change, { standardErrors: "HC3" }));',
      'findings("primary-everybody", visitsOf(outcome).at(change.after.id));',
    ),
    text(
      "within",
      "## Within each arm\n\nA change within an arm includes any change that would have happened without training.",
    ),
    code(
      "within-findings",
      "const within = changeWithin(change);",
      'findings("change", within);',
      'findings("exact", exactTest(change));',
      'figure("change-by-arm", everyPerson(change, within));',
    ),
  ];
}

function oneArm(): CellDraft[] {
  return [
    text(
      "primary",
      "## The planned change\n\nThe mean change of the golfers measured on both visits, by the paired t test and by the exact sign-flip test. Below it, how the change depends on where golfers started, without regression to the mean.",
    ),
    code(
      "primary-findings",
      "const effect = changeWithin(change);",
      'findings("primary", effect);',
      'findings("exact", exactTest(change));',
      'figure("change-by-golfer", everyPerson(change, effect));',
    ),
  ];
}

function percent(study: StudyOutline): CellDraft[] {
  const ask = question(study);
  return [
    text(
      "percent",
      "## In percent and in standard deviations\n\nA percentage is a ratio of geometric means. A standardised change names the standard deviation that it is divided by. The equivalence test compares the result with the smallest worthwhile change of the plan.",
    ),
    code(
      "percent-findings",
      `findings("percent", ${ask}(outcome.logged().change()));`,
      ...(hasOneArm(study)
        ? []
        : [
            'findings("percent-within", changeWithin(outcome.logged().change()));',
            'table("denominators", percentsOf(change));',
          ]),
      'findings("standardised", standardised(change));',
      'findings("worthwhile", equivalenceOf(effect, study.plan.smallestWorthwhile));',
    ),
  ];
}

function visits(): CellDraft[] {
  return [
    text(
      "visits",
      "## Every visit\n\nMeans of every visit by a model of repeated measures. Visits other than the planned one describe the course and were not planned as comparisons.",
    ),
    code(
      "visits-findings",
      "const visits = visitsOf(outcome);",
      'findings("visit", visits);',
      'figure("means-by-visit", visits);',
    ),
  ];
}

function others(study: StudyOutline): CellDraft[] {
  return [
    text(
      "others",
      "## Every hand and position\n\nThe planned outcome stands outside the adjustment; the p values of the others are adjusted together by Holm's method. The intervals are not adjusted.",
    ),
    code(
      "others-findings",
      `const others = byHandAndPosition(study, ${question(study)});`,
      'findings("place", others);',
      'table("hand-by-position", others);',
      'figure("hands-and-positions", others);',
    ),
  ];
}

function speed(study: StudyOutline): CellDraft[] {
  return [
    text("speed", "## Club speed"),
    code(
      "speed-findings",
      `const speed = ${question(study)}(${speedSource(study)}.change());`,
      'findings("speed", speed);',
    ),
  ];
}

function subgroupsAndChoices(): CellDraft[] {
  return [
    text(
      "subgroups",
      "## For whom?\n\nWhether the difference between the arms depends on sex, age or gym training is an interaction, estimated in one model of all golfers. Subgroups were not planned and are not tested one by one.",
    ),
    code(
      "subgroup-findings",
      'const older = { column: "age_years", from: 60 };',
      'const groups = subgroups(change, ["sex", older, "gym_training"]);',
      'findings("interaction", groups);',
      'figure("subgroup-effects", groups);',
    ),
    text(
      "choices",
      "## Other defensible choices\n\nThe planned analysis is one of many that could be defended. The curve shows the result under every combination of rule, trials, golfers, scale, adjustment and estimator.",
    ),
    code(
      "choices-findings",
      "const choices = specifications(change);",
      'findings("specification", choices.summary());',
      'table("specification-summary", choices.choices);',
      'figure("specification-curve", choices);',
    ),
  ];
}

function conclusions(study: StudyOutline): CellDraft[] {
  const hasSpeed = hasSwings(study) && study.plan.primary?.outcome !== "speed";
  return [
    text("conclusions", "## Conclusions\n\nCandidate conclusions, checked against the results."),
    code(
      "claims",
      'claim("claim-change", effect, "is above 0");',
      'claim("claim-worthwhile", effect, "is above the smallest worthwhile change");',
      ...(hasSpeed ? ['claim("claim-faster", speed, "is above 0");'] : []),
    ),
    text(
      "limits",
      "**What these numbers do not show:** that single golfers responded, or that the change lasts after the last visit. They do not show that subgroups differ because one is significant and another is not. Golfers unlike these may change in another way.",
    ),
  ];
}

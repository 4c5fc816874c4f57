import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  type CellDraft,
  code,
  gripSource,
  hasGrip,
  hasSwings,
  hasVisits,
  type NotebookDraft,
  notebookOfStudy,
  speedSource,
  text,
  when,
} from "./notebook-draft.js";

/** Is grip related to club speed? Needs grip trials and swings. */
export function gripAndSpeedNotebook(study: StudyOutline): NotebookDraft | undefined {
  if (!hasGrip(study) || !hasSwings(study)) return undefined;
  const question = text(
    "question",
    "# Is grip related to club speed?\n\nThree questions: do golfers with more grip swing faster, does a golfer swing faster on a visit with more grip, and did golfers whose grip rose gain speed? None of them shows that training grip makes the club faster.",
  );
  return notebookOfStudy("6-grip-and-speed", study, question, [
    ...between(study),
    ...alike(),
    ...when(hasVisits(study), ...error(), ...within()),
    code(
      "claims",
      'claim("claim-between", between, "is above 0");',
      'claim("claim-adjusted", alike, "is above 0");',
      ...(hasVisits(study)
        ? [
            'claim("claim-within", within, "is above 0");',
            'claim("claim-changes", changes, "is above 0");',
          ]
        : []),
    ),
    text(
      "limits",
      "**What these numbers do not show:** that more grip causes more speed. Strength, sex, age and training affect both.",
    ),
  ]);
}

function between(study: StudyOutline): CellDraft[] {
  return [
    text(
      "between",
      "## Between golfers\n\nA straight line through the golfers of the first visit. It holds only within the range of grip that was measured.",
    ),
    code(
      "between-findings",
      `const grip = ${gripSource(study)};`,
      `const speed = ${speedSource(study)};`,
      "const between = relate(speed, grip);",
      'finding("slope-between", between);',
      'finding("slope-between-bootstrap", relate(speed, grip, { interval: "BCa" }));',
      'finding("slope-between-hc3", relate(speed, grip, { standardErrors: "HC3" }));',
      'finding("correlation-between", between.correlation);',
      'figure("grip-speed-between", between);',
      'table("predictions", between.readings);',
      'table("influence", between.influence);',
    ),
  ];
}

function alike(): CellDraft[] {
  return [
    text(
      "adjusted",
      "## Golfers alike in sex, age and body mass\n\nGrip differs with sex, age and body mass. The slope is estimated again among golfers who are alike in these, and within women and men (Simpson's paradox).",
    ),
    code(
      "adjusted-findings",
      'const alike = relate(speed, grip, { adjustFor: ["sex", "age_years", "mass_kg"] });',
      'finding("slope-between-adjusted", alike);',
      'table("adjusted-coefficients", alike.coefficients);',
      'const groups = relateInGroups(speed, grip, { by: "sex" });',
      'finding("slope-within-sex", groups);',
      'table("slopes-by-group", groups.slopes);',
      'figure("golfers-and-groups", groups);',
    ),
  ];
}

function error(): CellDraft[] {
  return [
    text(
      "error",
      "## Measurement error\n\nError in grip makes the slope smaller. The slope is corrected with the error from visit to visit; Deming's line takes all scatter for measurement error and is an upper bound.",
    ),
    code(
      "error-findings",
      'const errorOfGrip = reliabilityOf(grip, { between: "visits", visits: "all" });',
      'const errorOfSpeed = reliabilityOf(speed, { between: "visits", visits: "all" });',
      'finding("visit-error-grip", errorOfGrip);',
      'finding("visit-error-speed", errorOfSpeed);',
      'findings("error", errorInRelation(between, { x: errorOfGrip, y: errorOfSpeed }));',
    ),
  ];
}

function within(): CellDraft[] {
  return [
    text(
      "within",
      "## Within golfers\n\nOn a visit with more grip than usual, is the same golfer's club faster? The model separates this from differences between golfers and from time.",
    ),
    code(
      "within-findings",
      "const within = relateWithin(speed, grip);",
      'finding("slope-within", within);',
      'finding("slope-within-unadjusted", within.unadjusted);',
      'finding("own-slopes", within.ownSlopes);',
      'finding("repeated-correlation", within.correlation);',
      'table("without-own-slope", within.setAside);',
      'figure("grip-speed-within", within);',
    ),
    text("changes", "## Changes\n\nDid golfers whose grip rose more also gain more speed?"),
    code(
      "changes-findings",
      "const changes = relate(speed.change(), grip.change());",
      'finding("slope-changes", changes);',
      'finding("correlation-changes", changes.correlation);',
      'figure("changes", changes);',
      'findings("changes-error", errorInRelation(changes, { x: errorOfGrip }));',
    ),
  ];
}

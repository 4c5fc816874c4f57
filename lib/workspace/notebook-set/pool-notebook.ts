import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  type CellDraft,
  calledIn,
  code,
  hasSwings,
  importLines,
  type NotebookDraft,
  text,
  when,
} from "./notebook-draft.js";

/** What do several studies show together? Needs two studies with two visits and a primary outcome. */
export function poolNotebook(all: readonly StudyOutline[]): NotebookDraft | undefined {
  const studies = all.filter(({ design, plan }) => design.occasions.length > 1 && plan.primary);
  if (studies.length < 2) return undefined;
  const names = studies.map(({ name }) => `openStudy(${JSON.stringify(name)})`);
  const cells = [...primary(), ...when(studies.every(hasOneClub), ...speed())];
  const opens = ["const studies = [", ...names.map((name) => `  ${name},`), "];"];
  const open = code("open", importLines(["openStudy", ...calledIn(cells)]), "", ...opens);
  return { name: "pool", cells: [question(), open, ...cells, limits()] };
}

/** Whether club speed of the study is one outcome. */
function hasOneClub(study: StudyOutline): boolean {
  return hasSwings(study) && study.design.clubs.length === 1;
}

function question(): CellDraft {
  return text(
    "question",
    "# What do the studies show when pooled?\n\nThe studies of this folder are pooled, each with its own primary outcome. Where every study has a control arm, the difference between arms is pooled; otherwise the change within the trained arms, which includes any change that would have happened without training.",
  );
}

function primary(): CellDraft[] {
  return [
    text(
      "primary",
      "## The primary outcome\n\nIn two stages: the estimate of each study first, then their random-effects mean. In one stage: all golfers in one model.",
    ),
    code(
      "primary-findings",
      'const pooled = poolStudies(studies, { scale: "percent" });',
      'finding("pooled", pooled);',
      'finding("pooled-in-one-stage", poolGolfers(studies));',
      'figure("studies", pooled);',
      'table("without-each-study", pooled.withoutEach);',
    ),
  ];
}

function speed(): CellDraft[] {
  return [
    text("speed", "## Club speed"),
    code(
      "speed-findings",
      'const speed = poolStudies(studies, { outcome: "speed" });',
      'finding("speed-pooled", speed);',
      'figure("speed-studies", speed);',
    ),
  ];
}

function limits(): CellDraft {
  return text(
    "limits",
    "**What these numbers do not show:** what training caused in studies without a control arm. Two or three studies show little about the differences between studies.",
  );
}

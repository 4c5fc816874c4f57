import type { StudyOutline } from "../../study/package/study-outline.js";
import {
  code,
  hasGrip,
  hasSwings,
  type NotebookDraft,
  notebookOfStudy,
  text,
} from "./notebook-draft.js";

/** How much force does a swing put on the hands? Needs grip trials and swings. */
export function swingDemandNotebook(study: StudyOutline): NotebookDraft | undefined {
  if (!hasGrip(study) || !hasSwings(study)) return undefined;
  const question = text(
    "question",
    "# How much force does a swing put on the hands?\n\nThe club pulls on the hands with a force that grows with the square of its speed. How large is this force at the speeds of these golfers? How hard would the hands have to squeeze to hold it? Where do these golfers stand among people of their sex and age?\n\n> **Caution.** Maximal squeezes raise blood pressure and load hand and wrist, and fast swings load the back. Screen before every test and stop at discomfort. Local ethics rules and licensed practice come first.",
  );
  return notebookOfStudy("7-swing-demand", study, question, [
    text(
      "pull",
      "## The pull of the club\n\nEstimated from masses and radii of an ordinary club and arm (common practice, no source). The range varies each input. The normal force that holds the pull depends on friction, so it is a range and never one number.",
    ),
    code(
      "pull-tables",
      "const demand = demandOf(study);",
      'finding("pull-100", demand.pull);',
      'finding("pull-ratio", demand.ratio);',
      'table("pull-by-speed", demand.pulls);',
      'table("hold-by-speed", demand.holds);',
      'table("skin-friction", demand.friction);',
      'figure("grip-speed-plane", demand);',
    ),
    text(
      "in-swing",
      "## Share of the maximum\n\nOnly a measurement of grip force in the swing shows how much of the maximum a swing uses.",
    ),
    code(
      "in-swing-findings",
      'finding("share-of-maximum", demand);',
      'table("share-by-golfer", demand.measured);',
    ),
    text(
      "norms",
      "## Reference values\n\nReference values place a golfer among people of the same sex and age. They are no targets, and they say nothing about golf.",
    ),
    code(
      "norm-findings",
      "const norms = amongNorms(study);",
      'finding("grip-less-norm", norms);',
      'finding("above-norm-median", norms.above);',
      'table("norm-places", norms.places);',
      'figure("golfers-among-norms", norms);',
      'claim("claim-golfers-stronger", norms, "is above 0");',
    ),
    text(
      "limits",
      "**What these numbers do not show:** the grip that a golfer needs. There is no required grip.",
    ),
  ]);
}

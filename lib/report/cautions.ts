import { type Markup, markup, proseHtml } from "../markup.js";

/** The usual cautions of maximal squeezes and fast swings, where a study states none of its own. */
const usualCautions = [
  "Stop a squeeze or a swing at once when it hurts; a stopped trial is recorded as stopped, never as zero.",
  "Do not test a hand or wrist that was operated on in the last three months. Ask about pain, aching or stiffness first.",
  "Breathe out while squeezing: a maximal squeeze with held breath raises blood pressure. People with heart or circulation trouble ask their physician first.",
  "Swing only with nobody near enough to be hit by club, ball or anything the club throws up.",
];

const deference =
  "Local rules and the judgement of licensed practitioners come before anything written here.";

/** The study's cautions, else the usual ones; always with the deference to local rules. */
function allCautions(own: readonly string[]): string[] {
  const cautions = own.length > 0 ? [...new Set(own)] : usualCautions;
  return cautions.some((words) => /local rules/i.test(words))
    ? [...cautions]
    : [...cautions, deference];
}

/** Cautions as a list with a bar at its left. */
export function cautionsHtml(title: string, own: readonly string[]): Markup {
  const items = allCautions(own).map((words) => markup`<li>${proseHtml(words)}</li>`);
  return markup`<div class="cautions"><h2>${title}</h2><ul>${items}</ul></div>`;
}

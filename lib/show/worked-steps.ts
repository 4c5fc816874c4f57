import { itemAt } from "../entry.js";
import { type Markup, markup, proseHtml } from "../markup.js";

/** A number for each golfer, in one step of a worked solution. */
export interface StepOfGolfers {
  /** What the numbers are, as a sentence without its list. */
  readonly says: string;
  /** Labels of the golfers. */
  readonly golfers: readonly string[];
  /** Their numbers, as a reader reads them. */
  readonly values: readonly string[];
}

/** One step of a worked solution: a sentence, or a sentence with a number for each golfer. */
export type WorkedStep = string | StepOfGolfers;

/** A step as one line of text. */
export function stepText(step: WorkedStep): string {
  if (typeof step === "string") return step;
  const list = step.golfers.map((golfer, i) => `${golfer} ${itemAt(step.values, i)}`);
  return `${step.says} ${list.join(", ")}.`;
}

/** A step as markup: numbers of golfers stand in a small grid under their labels. */
export function stepHtml(step: WorkedStep): Markup {
  if (typeof step === "string") return markup`<li>${proseHtml(step)}</li>`;
  const cells = step.golfers.map(
    (golfer, i) => markup`<div><dt>${golfer}</dt><dd>${itemAt(step.values, i)}</dd></div>`,
  );
  return markup`<li>${proseHtml(step.says)}<dl class="values">${cells}</dl></li>`;
}

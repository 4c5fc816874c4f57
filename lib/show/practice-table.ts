import { type Markup, markup, nothing } from "../markup.js";
import type { Practice } from "./lesson-outputs.js";
import { tableHtml, tableText } from "./table.js";
import { fixedText } from "./wording.js";

/** Numbers in a row of a grid: so many fit a phone. */
const across = 5;

/** Numbers in their order, five in a row, with the places of the first and last before each row. */
function gridHtml({ caption, values, digits }: NonNullable<Practice["grid"]>): Markup {
  const rows = Array.from({ length: Math.ceil(values.length / across) }, (_, row) => {
    const inRow = values.slice(row * across, (row + 1) * across);
    const first = row * across + 1;
    const cells = inRow.map((value) => markup`<td class="number">${fixedText(value, digits)}</td>`);
    return markup`<tr><th scope="row">${first} to ${first + inRow.length - 1}</th>${cells}</tr>`;
  });
  return markup`<table class="grid"><caption>${caption}</caption><tbody>${rows}</tbody></table>`;
}

/** A learner's golfers as markup: the table, and the list of numbers that belongs to it. */
export function practiceMarkup({ set, caption, table, grid }: Practice): Markup {
  const shown = tableHtml({ kind: "table", id: `practice-${set}`, caption, ...table });
  return markup`${shown}${grid ? gridHtml(grid) : nothing}`;
}

/** A learner's golfers as plain text. */
export function practiceText({ set, caption, table, grid }: Practice): string {
  const shown = tableText({ kind: "table", id: `practice-${set}`, caption, ...table });
  if (!grid) return shown;
  const list = grid.values.map((value) => fixedText(value, grid.digits));
  return `${shown}\n${grid.caption} ${list.join(", ")}`;
}

import { itemAt } from "../entry.js";
import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { SiteContext } from "./context.js";
import { isDrawable, scaleFor } from "./cord.js";
import { keyNumberHtml, type Stated } from "./finding-html.js";
import { keyFinding, statedIn } from "./ledger.js";
import { headingAnchor } from "./markdown.js";
import type { RecordedCell, RecordedNotebook } from "./recorded.js";

/** Cells below one heading of a notebook. */
export interface NotebookSection {
  /** The heading, and the cell that it opens; undefined for what stands before the first heading. */
  readonly heading?: { readonly words: string; readonly cell: number };
  /** The cells, the first one without its heading. */
  readonly cells: readonly RecordedCell[];
}

const headingLine = /^##[ \t]+(.+?)[ \t]*(?:\r?\n|$)/;

/** The cells of a notebook by heading: a prose cell that begins with one opens a section. */
export function sectionsOf({ cells }: Pick<RecordedNotebook, "cells">): NotebookSection[] {
  const sections: { heading?: { words: string; cell: number }; cells: RecordedCell[] }[] = [];
  for (const cell of cells) {
    const [line, words] = (cell.kind === "prose" && headingLine.exec(cell.source)) || [];
    if (line !== undefined && words !== undefined) {
      const rest = { ...cell, source: cell.source.slice(line.length) };
      sections.push({ heading: { words, cell: cell.number }, cells: [rest] });
    } else if (sections.length === 0) sections.push({ cells: [cell] });
    else itemAt(sections, sections.length - 1).cells.push(cell);
  }
  return sections;
}

/** A notebook with fewer sections is read at one look: none of them is folded. */
const fewSections = 2;

/** Whether the sections of a notebook's page are folds: a lesson and a check are read through. */
export function isFolded(context: SiteContext, notebook: RecordedNotebook): boolean {
  const sections = sectionsOf(notebook).filter(({ heading }) => heading !== undefined);
  return context.studies.length > 0 && !notebook.lesson && sections.length >= fewSections;
}

/** Whether a section is code alone: it stays out of the way until the code is shown. */
export function isOnlyCode({ heading, cells }: NotebookSection): boolean {
  return (
    heading !== undefined &&
    cells.every(({ kind, source, shown }) =>
      kind === "prose" ? source.trim() === "" : shown.length === 0,
    )
  );
}

/** How many statements of each state there are: "2 supported, 9 not settled". */
function statesHtml(cells: readonly RecordedCell[]): Markup {
  const states = cells.flatMap(({ shown }) =>
    shown.flatMap((one) => (one.kind === "claim" ? [one.claim.support] : [])),
  );
  const counted = (["supported", "contradicted", "not settled"] as const).flatMap((state) => {
    const many = states.filter((one) => one === state).length;
    return many === 0 ? [] : [`${many} ${state}`];
  });
  return counted.length === 0 ? nothing : markup`<span>${counted.join(", ")}</span>`;
}

/**
 * What a closed section shows: its first finding, else what its first figure or table is about, else
 * the states of its statements.
 */
function summaryHtml(stated: readonly Stated[], cells: readonly RecordedCell[]): Markup {
  const key = keyFinding(stated);
  if (key) return keyNumberHtml(key, isDrawable(key.finding) ? scaleFor([key.finding]) : undefined);
  for (const { shown } of cells) {
    for (const one of shown) {
      if (one.kind === "figure") return markup`<span>${proseHtml(one.figure.caption)}</span>`;
      if (one.kind === "table") return markup`<span>${proseHtml(one.table.caption)}</span>`;
    }
  }
  return statesHtml(cells);
}

/** A section of a notebook's page as a fold; the one that holds the page's answer is open. */
export function sectionHtml(
  notebook: RecordedNotebook,
  section: NotebookSection,
  answer: Stated | undefined,
  content: Markup,
): Markup {
  const { heading, cells } = section;
  if (!heading) return content;
  const stated = statedIn({ ...notebook, cells });
  const hasAnswer = stated.some(({ finding }) => finding === answer?.finding);
  const id = headingAnchor(`${notebook.slug}-${heading.cell}`, heading.words);
  const open = hasAnswer ? markup` open` : nothing;
  const words = heading.words.replace(/[*_`]/g, "");
  const name = `question-fold part${isOnlyCode(section) ? " only-code" : ""}`;
  return markup`<details class="${name}"${open}><summary><h2 class="q" id="${id}">${words}</h2>${summaryHtml(stated, cells)}</summary>${content}</details>`;
}

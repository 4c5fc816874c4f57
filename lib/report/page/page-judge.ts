import { type Markup, markup } from "../../markup.js";
import type { Judgement } from "../../notebook/judgement.js";
import type { Claim } from "../../show/claim-record.js";
import type { Figure } from "../../show/figure-record.js";
import { type Finding, isAnswered, type RecordedFinding } from "../../show/finding-record.js";
import { paragraphsHtml } from "../../show/prose.js";
import { tableHtml } from "../../show/table.js";
import type { Table } from "../../show/table-record.js";
import type { Prose } from "../../show/word-outputs.js";
import { answerHtml } from "../answer-sentences.js";
import { conclusionRow } from "../conclusions.js";
import { anchorOf, type PageContext } from "../context.js";
import type { CordScale } from "../cord.js";
import { figureData, figureTable } from "../figure-data.js";
import { findingHtml, keyNumberHtml, type Stated, unansweredHtml } from "../finding-html.js";
import { ledgerRow } from "../ledger-rows.js";
import { elementFrom, firstApart } from "./page-reading.js";

/** The notebook whose results stand on the page. */
export interface NotebookOnPage {
  /** The notebook's name in addresses and anchors. */
  readonly slug: string;
  /** Path of the notebook, from the root. */
  readonly path: string;
}

/** Pairs of what stands on the page and what its record makes; more than one where it is repeated. */
type Pair = readonly [shown: Element | null | undefined, expected: Element | undefined];

const context: PageContext = { oneFile: false, verdict: undefined };

/**
 * The first place where the page does not read as the record makes it. The record itself is compared
 * with the new run, so that page, record and raw data must all agree.
 * @param all the judgements of the notebook, in order: a claim is shown with its finding
 */
export function misprint(
  notebook: NotebookOnPage,
  judgement: Judgement,
  all: readonly Judgement[],
): string | undefined {
  if (judgement.recorded === undefined) return undefined;
  for (const [shown, expected] of pairsOf(notebook, judgement, all)) {
    if (!shown || !expected) continue;
    const apart = firstApart(shown, expected);
    if (apart) return `the page reads “${apart[0]}”, the record says “${apart[1]}”`;
  }
  return undefined;
}

function pairsOf(
  notebook: NotebookOnPage,
  judgement: Judgement,
  all: readonly Judgement[],
): Pair[] {
  const { kind, id, recorded } = judgement;
  const place = document.getElementById(anchorOf(notebook, kind, id));
  switch (kind) {
    case "finding": {
      const { cell } = judgement;
      const finding = recorded as RecordedFinding;
      if (!isAnswered(finding)) return [[place, elementFrom(unansweredHtml(notebook, finding))]];
      const stated = { notebook, cell, finding };
      return resultsOnPage(notebook, kind, id).map((shown) => [shown, expectedOf(shown, stated)]);
    }
    case "claim": {
      const claim = recorded as Claim;
      const behind = all.find((one) => one.kind === "finding" && one.id === claim.finding);
      const finding = behind?.recorded as Finding | undefined;
      return resultsOnPage(notebook, kind, id).map((shown) => {
        const row = conclusionRow(
          context,
          { notebook, claim, finding },
          scaleIn(shown),
          shown.id ? "home" : "elsewhere",
        );
        return [shown, rowFrom(row)];
      });
    }
    case "table":
      return [[place?.querySelector("table"), elementFrom(tableHtml(recorded as Table))]];
    case "figure":
      return figurePairs(place, recorded as Figure);
    case "prose":
      return prosePairs(notebook, judgement, all);
    default:
      return [];
  }
}

function resultsOnPage({ slug }: NotebookOnPage, kind: string, id: string): HTMLElement[] {
  const marked = document.querySelectorAll<HTMLElement>(`[data-of-kind="${kind}"]`);
  return [...marked].filter(({ dataset }) => dataset.ofNotebook === slug && dataset.ofId === id);
}

/** What the record makes of one place that shows a finding. */
function expectedOf(shown: HTMLElement, stated: Stated): Element | undefined {
  if (shown.matches(".key-answer")) return elementFrom(answerHtml(stated));
  if (shown.matches(".key-number")) return elementFrom(keyNumberHtml(stated, scaleIn(shown)));
  if (!shown.matches("tr")) return elementFrom(findingHtml(context, stated));
  const place = shown.id ? "home" : "elsewhere";
  return rowFrom(ledgerRow(context, stated, scaleIn(shown), place));
}

/** The scale that a cord on the page says it is drawn on: the cords beside it share it. */
function scaleIn(shown: HTMLElement): CordScale | undefined {
  const drawn = shown.querySelector<SVGElement>("svg.cord");
  return drawn ? { from: Number(drawn.dataset.from), to: Number(drawn.dataset.to) } : undefined;
}

/** A row of a table from its markup: a parser takes rows only inside a table. */
function rowFrom(row: Markup): Element | undefined {
  return (
    elementFrom(markup`<table><tbody>${row}</tbody></table>`)?.querySelector("tr") ?? undefined
  );
}

/** A figure's caption, its description and its numbers; its drawings are judged by drawing it again. */
function figurePairs(place: HTMLElement | null, figure: Figure): Pair[] {
  const caption = document.createElement("figcaption");
  caption.textContent = figure.caption;
  const numbers = figureTable(figureData(figure), `Numbers behind the figure: ${figure.caption}`);
  const words = document.createElement("div");
  words.textContent = figure.alt;
  const spokenLabel = document.createElement("div");
  spokenLabel.textContent = place?.querySelector(".canvas")?.getAttribute("aria-label") ?? "";
  return [
    [place?.querySelector("figcaption"), caption],
    [spokenLabel, words],
    [place?.querySelector(".numbers table"), elementFrom(numbers)],
  ];
}

/** The texts that a cell displayed, in their order. */
function prosePairs(
  notebook: NotebookOnPage,
  judgement: Judgement,
  all: readonly Judgement[],
): Pair[] {
  const { cell, recorded } = judgement;
  const ofCell = all.filter((one) => one.kind === "prose" && one.cell.number === cell.number);
  const home = document.getElementById(anchorOf(notebook, "cell", String(cell.number)));
  const shown = home?.querySelectorAll("[data-prose]")[ofCell.indexOf(judgement)];
  const expected = elementFrom(markup`<div>${paragraphsHtml((recorded as Prose).text)}</div>`);
  return [[shown, expected]];
}
